//! Lamps: patterns of light over time, for lamps that the firmware drives.

use super::{CueId, SceneId, Track};
use crate::diag::Span;

/// A pattern as the script describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    /// Its name.
    pub name: String,
    /// Its place in the script.
    pub span: Span,
    /// The level, 0 (off) to 255 (full), over the seconds since the pattern began.
    pub level: Track,
    /// The scenes and cues that start it. The firmware can start it at any other time too.
    pub scenes: Vec<SceneId>,
    /// The cues that begin it.
    pub cues: Vec<CueId>,
}
