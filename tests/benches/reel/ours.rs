//! What pageloom makes of a show: bytes of flash by kind, bytes on the bus, and the time it takes.

use super::common::Drawn;
use pageloom::budget::measure;
use pageloom::diag::Findings;
use pageloom::panel::player_costs;
use pageloom::reel::{Reel, columns, compile_as_film, compile_densely, compile_lean};
use std::time::{Duration, Instant};

/// The figures of one show.
pub struct Ours {
    /// Reel bytes without the set-up and the tables.
    pub scenes: usize,
    /// The trees or tables of a dense reel.
    pub model: usize,
    /// Header, tables and set-up.
    pub tables: usize,
    pub compile_time: Duration,
    /// Bytes on the bus, and bytes of cells that changed, over all frames but the key frames.
    pub bus: usize,
    pub changed: usize,
    /// What sending every frame whole would put on the bus.
    pub everything: usize,
    pub frames: usize,
    /// Code of the player that such a reel needs, and its state with any copy of the picture, on an ATmega328P; the tests
    /// measure both.
    pub player: u32,
    pub ram: u32,
}

/// The part for which code and state are told.
pub const PART: &str = "ATmega328P";
/// Address, control byte and three commands of a seek.
const SEEK: usize = 5;

/// Compiles and plays a show; panics when it cannot be compiled.
pub fn measured(drawn: &Drawn) -> Ours {
    let begun = Instant::now();
    let mut findings = Findings::default();
    let reel = compile_lean(&drawn.show, &drawn.frames, &mut findings);
    let Some(reel) = reel else { panic!("{} does not compile", drawn.name) };
    let compile_time = begun.elapsed();
    split(drawn, &reel, compile_time)
}

/// Compiles a show densely; `None` when it cannot be.
pub fn measured_densely(drawn: &Drawn) -> Option<Ours> {
    let begun = Instant::now();
    let reel = compile_densely(&drawn.show, &drawn.frames, &mut Findings::default())?;
    Some(split(drawn, &reel, begun.elapsed()))
}

/// Compiles a show as a film; `None` when it cannot be.
pub fn measured_as_film(drawn: &Drawn) -> Option<Ours> {
    let begun = Instant::now();
    let reel = compile_as_film(&drawn.show, &drawn.frames, &mut Findings::default())?;
    Some(split(drawn, &reel, begun.elapsed()))
}

fn split(drawn: &Drawn, reel: &Reel, compile_time: Duration) -> Ours {
    let tables = reel.layout.header_bytes + reel.layout.set_up_bytes;
    let model = reel.layout.model_bytes;
    let scenes = reel.bytes.len() - tables - model;
    let cost = player_costs().iter().find(|row| row.part == PART).expect("a row of the table");
    let parts = reel.parts;
    let ram = cost.state_with(parts).0 + cost.picture_ram(parts, drawn.show.panel()).0;
    let player = cost.flash_with(parts).0;
    let (bus, changed, everything, frames) = (0, 0, 0, 0);
    let ours = Ours { scenes, model, tables, compile_time, bus, changed, everything, frames, player, ram };
    on_the_bus(drawn, reel, ours)
}

fn on_the_bus(drawn: &Drawn, reel: &Reel, mut ours: Ours) -> Ours {
    let show = &drawn.show;
    let pages = (show.panel().height as usize).div_ceil(8);
    let limit = usize::from(show.bus().write_limit) - 1;
    let row = show.panel().width as usize;
    let whole = pages * (SEEK + row + 2 * row.div_ceil(limit));
    for (load, pictures) in measure(show, &reel.bytes, show.bus()).iter().zip(&drawn.frames) {
        let cells: Vec<_> = pictures.iter().map(|picture| columns(show.panel(), show.mounting(), picture)).collect();
        for pair in cells.windows(2) {
            let changes = pair[0].bits().iter().zip(pair[1].bits()).map(|(a, b)| (a ^ b).to_le_bytes());
            ours.changed += changes.flatten().filter(|byte| *byte != 0).count();
        }
        ours.bus += load.frames.iter().take(pictures.len()).skip(1).map(|frame| frame.bytes.0 as usize).sum::<usize>();
        ours.frames += pictures.len() - 1;
        ours.everything += whole * (pictures.len() - 1);
    }
    ours
}
