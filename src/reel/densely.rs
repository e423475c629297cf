//! Compiles a show and its frames to a dense reel. Beams are predicted if that is worth the code in the player.

use super::beam::seen_beam;
use super::compile::{Reel, footage_of, header, planner, reachable, seen};
use super::dense::{DenseReel, FrameSequence, Predictor, VisibleWindow};
use super::dense::{compile_dense, film_sequence, predictor, sequence};
use super::film::compile_film;
use super::lamps::{LampTable, lamp_tables};
use super::scene::SceneFrames;
use crate::diag::{Finding, Findings};
use crate::panel::PlayerParts;
use crate::render::{Bitmap, turning};
use crate::show::Show;
use crate::whole::limited;
use rayon::prelude::*;

/// Compiles a show to a dense reel. `frames` has one list of pictures per scene, as the viewer sees them. Reports a reel that is
/// too long for the player's offsets. Returns `None` also if the show has live fields, because the picture copy does not contain
/// them.
pub fn compile_densely(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let flash = |reel: &Reel| {
        limited::<u32, _>(reel.bytes.len()) + show.microcontroller().player_cost().0.flash_with(reel.parts).0
    };
    // A predicted beam saves decisions, so it may take a little more flash.
    let price = |reel: &Reel| flash(reel) - if reel.parts.beam { flash(reel) / MOST_MORE_FLASH } else { 0 };
    dense_reels(show, frames, findings)?.into_iter().min_by_key(price)
}

/// Compiles a show with a predicted beam, if there is one, and without.
pub(super) fn dense_reels(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<Reel>> {
    let lamps = lamp_tables(show, findings)?;
    let scene_frames = scenes_of(show, frames, findings)?;
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

/// Returns the frames of all scenes. `None` if the picture copy cannot contain all that is shown.
fn scenes_of(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<SceneFrames>> {
    if show.scenes().iter().any(|scene| !scene.fields.is_empty()) {
        let message = "a show with live fields cannot be dense: its picture copy does not contain them";
        let hint = "remove `profile`, or remove the fields";
        findings.push(Finding::error(show.spans().whole, message).hint(hint));
        return None;
    }
    let mut followed = show.scenes().iter().flat_map(|scene| &scene.layers).flat_map(|layer| &layer.follows);
    if let Some(live) = followed.next().and_then(|value| show.live().get(value.0)) {
        let message =
            "a show with layers that follow live values cannot be dense: its picture copy does not follow them";
        let hint = "remove `profile`, or let only contrasts follow live values";
        findings.push(Finding::error(live.span, message).hint(hint));
        return None;
    }
    let frames = seen(show, frames);
    let scenes = show.scenes().par_iter().zip(frames.par_iter());
    Some(scenes.map(|(scene, pictures)| footage_of(show, scene, pictures)).collect())
}

/// Largest height of a film in rows: the player has a bit for each of eight pages.
const MOST_FILM_ROWS: u32 = 64;

/// Compiles a show to a film, if its display is not too tall. A film is like a dense reel, but three times as fast to decode. It is
/// larger if layers move in a regular way.
pub fn compile_as_film(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    if show.panel().height > MOST_FILM_ROWS {
        return None;
    }
    let lamps = lamp_tables(show, findings)?;
    let scene_frames = scenes_of(show, frames, findings)?;
    let sequences: Vec<FrameSequence> =
        scene_frames.par_iter().map(|frames| film_sequence(frames, show.panel().controller)).collect();
    let planner = planner(show.panel(), show.mounting(), show.bus());
    let compiled = compile_film(&header(show), &sequences, &planner, visible(show, planner.first_column));
    let parts = PlayerParts { dense: true, film: true, ..live_parts(show) };
    reachable(show, vec![reel(compiled, &lamps, parts)], findings)?.pop()
}

/// A beam is predicted if reel and player grow by at most 1/40, because it also saves decisions: on the 72×40 sweep of the bench,
/// the busiest frame has 145 decisions with a predicted beam and 307 without.
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
    let compiled = compile_dense(&header(show), &sequences, &planner, visible(show, planner.first_column));
    let beam = predictors.iter().any(Option::is_some);
    reel(compiled, lamps, PlayerParts { dense: true, beam, ..live_parts(show) })
}

/// The player parts for a contrast that follows a live value, if there is one.
fn live_parts(show: &Show) -> PlayerParts {
    let dims = show.scenes().iter().any(|scene| scene.contrast.at_steps().is_some());
    PlayerParts { live: limited(show.live().len()), dims, ..PlayerParts::NONE }
}

fn visible(show: &Show, first_column: u8) -> VisibleWindow {
    let panel = show.panel();
    VisibleWindow { width: limited(panel.width), pages: limited(panel.height.div_ceil(8)), first_column }
}

fn reel(compiled: DenseReel, lamps: &[LampTable], parts: PlayerParts) -> Reel {
    let DenseReel { bytes, layout } = compiled;
    Reel { bytes, layout, scenes: Vec::new(), fields: Vec::new(), lamps: lamps.to_vec(), parts, provisional: false }
}
