//! The pairs that are most easily taken for one another: both glyphs, the pixels that decide, and both at real size.

use super::page::{BOTH, FAINT, FIRST, GAP, MARGIN, MEASURE, Page, SECOND, TILE, Tile, WORDS};
use super::{PAIRS, Proof, real};
use crate::font::canvas::Dot;
use crate::font::judge::{GlyphPair, worst_pairs};
use crate::font::{Font, GlyphId, Symbol, code, name};
use crate::whole::limited;

/// Pairs in a row, where their captions have room.
const IN_A_ROW: i64 = 3;
/// The most pixels of a glyph's tile.
const LARGEST: (u32, u32) = (48, 56);

/// Draws the pairs.
pub fn draw(proof: &Proof<'_>, page: &mut Page) {
    let font = proof.font;
    let pairs = worst_pairs(font, proof.among.iter().copied(), PAIRS);
    if pairs.is_empty() {
        return;
    }
    page.top += GAP;
    page.line("Most similar pairs: pixels that differ, and how much difference is left after a blur of one pixel.");
    let glyphs = pairs.iter().flat_map(|pair| [pair.first, pair.second]).map(|id| font.by_id(id));
    let tile = Tile::of(font, glyphs, LARGEST);
    let widest = pairs.iter().map(|pair| page.word_width(&caption(font, pair))).max().unwrap_or(0);
    let in_a_row = (page.room() / (widest + 2 * GAP)).clamp(1, IN_A_ROW);
    let width = page.room() / in_a_row;
    let height = i64::from(tile.size().1) + page.word_height() + 3 * GAP;
    let first_row = page.top;
    for (index, pair) in (0..).zip(&pairs) {
        let at = (MARGIN + index % in_a_row * width, first_row + index / in_a_row * height);
        draw_pair(proof, page, pair, tile, at);
        page.top = at.1 + height;
    }
    let mut left = MARGIN;
    for (words, colour) in [("lit in both", FAINT), ("in the first only", FIRST), ("in the second only", SECOND)] {
        page.small_words(words, (left, page.top), colour);
        left += page.word_width(words) + 3 * GAP;
    }
    page.top += page.word_height() + GAP;
}

fn draw_pair(proof: &Proof<'_>, page: &mut Page, pair: &GlyphPair, tile: Tile, (left, top): (i64, i64)) {
    let font = proof.font;
    let (first, second) = (font.by_id(pair.first), font.by_id(pair.second));
    let step = i64::from(tile.size().0) + GAP;
    page.glyph_tile(font, first, tile, (left, top));
    page.glyph_tile(font, second, tile, (left + step, top));
    let third = left + 2 * step;
    page.canvas.fill((third, top), tile.size(), TILE);
    page.canvas.frame((third, top), tile.size(), MEASURE);
    let dot = Dot::with_gap(tile.scale);
    let pen = (third + i64::from(tile.pen) * i64::from(tile.scale), top);
    page.canvas.glyph(first, pen, dot, BOTH);
    for (x, row) in &pair.deciding {
        let colour = if first.lit(*x, *row) { FIRST } else { SECOND };
        let at = (pen.0 + i64::from(*x) * i64::from(tile.scale), pen.1 + i64::from(*row) * i64::from(tile.scale));
        page.canvas.fill(at, (dot.lit, dot.lit), colour);
    }
    let both = format!("{}{}", written(font, pair.first), written(font, pair.second));
    let (width, height) = real::size(font, font.width(&both), &proof.panel, proof.screen);
    let place = (third + step + GAP, top + GAP);
    let gaps: u32 = limited(2 * GAP);
    page.canvas.fill((place.0 - GAP, top), (width + gaps, height + gaps), TILE);
    real::draw(&mut page.canvas, font, &both, place, (&proof.panel, proof.screen), TILE);
    page.small_words(&caption(font, pair), (left, top + i64::from(tile.size().1) + GAP / 2), WORDS);
}

/// The two, how many pixels differ, and what a blur leaves of that.
fn caption(font: &Font, pair: &GlyphPair) -> String {
    format!("{}: {} px, {:.1}", pair_name(font, pair), pair.distance(), pair.blurred())
}

/// The two in words: characters themselves where the captions can show them, else codes or names.
fn pair_name(font: &Font, pair: &GlyphPair) -> String {
    let one = |id: GlyphId| match font.symbol(id) {
        Some(Symbol::Char(letter)) if letter.is_ascii_graphic() => letter.to_string(),
        Some(symbol @ Symbol::Char(_)) => code(symbol),
        Some(symbol) => name(symbol),
        None => String::new(),
    };
    format!("{} and {}", one(pair.first), one(pair.second))
}

/// A glyph as it is written in a text.
fn written(font: &Font, id: GlyphId) -> String {
    font.symbol(id).map_or(String::new(), Symbol::written)
}
