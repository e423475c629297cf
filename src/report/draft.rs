//! New pictures for an open page: the frames of a scene that looks different from the page's build.

use super::picture::{differences, quickly_deflated};
use crate::render::Bitmap;
use crate::show::SceneId;
use serde::Serialize;

#[derive(Serialize)]
struct DraftData {
    scene: usize,
    /// All of its frames, packed as those of the page.
    frames: String,
}

/// A scene with all of its frames as a JSON object for a script element.
pub fn draft_data(scene: SceneId, frames: &[Bitmap]) -> Result<String, String> {
    let data = DraftData { scene: scene.0, frames: quickly_deflated(&differences(frames.iter()))? };
    serde_json::to_string(&data).map_err(|why| format!("the pictures cannot be written: {why}"))
}
