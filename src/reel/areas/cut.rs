//! Rectangles around the changes of a layer. They are split at columns and rows without changes, or into bands of pages that change
//! in the same columns.

use super::layers::InkColumns;
use crate::player::area::CHUNK;
use crate::reel::memory::Rows;
use std::ops::Range;

/// Rows of a page.
const PAGE_ROWS: usize = 8;

/// A rectangle of pixels in memory order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PixelRectangle {
    pub columns: Range<usize>,
    pub rows: Range<usize>,
}

impl PixelRectangle {
    /// The rectangle around all pixels of ink; `None` if there are none.
    pub fn around(ink: &InkColumns) -> Option<Self> {
        let whole = Self { columns: 0..ink.len(), rows: 0..Rows::BITS as usize };
        whole.shrunk(ink)
    }

    /// The bits of a column that lie in it.
    pub fn mask(&self) -> Rows {
        let below = |row: usize| if row >= Rows::BITS as usize { Rows::MAX } else { (1 << row) - 1 };
        below(self.rows.end) & !below(self.rows.start)
    }

    /// Pages that it touches.
    pub fn pages(&self) -> Range<usize> {
        self.rows.start / 8..self.rows.end.div_ceil(8)
    }

    /// The same rectangle, wider by `by` columns on either side.
    pub fn wider(&self, by: usize) -> Self {
        Self { columns: self.columns.start.saturating_sub(by)..self.columns.end + by, rows: self.rows.clone() }
    }

    /// Returns whether a pixel of ink lies in it.
    pub fn touches(&self, ink: &InkColumns) -> bool {
        ink[self.columns.clone()].iter().any(|bits| bits & self.mask() != 0)
    }

    /// Clears its pixels in the ink.
    pub fn clear(&self, ink: &mut InkColumns) {
        ink[self.columns.clone()].iter_mut().for_each(|bits| *bits &= !self.mask());
    }

    /// Returns whether the two have a cell in common.
    pub fn shares_cells(&self, other: &Self) -> bool {
        let apart = |one: &Range<usize>, other: &Range<usize>| one.end <= other.start || other.end <= one.start;
        !apart(&self.columns, &other.columns) && !apart(&self.pages(), &other.pages())
    }

    fn shrunk(&self, ink: &InkColumns) -> Option<Self> {
        let mask = self.mask();
        let inked = |column: &usize| ink[*column] & mask != 0;
        let (first, last) = (self.columns.clone().find(inked)?, self.columns.clone().rfind(inked)?);
        let all = ink[first..=last].iter().fold(0, |all, bits| all | bits) & mask;
        Some(Self {
            columns: first..last + 1,
            rows: all.trailing_zeros() as usize..(Rows::BITS - all.leading_zeros()) as usize,
        })
    }

    /// Splits it at all columns and rows without ink, and then each part again.
    pub fn parts(&self, ink: &InkColumns) -> Vec<Self> {
        let mask = self.mask();
        let columns: Vec<bool> = self.columns.clone().map(|column| ink[column] & mask != 0).collect();
        let all = ink[self.columns.clone()].iter().fold(0, |all, bits| all | bits) & mask;
        let rows: Vec<bool> = self.rows.clone().map(|row| all >> row & 1 == 1).collect();
        let across = runs(&columns).map(|run| Self {
            columns: self.columns.start + run.start..self.columns.start + run.end,
            rows: self.rows.clone(),
        });
        let across: Vec<Self> = across.filter_map(|part| part.shrunk(ink)).collect();
        if across.len() > 1 {
            return across.iter().flat_map(|part| part.parts(ink)).collect();
        }
        let down: Vec<Self> = runs(&rows)
            .map(|run| Self {
                columns: self.columns.clone(),
                rows: self.rows.start + run.start..self.rows.start + run.end,
            })
            .filter_map(|part| part.shrunk(ink))
            .collect();
        if down.len() > 1 {
            return down.iter().flat_map(|part| part.parts(ink)).collect();
        }
        vec![self.clone()]
    }
}

/// The widest gap without ink in a band: the cells of a chunk are composed together anyway.
const WIDEST_GAP: usize = CHUNK;

impl PixelRectangle {
    /// Splits it into bands of pages with ink in the same columns, and these at wide gaps.
    pub fn bands(&self, ink: &InkColumns) -> Vec<Self> {
        let inked = |page: usize| {
            let mask = self.mask() & 0xFF << (PAGE_ROWS * page);
            let columns: Vec<bool> = ink[self.columns.clone()].iter().map(|bits| bits & mask != 0).collect();
            let mut wide: Vec<Range<usize>> = Vec::new();
            for run in runs(&columns) {
                match wide.last_mut() {
                    Some(last) if run.start - last.end < WIDEST_GAP => last.end = run.end,
                    _ => wide.push(run),
                }
            }
            (page, wide)
        };
        let pages: Vec<(usize, Vec<Range<usize>>)> = self.pages().map(inked).collect();
        let band = |pages: &[(usize, Vec<Range<usize>>)]| {
            let rows = PAGE_ROWS * pages[0].0..PAGE_ROWS * (pages[pages.len() - 1].0 + 1);
            let rows = rows.start.max(self.rows.start)..rows.end.min(self.rows.end);
            let of = |run: &Range<usize>| Self {
                columns: self.columns.start + run.start..self.columns.start + run.end,
                rows: rows.clone(),
            };
            pages[0].1.iter().map(of).collect::<Vec<_>>()
        };
        let bands = pages.chunk_by(|one, next| one.1 == next.1).flat_map(band);
        bands.filter_map(|band| band.shrunk(ink)).collect()
    }
}

/// The ranges of set values.
fn runs(set: &[bool]) -> impl Iterator<Item = Range<usize>> {
    let mut at = 0;
    let runs: Vec<Range<usize>> = set
        .chunk_by(|one, next| one == next)
        .filter_map(|run| {
            at += run.len();
            run[0].then(|| at - run.len()..at)
        })
        .collect();
    runs.into_iter()
}
