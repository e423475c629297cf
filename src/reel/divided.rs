//! The scenes of a show for players with a copy of the picture: each way to divide them into areas and what the copy has.

use super::areas::{AreaChoice, Division, NoAreas, Proposals, SceneInk, no_live};
use super::compile::{footage_of, kept_frames, planner, seen};
use super::scene::SceneFrames;
use crate::diag::{Finding, Findings};
use crate::panel::PlayerParts;
use crate::render::Bitmap;
use crate::show::{Scene, Show};
use crate::whole::limited;
use rayon::prelude::*;

/// For each scene of a show, its areas and what the copy has below them; `None` if the copy has the whole picture.
pub type Divisions = Vec<Option<Division>>;

/// How layers that need not be areas are divided. A layer as areas is also tried if its changes take this many times its bytes:
/// dense reels code changes in a fraction of the bytes that lean reels take for them.
const CHOICES: [AreaChoice; 3] = [AreaChoice::Live, AreaChoice::Cheaper(4), AreaChoice::All];

/// The scenes of a show, and the ways to divide them.
pub struct DividedScenes {
    pub frames: Vec<SceneFrames>,
    pub divisions: Vec<Divisions>,
}

/// A scene in each way to divide it, and what its moving layers take at most without areas.
struct DividedScene {
    frames: SceneFrames,
    ways: Vec<Option<Division>>,
    changes: usize,
}

impl DividedScenes {
    /// Divides the scenes of a show. If the display `inverts` on its own, inversions of the whole picture are not layers. Reports
    /// scenes that this is not possible for: with live fields, or with layers that follow live values and cannot be areas.
    pub fn of(show: &Show, frames: &[Vec<Bitmap>], inverts: bool, findings: &mut Findings) -> Option<Self> {
        if show.scenes().iter().any(|scene| !scene.fields.is_empty()) {
            let message = "a show with live fields cannot be dense: its picture copy does not contain them";
            let hint = "remove `profile`, or use live texts in place of the fields";
            findings.push(Finding::error(show.spans().whole, message).hint(hint));
            return None;
        }
        let frames = seen(show, frames);
        let scenes: Vec<Result<DividedScene, Finding>> = (show.scenes().par_iter().zip(frames.par_iter()))
            .map(|(scene, pictures)| divided(show, scene, pictures, inverts))
            .collect();
        findings.extend(scenes.iter().filter_map(|scene| scene.as_ref().err().cloned()));
        let scenes: Vec<DividedScene> = scenes.into_iter().collect::<Result<_, _>>().ok()?;
        let is_live = scenes.iter().any(|scene| scene.ways[0].is_some());
        let ways = if is_live || may_pay(show, &scenes) { CHOICES.len() } else { 1 };
        let mut divisions: Vec<Divisions> =
            (0..ways).map(|way| scenes.iter().map(|scene| scene.ways[way].clone()).collect()).collect();
        divisions.dedup_by(|one, other| areas(one) == areas(other));
        Some(Self { frames: scenes.into_iter().map(|scene| scene.frames).collect(), divisions })
    }
}

/// Returns whether areas may pay for their code: without them, moving layers take at most what their changes take in lean reels.
fn may_pay(show: &Show, scenes: &[DividedScene]) -> bool {
    let changes: usize = scenes.iter().map(|scene| scene.changes).sum();
    let player = show.microcontroller().player_cost().0;
    let dense = PlayerParts { dense: true, ..PlayerParts::NONE };
    let code = player.flash_with(PlayerParts { areas: 1, ..dense }).0 - player.flash_with(dense).0;
    limited::<u32, _>(changes) > code
}

fn areas(divisions: &Divisions) -> Vec<Option<&super::areas::Block>> {
    divisions.iter().map(|division| division.as_ref().map(|division| &division.areas)).collect()
}

/// Divides a scene in each way. An error if layers that follow live values cannot be areas.
fn divided(show: &Show, scene: &Scene, pictures: &[Bitmap], inverts: bool) -> Result<DividedScene, Finding> {
    let frames = footage_of(show, scene, pictures);
    let must = !frames.live.values.is_empty();
    let first_column = planner(show.panel(), show.mounting(), show.bus()).first_column;
    let kept = kept_frames(show, scene, pictures.len());
    // The first frame of a scene is never inverted.
    let ink = SceneInk::of(show, scene, &kept, inverts);
    let ink = match ink {
        Ok(ink) if ink.inverted[0] => SceneInk::of(show, scene, &kept, false),
        ink => ink,
    };
    let proposals = ink.as_ref().map(Proposals::of).map_err(|why| *why);
    let way = |choice: AreaChoice| -> Result<Division, NoAreas> {
        let (ink, proposals) = (ink.as_ref().map_err(|why| *why)?, proposals.as_ref().map_err(|why| *why)?);
        Division::of(&frames, (ink, proposals), choice, first_column)
    };
    let ways = CHOICES.map(way);
    let changes = proposals.as_ref().map_or(0, Proposals::changes);
    let live = match &ways[0] {
        Err(why) if must => return Err(no_live(show, scene, *why)),
        live => live.as_ref().ok().cloned(),
    };
    let ways = ways.into_iter().map(|way| way.ok().or_else(|| live.clone())).collect();
    Ok(DividedScene { frames, ways, changes })
}
