//! The reels that a show can be compiled to: lean, dense, and each with different parts of the player.

use super::compile::{Reel, lean_reels};
use super::densely::dense_reels;
use crate::diag::Findings;
use crate::render::Bitmap;
use crate::show::{Profile, Show};

/// How a show is compiled.
#[derive(Clone, Copy)]
pub struct Options<'a> {
    /// Skip the dense reel, which takes most of the time. A lean reel shows the same and is usually larger. It is provisional if a
    /// full build makes a dense one too. If it is too long for the player's offsets, the full build is done anyway.
    pub quickly: bool,
    /// Called for each planned scene, with the number of scenes.
    pub done: &'a (dyn Fn(usize) + Sync),
}

/// A full build without progress reports.
impl Default for Options<'_> {
    fn default() -> Self {
        Self { quickly: false, done: &|_| {} }
    }
}

/// Returns every possible reel of a show, in the profile that it asks for or in both. `frames` has one list of pictures per scene,
/// as the viewer sees them. `None` if a finding says why there is no reel.
pub fn candidates(
    options: Options<'_>,
    show: &Show,
    frames: &[Vec<Bitmap>],
    findings: &mut Findings,
) -> Option<Vec<Reel>> {
    let lean = |findings: &mut Findings| lean_reels(show, frames, findings, options.done);
    if options.quickly
        && let Some(mut reels) = lean(&mut Findings::default())
    {
        let provisional = show.profile() != Some(Profile::Lean);
        reels.iter_mut().for_each(|reel| reel.provisional = provisional);
        return Some(reels);
    }
    match show.profile() {
        Some(Profile::Lean) => lean(findings),
        Some(Profile::Dense) => dense_reels(show, frames, findings),
        None => {
            let mut why = Findings::default();
            let (lean, dense) = rayon::join(|| lean(&mut why), || dense_reels(show, frames, &mut Findings::default()));
            // The reason against a lean reel is reported only if there is no dense one either.
            if lean.is_some() || dense.is_none() {
                findings.append(why);
            }
            let reels: Vec<Reel> = lean.into_iter().flatten().chain(dense.into_iter().flatten()).collect();
            (!reels.is_empty()).then_some(reels)
        }
    }
}
