//! The scenes of a show for players with a copy of the picture: each way to divide them into areas and what the copy has.

use super::areas::{AreaChoice, Block, Division, NoAreas, Proposals, SceneInk, no_live};
use super::compile::{footage_of, kept_frames, planner, seen};
use super::scene::SceneFrames;
use crate::diag::{Finding, Findings};
use crate::render::Bitmap;
use crate::show::{Scene, Show};
use rayon::prelude::*;

/// For each scene of a show, its areas and what the copy has below them; `None` if the copy has the whole picture.
pub type Divisions = Vec<Option<Division>>;

/// How layers that need not be areas are divided: those whose changes take this many times the bytes of their areas, or all. The number
/// is our own choice: dense reels code changes in a fraction of the bytes that lean reels take for them.
const CHOICES: [AreaChoice; 2] = [AreaChoice::Cheaper(4), AreaChoice::All];

/// The scenes of a show, to be divided.
pub struct DividedScenes<'s> {
    pub show: &'s Show,
    /// Whether the display inverts on its own, so that inversions of the whole picture are not layers.
    inverts: bool,
    pub frames: Vec<SceneFrames>,
}

/// A scene with its layers as areas.
struct Proposed<'f> {
    frames: &'f SceneFrames,
    ink: SceneInk,
    proposals: Proposals,
}

impl<'s> DividedScenes<'s> {
    /// The scenes of a show. Reports live fields, which cannot lie over a copy of the picture.
    pub fn of(show: &'s Show, frames: &[Vec<Bitmap>], inverts: bool, findings: &mut Findings) -> Option<Self> {
        if show.scenes().iter().any(|scene| !scene.fields.is_empty()) {
            let message = "a show with live fields cannot be dense: its picture copy does not contain them";
            let hint = "remove `profile`, or use live texts in place of the fields";
            findings.push(Finding::error(show.spans().whole, message).hint(hint));
            return None;
        }
        let frames = seen(show, frames);
        let scenes = show.scenes().par_iter().zip(frames.par_iter());
        let frames = scenes.map(|(scene, pictures)| footage_of(show, scene, pictures)).collect();
        Some(Self { show, inverts, frames })
    }

    /// Divides the scenes so that only layers that follow live values are areas. Reports layers for which this is not possible.
    pub fn live(&self, findings: &mut Findings) -> Option<Divisions> {
        let divided = |(scene, frames): (&Scene, &SceneFrames)| {
            if frames.live.values.is_empty() {
                return Ok(None);
            }
            let division = self.proposed(scene, frames).and_then(|scene| self.divided(&scene, AreaChoice::Live));
            division.map(Some).map_err(|why| no_live(self.show, scene, why))
        };
        let scenes = self.show.scenes().par_iter().zip(&self.frames);
        let divisions: Vec<Result<Option<Division>, Finding>> = scenes.map(divided).collect();
        findings.extend(divisions.iter().filter_map(|division| division.as_ref().err().cloned()));
        divisions.into_iter().collect::<Result<_, _>>().ok()
    }

    /// Divides the scenes in other ways. A scene that cannot be divided so is divided as in `live`.
    pub fn others(&self, live: &Divisions) -> Vec<Divisions> {
        let scenes = self.show.scenes().par_iter().zip(&self.frames);
        let scenes: Vec<Option<Proposed>> = scenes.map(|(scene, frames)| self.proposed(scene, frames).ok()).collect();
        let divided = |choice: AreaChoice| -> Divisions {
            let way = |(scene, live): (&Option<Proposed>, &Option<Division>)| {
                scene.as_ref().and_then(|scene| self.divided(scene, choice).ok()).or_else(|| live.clone())
            };
            scenes.par_iter().zip(live).map(way).collect()
        };
        let mut ways: Vec<Divisions> = CHOICES.map(divided).into_iter().collect();
        ways.dedup_by(|one, other| areas(one) == areas(other));
        ways.retain(|way| areas(way) != areas(live));
        ways
    }

    fn proposed<'f>(&self, scene: &Scene, frames: &'f SceneFrames) -> Result<Proposed<'f>, NoAreas> {
        let kept = kept_frames(self.show, scene, frames.pictures.len());
        let mut ink = SceneInk::of(self.show, scene, &kept, self.inverts)?;
        if ink.inverted[0] {
            // The first frame of a scene is never inverted.
            ink = SceneInk::of(self.show, scene, &kept, false)?;
        }
        let proposals = Proposals::of(&ink);
        Ok(Proposed { frames, ink, proposals })
    }

    fn divided(&self, scene: &Proposed<'_>, choice: AreaChoice) -> Result<Division, NoAreas> {
        let first_column = planner(self.show.panel(), self.show.mounting(), self.show.bus()).first_column;
        Division::of(scene.frames, (&scene.ink, &scene.proposals), choice, first_column)
    }
}

fn areas(divisions: &Divisions) -> Vec<Option<&Block>> {
    divisions.iter().map(|division| division.as_ref().map(|division| &division.areas)).collect()
}
