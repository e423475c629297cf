//! A text with its font, as layers show it.

use super::scene::FontId;
use crate::diag::Span;

/// A text set in a font; lines are parted by line breaks and lie `line_gap` pixels apart, flush to the anchor's side.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettering {
    pub text: String,
    pub font: FontId,
    pub line_gap: i32,
    /// The place of the text in the script.
    pub span: Span,
}
