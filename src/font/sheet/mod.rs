//! Glyph sheets to draw on: a blank one for chosen characters, one extended by what is lacking, one made from a font.

mod blank;
mod extend;
mod from_font;
mod guides;
#[cfg(test)]
mod tests;
mod text;
mod wanted;

pub use blank::{Blank, GlyphSheet, new_sheet};
pub use extend::extend;
pub use from_font::sheet_of;
pub use text::quoted;
pub use wanted::wanted;

use super::canvas::RgbColour;

/// The colour of guides on sheets that are made here; the reader takes it as paper.
pub const GUIDE: RgbColour = [0x30, 0x50, 0x80];
/// The colour of the marks that end an advance on sheets that are made here.
pub const MARK: RgbColour = [0xd0, 0x30, 0x30];
/// Paper and ink of sheets that are made here.
pub const PAPER: RgbColour = [0, 0, 0];
/// Ink of sheets that are made here.
pub const INK: RgbColour = [255, 255, 255];
