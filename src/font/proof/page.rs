//! The page of a proof: its colours, its fonts for words, and how far down it is filled.

use crate::font::canvas::{Dot, RgbColour, SheetCanvas};
use crate::font::names::wrapped;
use crate::font::{Font, Glyph};
use crate::whole::limited;

/// Colours of the page: around the tiles, in them, their frames, lines of the font's measures, words, and ink.
pub const PAPER: RgbColour = [0x1c, 0x1e, 0x22];
pub const TILE: RgbColour = [0x04, 0x05, 0x06];
pub const MEASURE: RgbColour = [0x2c, 0x3c, 0x58];
pub const WORDS: RgbColour = [0xc8, 0xc8, 0xc8];
pub const FAINT: RgbColour = [0x84, 0x8a, 0x94];
pub const INK: RgbColour = [0xeb, 0xf3, 0xff];
/// Of a pair: what both light, what only the first lights, what only the second lights.
pub const BOTH: RgbColour = [0x50, 0x58, 0x64];
pub const FIRST: RgbColour = [0xff, 0xa0, 0x30];
pub const SECOND: RgbColour = [0x40, 0xc0, 0xff];

/// Width of the page and the room around and between things, in pixels.
pub const WIDTH: u32 = 880;
pub const MARGIN: i64 = 12;
pub const GAP: i64 = 6;
/// Small words are doubled, so that they are read where the page is shown at the width of a column of text.
const WORD_DOT: Dot = Dot { pitch: 2, lit: 2 };
/// Most lines of one sentence.
const SENTENCE_LINES: usize = 4;

/// The page and the row down to which it is filled.
pub struct Page {
    pub canvas: SheetCanvas,
    /// The fonts of words: small for captions, large for headings.
    pub small: Font,
    pub large: Font,
    /// The first free row.
    pub top: i64,
}

impl Page {
    /// An empty page.
    pub fn new(height: u32) -> Self {
        let canvas = SheetCanvas::new(WIDTH, height.max(1), PAPER);
        Self { canvas, small: Font::shipped("thole"), large: Font::shipped("binnacle"), top: MARGIN }
    }
    /// Rows that are taken, the lower margin counted.
    pub fn used(&self) -> u32 {
        u32::try_from(self.top + MARGIN - GAP).unwrap_or(1)
    }
    /// The columns between the margins.
    pub fn room(&self) -> i64 {
        i64::from(WIDTH) - 2 * MARGIN
    }

    /// A heading at the first free row.
    pub fn heading(&mut self, words: &str) {
        self.top += GAP;
        self.canvas.text(&self.large, &plain(words), (MARGIN, self.top), Dot { pitch: 2, lit: 2 }, WORDS);
        self.top += 2 * i64::from(self.large.height()) + GAP;
    }
    /// The height of a line of small words.
    pub fn word_height(&self) -> i64 {
        i64::from(self.small.height() * WORD_DOT.pitch)
    }
    /// The width of small words.
    pub fn word_width(&self, words: &str) -> i64 {
        i64::from(self.small.width(&plain(words))) * i64::from(WORD_DOT.pitch)
    }
    /// A sentence in small words at the first free row, in as many lines as it needs.
    pub fn line(&mut self, words: &str) {
        let widest = self.room() / (i64::from(self.small.metrics().cell.0 + 1) * i64::from(WORD_DOT.pitch));
        for line in wrapped(words, limited(widest), SENTENCE_LINES) {
            self.small_words(&line, (MARGIN, self.top), FAINT);
            self.top += self.word_height() + GAP / 2;
        }
    }
    /// Small words anywhere.
    pub fn small_words(&mut self, words: &str, at: (i64, i64), colour: RgbColour) {
        self.canvas.text(&self.small, &plain(words), at, WORD_DOT, colour);
    }

    /// Draws an enlarged glyph in its own tile, with the lines of baseline and pen. `pen` is the column of the pen in pixels of the
    /// glyph.
    pub fn glyph_tile(&mut self, font: &Font, glyph: &Glyph, tile: Tile, (left, top): (i64, i64)) {
        let scale = i64::from(tile.scale);
        self.canvas.fill((left, top), tile.size(), TILE);
        let baseline = top + i64::from(font.ascent()) * scale;
        self.canvas.fill((left, baseline), (tile.size().0, 1), MEASURE);
        let pen = left + i64::from(tile.pen) * scale;
        self.canvas.fill((pen - 1, top), (1, tile.size().1), MEASURE);
        self.canvas.fill((pen - 1 + i64::from(glyph.advance()) * scale, top), (1, tile.size().1), MEASURE);
        self.canvas.glyph(glyph, (pen, top), Dot::with_gap(tile.scale), INK);
    }
}

/// A tile that holds any glyph of a font, enlarged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tile {
    pub scale: u32,
    /// The column of the pen, in pixels of the glyph.
    pub pen: i32,
    columns: u32,
    rows: u32,
}

impl Tile {
    /// A tile that is large enough for these glyphs. It is at most `most` pixels wide and high, if the font allows this.
    pub fn of<'a>(font: &Font, glyphs: impl Iterator<Item = &'a Glyph> + Clone, most: (u32, u32)) -> Self {
        let left = glyphs.clone().map(Glyph::left).min().unwrap_or(0).min(0);
        let right = glyphs.map(|glyph| glyph.right().max(glyph.advance())).max().unwrap_or(1).max(1);
        let (columns, rows) = ((right - left).cast_unsigned(), font.height().max(1));
        let scale = (most.0 / columns).min(most.1 / rows).clamp(1, LARGEST_SCALE);
        Self { scale, pen: -left, columns, rows }
    }
    /// Width and height in pixels.
    pub fn size(self) -> (u32, u32) {
        (self.columns * self.scale, self.rows * self.scale)
    }
}

/// Words as a text with literal braces.
fn plain(words: &str) -> String {
    words.replace('{', "{{")
}

/// Glyphs of few pixels are not enlarged beyond this.
const LARGEST_SCALE: u32 = 8;
