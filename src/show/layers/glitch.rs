//! Bands of the picture torn sideways.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// Tears bands of what lies below sideways, again and again, as a bad signal would; it has no ink of its own.
    Glitch, r#"Glitch(pixels: 6, share: 0.4, times_a_second: 8, seed: 1)"# {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Pixels that a band moves at most.
        pixels: Track [0.0, 500.0] = 4.0;
        /// The share of bands that are torn at a time.
        share: Track [0.0, 1.0] = 0.4;
        /// Rows of a band.
        rows: u32 [1.0, 64.0] = 3;
        /// How often the tears change.
        times_a_second: f64 [0.1, 100.0] = 8.0;
        /// Chooses among many such courses.
        seed: u32 = 1;
    }
}
