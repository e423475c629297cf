//! The contrast of a scene: a number that may move in time, or by a live value.

use super::course::value_at;
use super::following::{Following, LiveId, LiveValue};
use super::track::Track;
use crate::units::FrameRate;
use crate::whole::rounded;

/// Contrast of the display while a scene plays.
#[derive(Clone, Debug)]
pub enum Contrast {
    /// By the scene's clock.
    Moving(Track),
    /// By what firmware sets.
    Live(Following, LiveValue),
}

impl Contrast {
    /// The contrast at a time in seconds from the start of the scene, 0 to 255. If it follows a live value, that of its samples.
    pub fn at(&self, seconds: f64) -> u8 {
        match self {
            Self::Moving(track) => rounded(value_at(track, seconds)),
            Self::Live(following, live) => rounded(following.at(live.step(live.sample(seconds)))),
        }
    }

    /// The live value that it follows, with the contrast at each of its steps.
    pub fn at_steps(&self) -> Option<(LiveId, Vec<u8>)> {
        match self {
            Self::Moving(_) => None,
            Self::Live(following, live) => {
                Some((following.value, (0..=live.steps).map(|step| rounded(following.at(step))).collect()))
            }
        }
    }

    /// All contrasts that it can have in the first `frames` frames.
    pub fn all(&self, frames: u32, rate: FrameRate) -> Vec<u8> {
        self.at_steps().map_or_else(|| (0..frames).map(|frame| self.at(rate.seconds_at(frame))).collect(), |all| all.1)
    }
}
