//! A show and its frames as a finished dense reel, with beams predicted where that is worth the player's code for it.

use super::beam::seen_beam;
use super::compile::{Reel, footage_of, header, planner, reachable, seen};
use super::dense::{DenseReel, FrameSequence, Predictor, VisibleWindow, compile_dense, predictor, sequence};
use super::lamps::{LampTable, lamp_tables};
use super::scene::SceneFrames;
use crate::diag::{Finding, Findings};
use crate::panel::PlayerParts;
use crate::render::{Bitmap, turning};
use crate::show::Show;
use rayon::prelude::*;

/// Compiles a show with a copy of the picture from its rendered frames, one list a scene in viewer space; reports a reel beyond
/// the player's reach. `None` also when the show has live fields, which draw where the copy knows nothing of them.
pub fn compile_densely(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let flash = |reel: &Reel| reel.bytes.len() as u32 + show.microcontroller().player_cost().0.flash_with(reel.parts).0;
    // A beam that is predicted spares decisions, so it may take a little more flash.
    let price = |reel: &Reel| flash(reel) - if reel.parts.beam { flash(reel) / MOST_MORE_FLASH } else { 0 };
    dense_reels(show, frames, findings)?.into_iter().min_by_key(price)
}

/// The same with a beam predicted, where there is one, and without.
pub(super) fn dense_reels(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<Reel>> {
    let lamps = lamp_tables(show, findings)?;
    if show.scenes().iter().any(|scene| !scene.fields.is_empty()) {
        let message = "a show with live fields cannot be dense: its picture copy does not contain them";
        let hint = "remove `profile`, or remove the fields";
        findings.push(Finding::error(show.spans().whole, message).hint(hint));
        return None;
    }
    if let Some(live) = show.live().first() {
        let message = "a show with live values cannot be dense: its picture copy does not follow them";
        let hint = "remove `profile`, or the live values";
        findings.push(Finding::error(live.span, message).hint(hint));
        return None;
    }
    let scene_frames: Vec<SceneFrames> = {
        let frames = seen(show, frames);
        let scenes = show.scenes().par_iter().zip(frames.par_iter());
        scenes.map(|(scene, pictures)| footage_of(show, scene, pictures)).collect()
    };
    let seen = |scene| predictor(&seen_beam(&turning(show, scene)?, show.panel(), show.mounting())?);
    let predictors: Vec<Option<Predictor>> = show.scenes().iter().map(seen).collect();
    let without = || draw_densely(show, &scene_frames, &vec![None; scene_frames.len()], &lamps);
    let reels = if predictors.iter().any(Option::is_some) {
        let (with, without) = rayon::join(|| draw_densely(show, &scene_frames, &predictors, &lamps), without);
        vec![with, without]
    } else {
        vec![without()]
    };
    reachable(show, reels, findings)
}

/// A beam is predicted where reel and player take at most one part in so many more with it, as it also spares choices: of the
/// bench's sweep on 72×40 the busiest frame makes 145 of them with a beam and 307 without.
const MOST_MORE_FLASH: u32 = 40;

fn draw_densely(
    show: &Show,
    scene_frames: &[SceneFrames],
    predictors: &[Option<Predictor>],
    lamps: &[LampTable],
) -> Reel {
    let planner = planner(show.panel(), show.mounting(), show.bus());
    let scenes = scene_frames.par_iter().zip(predictors);
    let sequences: Vec<FrameSequence> =
        scenes.map(|(scene_frames, predictor)| sequence(scene_frames, *predictor, show.panel().controller)).collect();
    let pages = show.panel().height.div_ceil(8) as u8;
    let visible = VisibleWindow { width: show.panel().width as u8, pages, first_column: planner.first_column };
    let DenseReel { bytes, layout } = compile_dense(&header(show), &sequences, &planner, visible);
    Reel {
        bytes,
        layout,
        scenes: Vec::new(),
        fields: Vec::new(),
        lamps: lamps.to_vec(),
        parts: PlayerParts { dense: true, beam: predictors.iter().any(Option::is_some), ..PlayerParts::default() },
        provisional: false,
    }
}
