//! Lamps: patterns of light over time, scripted beside the scenes for lamps that the firmware drives.

use super::{CueId, SceneId, Track};
use crate::diag::Span;

/// A pattern as the script describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    pub name: String,
    pub span: Span,
    /// The level, 0 (off) to 255 (full), over the seconds since the pattern began.
    pub level: Track,
    /// The scenes and cues that begin it; the firmware may begin it at any other time too.
    pub scenes: Vec<SceneId>,
    pub cues: Vec<CueId>,
}
