//! The light of each frame: its contrast, and its part of the light of the brightest frame.

use crate::show::{Scene, Show};

/// The contrast of each frame of a scene.
pub fn contrasts(show: &Show, scene: &Scene) -> Vec<u8> {
    (0..scene.frames.0).map(|frame| scene.contrast_at(show.frame_rate().seconds_at(frame))).collect()
}

/// The highest contrast of a show, at least 1.
pub fn brightest(show: &Show) -> u8 {
    show.scenes().iter().flat_map(|scene| contrasts(show, scene)).max().unwrap_or(0).max(1)
}
