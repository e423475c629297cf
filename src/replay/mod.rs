//! What a logic analyser recorded on the display's wires: read, decoded, drawn by the controller's model, and held against the show.
//!
//! ```text
//! VCD, CSV → trace → lines (which is the clock …) → I²C or SPI events → payload → pictures
//!                                                         course (what the show sends) → comparison → words
//! ```

mod comparison;
mod course;
mod decoded;
mod guess;
mod i2c;
mod lines;
mod meaning;
mod pictures;
mod spi;
mod summary;
mod table;
mod trace;
mod vcd;

pub use comparison::{Comparison, What, compare};
pub use course::{ExpectedBytes, course};
pub use decoded::Decoded;
pub use guess::guess_panel;
pub use lines::{DisplayLines, Given};
pub use pictures::draw;
pub(crate) use pictures::set_up;
pub use summary::{ReplaySubject, summary};
pub use trace::Trace;

use crate::diag::{Finding, Place};

/// Reads a capture, whichever of the two forms it has.
///
/// # Errors
/// Says what is wrong with the file.
pub fn read(text: &str) -> Result<Trace, Finding> {
    let trace = if vcd::is_vcd(text) { vcd::read(text) } else { table::read(text) };
    let trace = trace.map_err(|why| {
        Finding::error(Place::Nowhere, format!("the capture cannot be read: {why}"))
            .hint("export it as VCD (IEEE 1364), or as CSV with the time in the first column and one column per line")
    })?;
    if trace.rows.len() < 2 {
        return Err(Finding::error(Place::Nowhere, "nothing changes in the capture")
            .hint("check the probes' ground and the trigger, and capture while the show plays"));
    }
    Ok(trace)
}

/// Decodes a capture whose lines are known.
pub fn decode(trace: &Trace, lines: &DisplayLines) -> Decoded {
    match lines {
        DisplayLines::I2c { clock, data } => i2c::decode(trace, *clock, *data),
        DisplayLines::Spi(lines) => spi::decode(trace, lines),
    }
}
