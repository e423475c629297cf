//! A show and its frames as a finished dense reel, with beams predicted where that is worth the player's code for it.

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

/// Compiles a show with a copy of the picture from its rendered frames, one list a scene in viewer space; reports a reel beyond
/// the player's reach. `None` also when the show has live fields, which draw where the copy knows nothing of them.
pub fn compile_densely(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let flash = |reel: &Reel| {
        limited::<u32, _>(reel.bytes.len()) + show.microcontroller().player_cost().0.flash_with(reel.parts).0
    };
    // A beam that is predicted spares decisions, so it may take a little more flash.
    let price = |reel: &Reel| flash(reel) - if reel.parts.beam { flash(reel) / MOST_MORE_FLASH } else { 0 };
    dense_reels(show, frames, findings)?.into_iter().min_by_key(price)
}

/// The same with a beam predicted, where there is one, and without.
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

/// The frames of all scenes; `None` where the copy of the picture cannot know what is shown.
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

/// The player of films has a bit for each of eight pages.
const MOST_FILM_ROWS: u32 = 64;

/// Compiles a show as a film, if its display is no taller: as a dense reel, but larger where layers move in a regular way, and three times as fast to play.
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
    let compiled = compile_dense(&header(show), &sequences, &planner, visible(show, planner.first_column));
    let beam = predictors.iter().any(Option::is_some);
    reel(compiled, lamps, PlayerParts { dense: true, beam, ..live_parts(show) })
}

/// What a contrast that follows a live value needs, if there is one.
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
