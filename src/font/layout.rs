//! Sets a line of text: finds the place of each glyph.

use super::face::{Font, GlyphId};
use super::glyph::Glyph;
use super::symbol::{Symbol, symbols};

/// One glyph of a set line.
#[derive(Clone, Debug)]
pub struct SetGlyph<'a> {
    /// The element of the text that it shows.
    pub symbol: Symbol,
    /// Which glyph it is; `None` for the box that replaces a missing one.
    pub id: Option<GlyphId>,
    pub glyph: &'a Glyph,
    /// The pen, in pixels from the line's left edge; the glyph's ink begins at `x + glyph.left()`.
    pub x: i32,
}

/// A set line.
#[derive(Clone, Debug)]
pub struct SetLine<'a> {
    /// The glyphs from the left, one for each element of the text.
    pub sets: Vec<SetGlyph<'a>>,
    /// Pixels from the left edge to the right edge, without the gap after the last glyph.
    pub width: i32,
}

impl SetLine<'_> {
    /// Every lit pixel: from the line's left edge, and below the line's top.
    pub fn pixels(&self) -> impl Iterator<Item = (i32, i32)> + '_ {
        self.sets.iter().flat_map(|set| set.glyph.pixels().map(|(x, row)| (set.x + x, row.cast_signed())))
    }
}

impl Font {
    /// Sets one line; line breaks in the text are left out.
    pub fn layout(&self, text: &str) -> SetLine<'_> {
        let mut sets: Vec<SetGlyph<'_>> = Vec::new();
        let (mut pen, mut ink, mut before) = (0, 0, None);
        for symbol in symbols(text).into_iter().filter(|symbol| !matches!(symbol, Symbol::Char('\n' | '\r'))) {
            let id = self.id(&symbol);
            let glyph = id.map_or(self.missing_box(), |id| self.by_id(id));
            if let (Some(first), Some(second)) = (before, id) {
                pen += self.kern(first, second);
            }
            ink = ink.max(pen + glyph.right());
            sets.push(SetGlyph { symbol, id, glyph, x: pen });
            pen += glyph.advance();
            before = id;
        }
        let width = if sets.is_empty() { 0 } else { ink.max(pen - self.metrics().gap) };
        SetLine { sets, width }
    }

    /// The width in pixels of one line of text.
    pub fn width(&self, text: &str) -> i32 {
        self.layout(text).width
    }
}
