//! Every scene as the display shows it, frame by frame from its start.

use super::shown::Shown;
use super::stage::Stage;
use crate::reel::{FieldTable, Reel, starting_with};
use crate::show::{SceneId, Show};
use rayon::prelude::*;

/// Plays every scene from power-up to its last frame; `Err` says in words why one could not be.
pub fn scenes_shown(show: &Show, reel: &Reel) -> Result<Vec<Vec<Shown>>, String> {
    let play = |number: usize| {
        let scene = SceneId(number);
        start_shown(show, (&starting_with(&reel.bytes, scene), &reel.fields), scene)
    };
    (0..show.scenes().len()).into_par_iter().map(play).collect()
}

/// Plays a reel, given by its bytes and its fields, from power-up to the last frame of the scene with which it starts; `Err` says in
/// words why it could not be.
pub fn start_shown(show: &Show, (reel, fields): (&[u8], &[FieldTable]), start: SceneId) -> Result<Vec<Shown>, String> {
    let mut stage = Stage::new(show, reel, fields);
    let frames = show.scenes().get(start.0).map_or(0, |scene| scene.frames.0);
    let play = |frame| {
        stage.set_live(frame);
        stage.frame().map(|played| played.shown)
    };
    (0..frames).map(play).collect()
}
