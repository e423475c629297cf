//! Which profile a show is compiled in: the one it asks for, else the lean one, or the dense one where only that fits.

use super::compile::{Reel, compile_densely, compile_lean};
use crate::diag::Findings;
use crate::render::Bitmap;
use crate::show::{Profile, Show};

/// Compiles a show from its rendered frames, one list a scene in viewer space, in the profile that it asks for.
pub fn compile(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    match show.profile() {
        Profile::Lean => compile_lean(show, frames, findings),
        Profile::Dense => compile_densely(show, frames, findings),
        Profile::Fitting => {
            let lean = compile_lean(show, frames, findings)?;
            if fits(show, &lean) {
                return Some(lean);
            }
            // Whatever keeps the dense one from being made, the lean one and its own faults stand.
            let dense = compile_densely(show, frames, &mut Findings::default());
            Some(dense.filter(|dense| fits(show, dense)).unwrap_or(lean))
        }
    }
}

/// Whether reel and player fit the flash and the RAM that are left.
fn fits(show: &Show, reel: &Reel) -> bool {
    let player = show.microcontroller().player_cost().0;
    let flash = reel.bytes.len() as u32 + player.flash_in(reel.dense).0;
    let picture = if reel.dense { player.picture_ram(show.panel()).0 } else { 0 };
    let ram = player.state.0 + player.stack_in(reel.dense).0 + picture;
    flash <= show.room().flash.0 && ram <= show.room().ram.0
}
