//! Which profile a show is compiled in: the one it asks for, else the lean one, or the dense one where only that fits.

use super::compile::{Reel, compile_lean_telling};
use super::densely::compile_densely;
use crate::diag::Findings;
use crate::render::Bitmap;
use crate::show::{Profile, Show};

/// How a show is compiled.
#[derive(Clone, Copy)]
pub struct Manner<'a> {
    /// Without looking for a dense reel, which takes most of the time: a lean one shows the same and is larger as a rule. It is
    /// provisional where else a dense one would be looked for; beyond the player's reach it is made in full.
    pub quickly: bool,
    /// Called for each scene planned, with how many there are.
    pub done: &'a (dyn Fn(usize) + Sync),
}

/// Compiles a show from its rendered frames, one list a scene in viewer space, in the profile that it asks for.
pub fn compile(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    compile_in(Manner { quickly: false, done: &|_| {} }, show, frames, findings)
}

/// The same in a manner of one's own.
pub fn compile_in(manner: Manner<'_>, show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let lean = |findings: &mut Findings| compile_lean_telling(show, frames, findings, manner.done);
    if manner.quickly
        && let Some(lean) = lean(&mut Findings::default())
    {
        let provisional = match show.profile() {
            Profile::Lean => false,
            Profile::Dense => true,
            Profile::Fitting => !fits(show, &lean),
        };
        return Some(Reel { provisional, ..lean });
    }
    match show.profile() {
        Profile::Lean => lean(findings),
        Profile::Dense => compile_densely(show, frames, findings),
        Profile::Fitting => {
            let lean = lean(findings)?;
            if fits(show, &lean) {
                return Some(lean);
            }
            // Whatever keeps the dense one from being made, the lean one and its own faults stand.
            let dense = compile_densely(show, frames, &mut Findings::default());
            Some(dense.filter(|dense| fits(show, dense)).unwrap_or(lean))
        }
    }
}

/// Whether reel, player and lamps fit the flash and the RAM that are left. Live fields do not count: with them there is no
/// dense reel to choose.
pub(super) fn fits(show: &Show, reel: &Reel) -> bool {
    let player = show.microcontroller().player_cost().0;
    let lamp_code = if reel.lamps.is_empty() { 0 } else { show.microcontroller().lamp_code().flash.0 };
    let flash = reel.bytes.len() as u32 + player.flash_with(reel.parts).0 + lamp_code + reel.lamp_bytes();
    let picture = player.picture_ram(reel.parts, show.panel()).0;
    let ram = player.state_with(reel.parts).0 + player.stack_with(reel.parts).0 + picture;
    flash <= show.room().flash.0 && ram <= show.room().ram.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::panel::find_microcontroller;
    use crate::render::render;
    use crate::show::load;
    use crate::source::{Disk, Files, Memory, Reader};
    use std::path::Path;

    /// Noise of grains of two pixels, which a lean reel must tell, with so much flash left and with `more` in its script.
    fn compiled(left: u32, more: &str) -> Reel {
        made(left, more, false)
    }

    fn made(left: u32, more: &str, quickly: bool) -> Reel {
        let path = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/scenes/bench/grains.ron"));
        let script =
            String::from_utf8(Disk.read(path, crate::source::LIMITS.text_bytes).expect("a show")).expect("text");
        let script = script.replacen("flash_left: 24_000", &format!("flash_left: {left}"), 1);
        let script = script.replacen("ram_left: 900", "ram_left: 1_900", 1);
        let script = script.replacen("seed: 7", "seed: 7, grain: 2", 1);
        let script = script.replacen("Show(", &format!("Show({more}"), 1);
        let script = script.replace("\"../../fonts/", "Shipped(\"").replace(".ron\",", "\"),");
        let (files, mut findings) = (Memory::default().with("show.ron", script), Findings::default());
        let show = load(&mut Reader::new(&files), Path::new("show.ron"), &mut findings);
        let show = show.unwrap_or_else(|| panic!("{findings:?}"));
        let manner = Manner { quickly, done: &|_| {} };
        compile_in(manner, &show, &render(&show), &mut findings).unwrap_or_else(|| panic!("{findings:?}"))
    }

    #[test]
    fn a_quick_reel_is_the_lean_one_and_provisional_where_a_dense_one_is_looked_for() {
        for (left, profile, provisional) in [
            (32_000, "", false),
            (9_000, "", true),
            (9_000, "profile: Lean, ", false),
            (32_000, "profile: Dense, ", true),
        ] {
            let (full, quick) = (made(left, profile, false), made(left, profile, true));
            assert_eq!(
                (quick.parts.dense, quick.provisional, full.provisional),
                (false, provisional, false),
                "{left} {profile}"
            );
            assert_eq!(quick.bytes == full.bytes, !full.parts.dense);
            assert!(quick.bytes.len() >= full.bytes.len());
        }
    }

    #[test]
    fn lamps_count_where_it_is_asked_what_fits() {
        let lamps = r#"lamps: {"glow": Lamp(level: Swing(from: 0, to: 255, seconds: 2))}, "#;
        let lean = compiled(32_000, "");
        assert!(!lean.parts.dense);
        let player = find_microcontroller("ATmega328P").expect("a row").player_cost().0.flash_with(lean.parts);
        let just = lean.bytes.len() as u32 + player.0;
        assert!(!compiled(just, "").parts.dense, "the lean reel just fits");
        assert!(compiled(just, lamps).parts.dense, "with lamps it does not");
    }
}
