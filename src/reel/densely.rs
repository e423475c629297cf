//! A show and its frames as a finished dense reel, with beams foreseen where that is worth the player's code for it.

use super::beam::seen_beam;
use super::compile::{Reel, footage_of, header, planner, reachable, seen};
use super::dense::{DenseReel, Glass, Sighting, Story, compile_dense, sighting, story};
use super::lamps::{LampTable, lamp_tables};
use super::scene::Footage;
use crate::diag::{Finding, Findings};
use crate::panel::PlayerParts;
use crate::render::{Bitmap, turning};
use crate::show::Show;
use rayon::prelude::*;

/// Compiles a show with a copy of the picture from its rendered frames, one list a scene in viewer space; reports a reel beyond
/// the player's reach. `None` also when the show has live fields, which draw where the copy knows nothing of them.
pub fn compile_densely(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let flash = |reel: &Reel| reel.bytes.len() as u32 + show.microcontroller().player_cost().0.flash_with(reel.parts).0;
    // A beam that is foreseen spares decisions, so it may take a little more flash.
    let price = |reel: &Reel| flash(reel) - if reel.parts.beam { flash(reel) / MOST_MORE_FLASH } else { 0 };
    dense_reels(show, frames, findings)?.into_iter().min_by_key(price)
}

/// The same with a beam foreseen, where there is one, and without.
pub(super) fn dense_reels(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<Reel>> {
    let lamps = lamp_tables(show, findings)?;
    if show.scenes().iter().any(|scene| !scene.fields.is_empty()) {
        let message = "a show with live fields cannot be dense: its picture copy does not contain them";
        let hint = "remove `profile`, or remove the fields";
        findings.push(Finding::error(show.spans().whole, message).hint(hint));
        return None;
    }
    let footage: Vec<Footage> = {
        let frames = seen(show, frames);
        let scenes = show.scenes().par_iter().zip(frames.par_iter());
        scenes.map(|(scene, pictures)| footage_of(show, scene, pictures)).collect()
    };
    let seen = |scene| sighting(&seen_beam(&turning(show, scene)?, show.panel(), show.mounting())?);
    let sightings: Vec<Option<Sighting>> = show.scenes().iter().map(seen).collect();
    let without = || draw_densely(show, &footage, &vec![None; footage.len()], &lamps);
    let reels = if sightings.iter().any(Option::is_some) {
        let (with, without) = rayon::join(|| draw_densely(show, &footage, &sightings, &lamps), without);
        vec![with, without]
    } else {
        vec![without()]
    };
    reachable(show, reels, findings)
}

/// A beam is foreseen where reel and player take at most one part in so many more with it, as it also spares choices: of the
/// bench's sweep on 72×40 the busiest frame makes 145 of them with a beam and 307 without.
const MOST_MORE_FLASH: u32 = 40;

fn draw_densely(show: &Show, footage: &[Footage], sightings: &[Option<Sighting>], lamps: &[LampTable]) -> Reel {
    let planner = planner(show.panel(), show.mounting(), show.bus());
    let scenes = footage.par_iter().zip(sightings);
    let stories: Vec<Story> = scenes.map(|(footage, sighting)| story(footage, *sighting)).collect();
    let pages = show.panel().height.div_ceil(8) as u8;
    let glass = Glass { width: show.panel().width as u8, pages, first_column: planner.first_column };
    let DenseReel { bytes, layout } = compile_dense(&header(show), &stories, &planner, glass);
    Reel {
        bytes,
        layout,
        scenes: Vec::new(),
        fields: Vec::new(),
        lamps: lamps.to_vec(),
        parts: PlayerParts { dense: true, beam: sightings.iter().any(Option::is_some), ..PlayerParts::default() },
        provisional: false,
    }
}
