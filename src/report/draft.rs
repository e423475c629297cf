//! New pictures for a page that stands: the frames of scenes that look different from in the build that the page is of.

use super::picture::{deflated, differences};
use crate::render::Bitmap;
use crate::show::SceneId;
use serde::Serialize;

#[derive(Serialize)]
struct DraftScene {
    scene: usize,
    /// All of its frames, packed as those of the page.
    frames: String,
}

/// The scenes with all of their frames as a JSON list that can stand inside a script element.
pub fn draft_data(scenes: &[(SceneId, Vec<Bitmap>)]) -> Result<String, String> {
    let scene = |(scene, frames): &(SceneId, Vec<Bitmap>)| {
        Ok(DraftScene { scene: scene.0, frames: deflated(&differences(frames.iter()))? })
    };
    let scenes: Vec<DraftScene> = scenes.iter().map(scene).collect::<Result<_, String>>()?;
    serde_json::to_string(&scenes).map_err(|why| format!("the pictures cannot be written: {why}"))
}
