//! The reels that a show can be compiled to: without a copy of the picture, with one, and each with the parts of the player that
//! may pay.

use super::compile::{Reel, lean_reels};
use super::densely::dense_reels;
use crate::diag::Findings;
use crate::render::Bitmap;
use crate::show::{Profile, Show};

/// How a show is compiled.
#[derive(Clone, Copy)]
pub struct Options<'a> {
    /// Without looking for a dense reel, which takes most of the time: a lean one shows the same and is larger as a rule. It is
    /// provisional where else a dense one is made too; beyond the player's reach it is made in full.
    pub quickly: bool,
    /// Called for each scene planned, with how many there are.
    pub done: &'a (dyn Fn(usize) + Sync),
}

/// In full, without a word on the way.
impl Default for Options<'_> {
    fn default() -> Self {
        Self { quickly: false, done: &|_| {} }
    }
}

/// Every reel of a show that a player can reach, from its rendered frames, one list a scene in viewer space, in the profile that it
/// asks for or in both; `None` when a finding says why there is none.
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
