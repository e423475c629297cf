//! Compiles a show and its frames to dense reels and films, with areas over the copy of the picture or without. Beams are predicted if
//! that is worth the code in the player.

use super::areas::{Carriage, Division, kept_bytes};
use super::beam::seen_beam;
use super::compile::{Reel, header, planner, reachable};
use super::dense::{DenseReel, FrameSequence, Predictor, VisibleWindow};
use super::dense::{compile_dense, film_sequence, may_invert, predictor, sequence};
use super::divided::{DividedScenes, Divisions};
use super::film::compile_film;
use super::lamps::{LampTable, lamp_tables};
use super::scene::Planned;
use crate::diag::Findings;
use crate::panel::PlayerParts;
use crate::render::{Bitmap, turning};
use crate::show::Show;
use crate::whole::limited;
use rayon::prelude::*;

/// Compiles a show to a dense reel. `frames` has one list of pictures per scene, as the viewer sees them. Reports a reel that is
/// too long for the player's offsets. Returns `None` also if the show has live fields, because the picture copy does not contain
/// them.
pub fn compile_densely(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let flash = |reel: &Reel| flash_of(show, reel);
    // A predicted beam saves decisions, so it may take a little more flash.
    let price = |reel: &Reel| flash(reel) - if reel.parts.beam { flash(reel) / MOST_MORE_FLASH } else { 0 };
    dense_reels(show, frames, findings)?.into_iter().min_by_key(price)
}

/// Compiles a show to a film, in the same way. `None` also if its display is too tall.
pub fn compile_as_film(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    film_reels(show, frames, findings)?.into_iter().min_by_key(|reel| flash_of(show, reel))
}

/// Flash bytes of a reel and of the player that it needs.
fn flash_of(show: &Show, reel: &Reel) -> u32 {
    limited::<u32, _>(reel.bytes.len()) + show.microcontroller().player_cost().0.flash_with(reel.parts).0
}

