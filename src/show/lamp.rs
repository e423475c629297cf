//! Lamps: patterns of light over time, scripted beside the scenes for lamps that the firmware drives.

use super::{CueId, SceneId, Track};
use crate::diag::Span;

/// A pattern as the script describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    /// Its name.
    pub name: String,
    /// Where it stands in the script.
    pub span: Span,
    /// The level, 0 (off) to 255 (full), over the seconds since the pattern began.
    pub level: Track,
    /// The scenes and cues that begin it; the firmware may begin it at any other time too.
    pub scenes: Vec<SceneId>,
    /// The cues that begin it.
    pub cues: Vec<CueId>,
}
