//! One drawn glyph: columns of bits, the offset of its ink and its advance.

use crate::whole::limited;

/// The tallest cell that a column of bits can hold, in pixels.
pub const TALLEST: u32 = 64;

/// Ink in columns from the left; in each column bit 0 is the cell's top row. The columns begin and end with ink.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Glyph {
    columns: Vec<u64>,
    left: i32,
    advance: i32,
}

impl Glyph {
    /// A glyph from the columns of its cell, the pen at column 0; empty columns at both sides are cut off and counted in
    /// [`Glyph::left`].
    pub fn new(columns: &[u64], advance: i32) -> Self {
        let first = columns.iter().position(|column| *column != 0).unwrap_or(columns.len());
        let last = columns.iter().rposition(|column| *column != 0).map_or(first, |last| last + 1);
        let left = if first == last { 0 } else { limited(first) };
        Self { columns: columns[first..last].to_vec(), left, advance }
    }

    /// The same glyph with its first column of ink `left` pixels right of the pen.
    pub fn at_left(mut self, left: i32) -> Self {
        self.left = left;
        self
    }

    /// The same glyph, moved down. Rows that leave the largest cell are cut off.
    pub fn moved_down(&self, rows: i64) -> Self {
        let shift = limited(rows.unsigned_abs().min(u64::from(TALLEST)));
        let moved = |column: &u64| match rows >= 0 {
            true => column.checked_shl(shift).unwrap_or(0),
            false => column.checked_shr(shift).unwrap_or(0),
        };
        let columns: Vec<u64> = self.columns.iter().map(moved).collect();
        let cut = Self::new(&columns, self.advance);
        let left = self.left + cut.left;
        cut.at_left(left)
    }

    /// The columns of ink from the left; bit 0 is the cell's top row.
    pub fn columns(&self) -> &[u64] {
        &self.columns
    }
    /// Pixels from the pen to the first column of ink; negative when the ink begins left of the pen.
    pub fn left(&self) -> i32 {
        self.left
    }
    /// Pixels from this pen position to the next.
    pub fn advance(&self) -> i32 {
        self.advance
    }
    /// Pixels from the pen to the column after the last column of ink.
    pub fn right(&self) -> i32 {
        self.left + limited::<i32, usize>(self.columns.len())
    }
    /// Whether nothing is drawn.
    pub fn is_blank(&self) -> bool {
        self.columns.is_empty()
    }
    /// The first and last row with ink, counted from the cell's top; `None` when blank.
    pub fn rows(&self) -> Option<(u32, u32)> {
        let all = self.columns.iter().fold(0, |all, column| all | column);
        (all != 0).then(|| (all.trailing_zeros(), 63 - all.leading_zeros()))
    }
    /// The column `x` pixels to the right of the pen; 0 if it has no ink.
    pub fn column(&self, x: i32) -> u64 {
        usize::try_from(x - self.left).ok().and_then(|index| self.columns.get(index)).copied().unwrap_or(0)
    }
    /// Whether the pixel `x` right of the pen and `row` below the cell's top is lit.
    pub fn lit(&self, x: i32, row: u32) -> bool {
        row < TALLEST && self.column(x) >> row & 1 == 1
    }
    /// Every lit pixel: right of the pen, below the cell's top; column by column.
    pub fn pixels(&self) -> impl Iterator<Item = (i32, u32)> + '_ {
        self.columns.iter().enumerate().flat_map(move |(index, column)| {
            (0..TALLEST)
                .filter(move |row| column >> row & 1 == 1)
                .map(move |row| (self.left + limited::<i32, usize>(index), row))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn empty_columns_become_the_left_offset() {
        let glyph = Glyph::new(&[0, 0b101, 0, 0b010, 0], 6);
        assert_eq!((glyph.left(), glyph.columns(), glyph.right()), (1, &[0b101, 0, 0b010][..], 4));
        assert_eq!(glyph.rows(), Some((0, 2)));
        assert_eq!(glyph.pixels().collect::<Vec<_>>(), [(1, 0), (1, 2), (3, 1)]);
        assert!(glyph.lit(3, 1) && !glyph.lit(3, 0) && !glyph.lit(-1, 0));
        assert!(Glyph::new(&[0, 0], 3).is_blank());
    }
}