/// Compiles a show with each way to divide its scenes into areas and a copy of the picture, each with a predicted beam, if there is
/// one, and without.
pub(super) fn dense_reels(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<Reel>> {
    dense_reels_in(DivisionSet::Paying, show, frames, findings)
}

/// Compiles a show to dense reels with more areas than it needs, which may save time even if they do not repay their code.
pub fn dense_reels_with_areas(show: &Show, frames: &[Vec<Bitmap>]) -> Vec<Reel> {
    dense_reels_in(DivisionSet::WithAreas, show, frames, &mut Findings::default()).unwrap_or_default()
}

/// Compiles a show to dense reels and films in every way to divide its scenes, whatever that costs. The build takes only some of them;
/// tests hold all against the frames.
pub fn every_dense_reel(show: &Show, frames: &[Vec<Bitmap>]) -> Vec<Reel> {
    let mut findings = Findings::default();
    let dense = dense_reels_in(DivisionSet::All, show, frames, &mut findings);
    let films = film_reels_in(DivisionSet::All, show, frames, &mut findings);
    dense.into_iter().chain(films).flatten().collect()
}

/// The ways to divide the scenes of a show that are compiled.
#[derive(Clone, Copy, PartialEq)]
enum DivisionSet {
    /// With the areas that the show needs, and with more if these may repay their code.
    Paying,
    WithAreas,
    All,
}

fn dense_reels_in(set: DivisionSet, show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<Reel>> {
    let lamps = lamp_tables(show, findings)?;
    let scenes = DividedScenes::of(show, frames, may_invert(show.panel().controller), findings)?;
    let seen = |scene| predictor(&seen_beam(&turning(show, scene)?, show.panel(), show.mounting())?);
    let predictors: Vec<Option<Predictor>> = show.scenes().iter().map(seen).collect();
    let without = vec![None; predictors.len()];
    let beams = if predictors.iter().any(Option::is_some) { vec![&predictors, &without] } else { vec![&without] };
    let drawn = |divisions: &Divisions| -> Vec<Reel> {
        beams.par_iter().map(|beam| drawn(show, &scenes, divisions, beam, &lamps)).collect()
    };
    reachable(show, divided(set, &scenes, findings, drawn)?, findings)
}

/// Compiles the scenes in the ways of this set.
fn divided(
    set: DivisionSet,
    scenes: &DividedScenes<'_>,
    findings: &mut Findings,
    compiled: impl Fn(&Divisions) -> Vec<Reel> + Sync,
) -> Option<Vec<Reel>> {
    let live = scenes.live(findings)?;
    let mut reels = if set == DivisionSet::WithAreas { Vec::new() } else { compiled(&live) };
    if set != DivisionSet::Paying || reels.iter().all(|reel| areas_may_pay(scenes.show, reel)) {
        let others = scenes.others(&live);
        reels.extend(others.par_iter().map(&compiled).flatten().collect::<Vec<_>>());
    }
    Some(reels)
}

/// Returns whether areas may save more than their code: a reel of the same show has more bytes in its model and its scenes, or its player
/// has areas anyway.
fn areas_may_pay(show: &Show, reel: &Reel) -> bool {
    let player = show.microcontroller().player_cost().0;
    let code = player.flash_with(PlayerParts { areas: 1, ..reel.parts }).0 - player.flash_with(reel.parts).0;
    let all = reel.bytes.len() - reel.layout.header_bytes - reel.layout.set_up_bytes;
    limited::<u32, _>(all) > code
}

/// Largest height of a film in rows: the player has a bit for each of eight pages.
const MOST_FILM_ROWS: u32 = 64;

/// Compiles a show to films, if its display is not too tall. A film is like a dense reel, but three times as fast to decode. It is
/// larger if layers move in a regular way.
pub fn film_reels(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<Reel>> {
    film_reels_in(DivisionSet::Paying, show, frames, findings)
}

fn film_reels_in(set: DivisionSet, show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Vec<Reel>> {
    if show.panel().height > MOST_FILM_ROWS {
        return None;
    }
    let lamps = lamp_tables(show, findings)?;
    let scenes = DividedScenes::of(show, frames, false, findings)?;
    let filmed = |divisions: &Divisions| vec![filmed(show, &scenes, divisions, &lamps)];
    reachable(show, divided(set, &scenes, findings, filmed)?, findings)
}

/// A beam is predicted if reel and player grow by at most 1/40, because it also saves decisions: on the 72×40 sweep of the bench,
/// the busiest frame has 145 decisions with a predicted beam and 307 without.
const MOST_MORE_FLASH: u32 = 40;

fn drawn(
    show: &Show,
    scenes: &DividedScenes<'_>,
    divisions: &Divisions,
    predictors: &[Option<Predictor>],
    lamps: &[LampTable],
) -> Reel {
    let (planner, controller) = (planner(show.panel(), show.mounting(), show.bus()), show.panel().controller);
    let all = scenes.frames.par_iter().zip(divisions).zip(predictors);
    let sequences: Vec<FrameSequence> = all
        .map(|((frames, division), predictor)| sequence(frames, division.as_ref(), *predictor, controller))
        .collect();
    let compiled = compile_dense(&header(show), &sequences, &planner, visible(show, planner.first_column));
    let beam = predictors.iter().any(Option::is_some);
    reel(compiled, divisions, lamps, PlayerParts { beam, ..parts_of(show, divisions) })
}

fn filmed(show: &Show, scenes: &DividedScenes<'_>, divisions: &Divisions, lamps: &[LampTable]) -> Reel {
    let (planner, controller) = (planner(show.panel(), show.mounting(), show.bus()), show.panel().controller);
    let all = scenes.frames.par_iter().zip(divisions);
    let sequences: Vec<FrameSequence> =
        all.map(|(frames, division)| film_sequence(frames, division.as_ref(), controller)).collect();
    let compiled = compile_film(&header(show), &sequences, &planner, visible(show, planner.first_column));
    reel(compiled, divisions, lamps, PlayerParts { film: true, ..parts_of(show, divisions) })
}

fn visible(show: &Show, first_column: u8) -> VisibleWindow {
    let panel = show.panel();
    VisibleWindow { width: limited(panel.width), pages: limited(panel.height.div_ceil(8)), first_column }
}

fn reel(compiled: DenseReel, divisions: &Divisions, lamps: &[LampTable], parts: PlayerParts) -> Reel {
    let DenseReel { bytes, layout } = compiled;
    let scenes = divisions.iter().map(planned).collect();
    Reel { bytes, layout, scenes, fields: Vec::new(), lamps: lamps.to_vec(), parts, provisional: false }
}

/// How the layers of a scene are carried. The rest of its plan is in the reel.
fn planned(division: &Option<Division>) -> Planned {
    let Some(division) = division else { return Planned { carriage: Carriage::Copy, ..Planned::nothing() } };
    let (carriage, live_layers) = (division.carriage.clone(), division.live_layers.clone());
    Planned { carriage, live_layers, ..Planned::nothing() }
}

/// The parts that a player needs for a copy of the picture, live values and areas.
fn parts_of(show: &Show, divisions: &Divisions) -> PlayerParts {
    let dims = show.scenes().iter().any(|scene| scene.contrast.at_steps().is_some());
    let blocks = || divisions.iter().flatten().map(|division| &division.areas);
    PlayerParts {
        dense: true,
        areas: blocks().map(|areas| areas.count).max().unwrap_or(0),
        grains: blocks().any(|areas| areas.flickers),
        live: limited(show.live().len()),
        history: limited(kept_bytes(show)),
        dims,
        ..PlayerParts::NONE
    }
}
