//! Draws the characters of live fields and live texts, each in its own cell.

use super::Bitmap;
use super::place::LayerMoment;
use crate::font::Glyph;
use crate::show::{LiveField, Show};

/// The places of the cells of a field, in pixels of the view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cells {
    pub left: i32,
    /// The top of the font's line.
    pub top: i32,
    /// Columns of one cell: the widest character with its gap.
    pub columns: i32,
    pub count: i32,
    /// The first and last row with ink of any character, counted from `top`.
    pub rows: (i32, i32),
}

impl Cells {
    /// The cells of a field; its font must be one of the show's.
    pub fn of(show: &Show, field: &LiveField) -> Self {
        let (width, height) = show.view_size();
        let moment =
            LayerMoment { width: width.cast_signed(), height: height.cast_signed(), seconds: 0.0, moved: (0, 0) };
        Self::at(show, field, moment)
    }

    /// The same at a moment of a layer.
    pub fn at(show: &Show, field: &LiveField, moment: LayerMoment) -> Self {
        let glyphs = || field.characters.iter().filter_map(|letter| glyph(show, field, *letter));
        let columns = glyphs().map(|glyph| glyph.advance().max(glyph.right())).max().unwrap_or(1).max(1);
        let rows = || glyphs().filter_map(Glyph::rows);
        let first = rows().map(|(first, _)| first.cast_signed()).min().unwrap_or(0);
        let last = rows().map(|(_, last)| last.cast_signed()).max().unwrap_or(0);
        let line = show.fonts().get(field.font.0).map_or(0, |font| font.height().cast_signed());
        let count = field.cells.cast_signed();
        let area = moment.area(&field.at, count * columns, line);
        Self { left: area.left, top: area.top, columns, count, rows: (first, last) }
    }
    /// Marks the pixels of a character in one of the cells, by its number in the list of the field's characters, from 1; 0 for none.
    pub fn write(self, show: &Show, field: &LiveField, (cell, number): (i32, u8), mark: &mut dyn FnMut(i32, i32)) {
        let letter = usize::from(number).checked_sub(1).and_then(|at| field.characters.get(at));
        let glyph = letter.and_then(|letter| glyph(show, field, *letter));
        let left = self.left + cell * self.columns;
        for (x, row) in glyph.into_iter().flat_map(Glyph::pixels) {
            if (0..self.columns).contains(&x) {
                mark(left + x, self.top + row.cast_signed());
            }
        }
    }
    /// The first pixel row and the last.
    pub fn pixel_rows(&self) -> (i32, i32) {
        (self.top + self.rows.0, self.top + self.rows.1)
    }
    /// The first pixel column and the last.
    pub fn pixel_columns(&self) -> (i32, i32) {
        (self.left, self.left + self.count * self.columns - 1)
    }
}

/// The glyph of a character; a space and what the font lacks have none.
pub fn glyph<'a>(show: &'a Show, field: &LiveField, letter: char) -> Option<&'a Glyph> {
    show.fonts().get(field.font.0)?.glyph(letter).filter(|glyph| !glyph.is_blank())
}

/// Writes a text into a field on a picture; what does not fit is cut off, characters not of the field stay empty.
pub fn write_live(show: &Show, field: &LiveField, text: &str, picture: &mut Bitmap) {
    let cells = Cells::of(show, field);
    for (cell, number) in (0..).zip(field.numbers(text)) {
        cells.write(show, field, (cell, number), &mut |x, y| picture.set(x, y, true));
    }
}

/// A frame of a scene with its fields at their samples; dark while the display is off.
pub fn with_samples(show: &Show, scene: usize, frame: u32, drawn: &Bitmap) -> Bitmap {
    let mut picture = drawn.clone();
    let seconds = show.frame_rate().seconds_at(frame);
    let scene = show.scenes().get(scene).filter(|scene| !scene.is_off(seconds));
    for field in scene.into_iter().flat_map(|scene| &scene.fields) {
        write_live(show, field, field.sample(seconds), &mut picture);
    }
    picture
}
