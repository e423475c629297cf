//! A text of several lines, set in its font: the place of each letter in the block.

use crate::font::Glyph;
use crate::render::ink::Ink;
use crate::render::place::flush;
use crate::show::{Anchor, Lettering, Show};

/// A set text; letters in the order of reading.
pub struct TextBlock<'a> {
    pub width: i32,
    pub height: i32,
    pub letters: Vec<Letter<'a>>,
}

/// One letter: its pen and the top of its line, from the block's top left corner.
pub struct Letter<'a> {
    pub glyph: &'a Glyph,
    pub x: i32,
    pub y: i32,
}

/// Sets a text, its lines flush to the anchor's side.
pub fn set<'a>(show: &'a Show, lettering: &Lettering, anchor: Anchor) -> TextBlock<'a> {
    let Some(font) = show.fonts().get(lettering.font.0) else {
        return TextBlock { width: 0, height: 0, letters: Vec::new() };
    };
    let lines: Vec<_> = lettering.text.split('\n').map(|line| font.layout(line)).collect();
    let width = lines.iter().map(|line| line.width).max().unwrap_or(0);
    let line_height = font.height().cast_signed();
    let mut letters = Vec::new();
    let mut y = 0;
    for line in &lines {
        let left = flush(anchor, width, line.width);
        letters.extend(line.sets.iter().map(|set| Letter { glyph: set.glyph, x: left + set.x, y }));
        y += line_height + lettering.line_gap;
    }
    // No gap below the last line.
    TextBlock { width, height: y - lettering.line_gap, letters }
}

impl TextBlock<'_> {
    /// Marks the first `count` letters with the block's top left corner at (left, top).
    pub fn mark(&self, ink: &mut Ink, left: i32, top: i32, count: usize) {
        for letter in self.letters.iter().take(count) {
            for (x, row) in letter.glyph.pixels() {
                ink.mark(left + letter.x + x, top + letter.y + row.cast_signed());
            }
        }
    }
}
