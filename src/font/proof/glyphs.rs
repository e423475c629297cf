//! The table of all glyphs: each enlarged with its baseline and advance, its code or its name.

use super::page::{GAP, MARGIN, Page, Tile, WORDS};
use super::{MOST_GLYPHS, Proof};
use crate::font::{Symbol, code, name};
use crate::whole::limited;

/// Tiles in a row where they are not too wide.
const IN_A_ROW: i64 = 11;
/// The most pixels of a glyph.
const LARGEST: (u32, u32) = (72, 64);

/// Draws the table.
pub fn draw(proof: &Proof<'_>, page: &mut Page) {
    let font = proof.font;
    let shown = || font.glyphs().take(MOST_GLYPHS);
    if shown().len() == 0 {
        return;
    }
    page.top += GAP;
    let all = font.glyphs().len();
    let left_out =
        if all > MOST_GLYPHS { format!("; {} more are not shown", all - MOST_GLYPHS) } else { String::new() };
    page.line(&format!("All glyphs with baseline, advance, and code or name{left_out}."));
    let tile = Tile::of(font, shown().map(|(_, _, glyph)| glyph).collect::<Vec<_>>().into_iter(), LARGEST);
    let widest = shown().map(|(_, symbol, _)| page.word_width(&caption(symbol))).max().unwrap_or(0);
    let width = (page.room() / IN_A_ROW).max(i64::from(tile.size().0).max(widest) + GAP);
    let columns = (page.room() / width).max(1);
    for row in shown().collect::<Vec<_>>().chunks(limited(columns)) {
        for (column, (_, symbol, glyph)) in (0..).zip(row) {
            let at = (MARGIN + column * width, page.top);
            page.glyph_tile(font, glyph, tile, at);
            page.small_words(&caption(symbol), (at.0, at.1 + i64::from(tile.size().1) + GAP / 2), WORDS);
        }
        page.top += i64::from(tile.size().1) + page.word_height() + 2 * GAP;
    }
}

/// The code of a character, the name of an icon.
fn caption(symbol: &Symbol) -> String {
    if symbol.char().is_some() { code(symbol) } else { name(symbol) }
}
