//! Live fields: texts in a scene that the firmware writes while the show plays, such as a depth or a voltage.

use super::{FontId, Position};
use crate::diag::Span;

/// A field as the script describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveField {
    pub name: String,
    pub span: Span,
    pub font: FontId,
    /// The characters that the firmware can write, each once: Latin-1 without the space, which is always included.
    pub characters: Vec<char>,
    /// How many characters it holds, 1 to 32.
    pub cells: u32,
    pub align: Align,
    /// The position of the field. It does not move.
    pub at: Position,
    /// What previews show: from a second of the scene on, a text.
    pub samples: Vec<(f64, String)>,
}

/// Where a text is placed that is shorter than its field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    Left,
    Centre,
    Right,
}

impl LiveField {
    /// The text that previews show at a time of the scene; empty before the first sample.
    pub fn sample(&self, seconds: f64) -> &str {
        /// Times closer than this count as equal.
        const TOLERANCE: f64 = 1e-9;
        let shown = self.samples.iter().rfind(|(at, _)| *at <= seconds + TOLERANCE);
        shown.map_or("", |(_, text)| text)
    }
}
