//! The table of all glyphs: each enlarged with its baseline and advance, its code and its name.

use super::page::{FAINT, GAP, MARGIN, Page, Tile, WORDS};
use super::{MOST_GLYPHS, Proof};
use crate::font::Glyph;
use crate::font::names::{code, name, wrapped};

/// Tiles in a row where they are not too wide.
const IN_A_ROW: i64 = 11;
/// The most pixels of a glyph.
const LARGEST: (u32, u32) = (72, 64);
/// Lines of a name.
const NAME_LINES: usize = 3;

/// Draws the table.
pub fn draw(proof: &Proof<'_>, page: &mut Page) {
    let font = proof.font;
    let shown = || font.glyphs().take(MOST_GLYPHS);
    if shown().len() == 0 {
        return;
    }
    page.top += GAP;
    let all = font.glyphs().len();
    let left_out = if all > MOST_GLYPHS { format!("; {} more are left out", all - MOST_GLYPHS) } else { String::new() };
    page.line(&format!("All glyphs, with baseline and advance, code and name{left_out}."));
    let glyphs: Vec<&Glyph> = shown().map(|(_, _, glyph)| glyph).collect();
    let tile = Tile::of(font, glyphs.into_iter(), LARGEST);
    let width = (page.room() / IN_A_ROW).max(i64::from(tile.size().0) + GAP);
    let columns = (page.room() / width).max(1);
    let letters = (width - GAP / 2) / i64::from(page.small.metrics().mono.unwrap_or(page.small.metrics().cell.0 + 1));
    let line = i64::from(page.small.height()) + 1;
    let names: Vec<Vec<String>> =
        shown().map(|(_, symbol, _)| wrapped(&name(symbol), letters.max(1) as usize, NAME_LINES)).collect();
    let mut index = 0;
    for row in shown().collect::<Vec<_>>().chunks(columns as usize) {
        let mut lines = 0;
        for (column, (_, symbol, glyph)) in (0..).zip(row) {
            let at = (MARGIN + column * width, page.top);
            page.glyph_tile(font, glyph, tile, at);
            let mut below = page.top + i64::from(tile.size().1) + GAP / 2;
            let head = code(symbol);
            let codes = usize::from(!head.is_empty());
            page.small_words(&head, (at.0, below), WORDS);
            below += line * codes as i64;
            for words in &names[index] {
                page.small_words(words, (at.0, below), FAINT);
                below += line;
            }
            lines = lines.max(codes + names[index].len());
            index += 1;
        }
        page.top += i64::from(tile.size().1) + lines as i64 * line + 2 * GAP;
    }
}
