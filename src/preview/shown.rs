//! What the display showed, and for how long.

use crate::render::Bitmap;
use crate::units::Nanoseconds;

/// A picture that the display held for some frames, as the viewer sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    pub picture: Bitmap,
    /// How many frames it stood, at least 1.
    pub frames: u32,
    /// How long it stood; longer than its frames where the next one came late.
    pub stays: Nanoseconds,
    /// Contrast of the display, 0 to 255.
    pub contrast: u8,
    /// Whether the display was on; when off, no pixel is lit whatever the picture.
    pub on: bool,
    /// The scene that played.
    pub scene: String,
}

impl Shown {
    /// Whether the viewer sees the same, whichever scene plays.
    pub fn looks_like(&self, other: &Self) -> bool {
        self.picture == other.picture && self.contrast == other.contrast && self.on == other.on
    }
    /// Whether a pixel shines.
    pub fn shines(&self, x: i32, y: i32) -> bool {
        self.on && self.picture.get(x, y)
    }
}

/// The same show with pictures that look alike and follow one another in one scene taken together.
pub fn merged(shown: &[Shown]) -> Vec<Shown> {
    let mut runs: Vec<Shown> = Vec::new();
    for next in shown {
        match runs.last_mut() {
            Some(last) if last.looks_like(next) && last.scene == next.scene => {
                last.frames += next.frames;
                last.stays += next.stays;
            }
            _ => runs.push(next.clone()),
        }
    }
    runs
}
