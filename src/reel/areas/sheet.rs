//! Finds a sheet of ink that shows through a rectangle what each frame shows there, and the phase of each frame.

use super::cut::PixelRectangle;
use super::film::film;
use super::history::HistoryRecord;
use super::layers::InkColumns;
use super::live::LivePart;
use super::noise::NoiseRecord;
use crate::player::area::{ACROSS, DOWN, PICTURES};
use crate::reel::memory::{Rows, cell};
use crate::whole::limited;
use std::collections::HashSet;

/// Rows of a page.
const PAGE_ROWS: usize = 8;
/// Sheets with more rows than this, or with more cells in different rows, are not tried.
const MOST_ROWS: usize = 2_000;
const MOST_CELLS: usize = 12_000;

/// A sheet: rows of cells eight pixels high, and the phase of each frame.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sheet {
    /// How the phase moves it.
    pub motion: u8,
    pub rows: Vec<Vec<u8>>,
    pub phases: Vec<u16>,
    /// What live values add to the phase.
    pub parts: Vec<LivePart>,
    /// Noise, which replaces rows.
    pub noise: Option<NoiseRecord>,
    /// A history, in place of rows.
    pub history: Option<HistoryRecord>,
}

impl Sheet {
    /// Returns whether it is small enough to be tried.
    fn may_pay(&self) -> bool {
        let cells = || self.rows.iter().collect::<HashSet<_>>().into_iter().map(Vec::len).sum::<usize>();
        self.rows.len() <= MOST_ROWS && cells() <= MOST_CELLS
    }
}

/// Returns the sheets that show the ink of frames through a rectangle.
pub fn sheets(frames: &[InkColumns], rectangle: &PixelRectangle) -> Vec<Sheet> {
    let seen: Vec<Vec<Rows>> = frames.iter().map(|ink| window(ink, rectangle)).collect();
    let candidates =
        [pictures(&seen, rectangle), across(&seen, rectangle), down(&seen, rectangle), sprite(&seen, rectangle)];
    candidates.into_iter().flatten().filter(Sheet::may_pay).collect()
}

/// The columns of ink in a rectangle. Bit 0 is the first row of its first page.
fn window(ink: &InkColumns, rectangle: &PixelRectangle) -> Vec<Rows> {
    let (mask, top) = (rectangle.mask(), rectangle.pages().start * PAGE_ROWS);
    ink[rectangle.columns.clone()].iter().map(|bits| (bits & mask) >> top).collect()
}

/// Converts columns to rows of cells.
fn cells(columns: &[Rows], pages: usize) -> Vec<Vec<u8>> {
    (0..pages).map(|page| columns.iter().map(|bits| cell(*bits, page)).collect()).collect()
}

/// A sheet with each different picture once.
fn pictures(seen: &[Vec<Rows>], rectangle: &PixelRectangle) -> Option<Sheet> {
    let mut different: Vec<&Vec<Rows>> = Vec::new();
    let mut phases = Vec::with_capacity(seen.len());
    for picture in seen {
        let number = different.iter().position(|other| *other == picture).unwrap_or_else(|| {
            different.push(picture);
            different.len() - 1
        });
        phases.push(limited(number));
    }
    let rows = different.iter().flat_map(|picture| cells(picture, rectangle.pages().len())).collect();
    Some(Sheet { motion: PICTURES, rows, phases, ..Sheet::default() })
}

/// A sheet with all pictures, one after the other.
pub fn all_pictures(frames: &[InkColumns], rectangle: &PixelRectangle) -> Sheet {
    let pages = rectangle.pages().len();
    let rows = frames.iter().flat_map(|ink| cells(&window(ink, rectangle), pages)).collect();
    Sheet { motion: PICTURES, rows, phases: (0..frames.len()).map(limited).collect(), ..Sheet::default() }
}

/// A strip that moves sideways.
fn across(seen: &[Vec<Rows>], rectangle: &PixelRectangle) -> Option<Sheet> {
    let film = film(seen)?;
    let phases = film.places.iter().copied().map(limited).collect();
    Some(Sheet { motion: ACROSS, rows: cells(&film.strip, rectangle.pages().len()), phases, ..Sheet::default() })
}

/// A strip that moves up or down.
fn down(seen: &[Vec<Rows>], rectangle: &PixelRectangle) -> Option<Sheet> {
    let (first, width) = (rectangle.rows.start % PAGE_ROWS, rectangle.columns.len());
    let lines = |columns: &Vec<Rows>| -> Vec<u128> {
        let row =
            |row: usize| columns.iter().enumerate().fold(0, |bits, (at, column)| bits | (column >> row & 1) << at);
        (first..first + rectangle.rows.len()).map(row).collect()
    };
    if width > u128::BITS as usize {
        return None;
    }
    let film = film(&seen.iter().map(lines).collect::<Vec<_>>())?;
    let tall: Vec<u128> = std::iter::repeat_n(0, first).chain(film.strip).collect();
    let pages = rectangle.pages().len();
    let furthest = film.places.iter().max().copied().unwrap_or(0);
    let rows = (0..(furthest / PAGE_ROWS + pages + 1)).map(|page| {
        let bit =
            |row: usize, column: usize| tall.get(PAGE_ROWS * page + row).is_some_and(|bits| bits >> column & 1 == 1);
        (0..width).map(|column| (0..PAGE_ROWS).fold(0, |cell, row| cell | u8::from(bit(row, column)) << row)).collect()
    });
    let phases = film.places.iter().copied().map(limited).collect();
    Some(Sheet { motion: DOWN, rows: rows.collect(), phases, ..Sheet::default() })
}

/// A few pictures that move in both directions.
fn sprite(seen: &[Vec<Rows>], rectangle: &PixelRectangle) -> Option<Sheet> {
    let (width, top, height) = (rectangle.columns.len(), rectangle.rows.start % PAGE_ROWS, rectangle.rows.len());
    let around: Vec<Option<PixelRectangle>> = seen.iter().map(PixelRectangle::around).collect();
    let mut different: Vec<Vec<Rows>> = Vec::new();
    let mut places: Vec<Option<(usize, usize, usize)>> = Vec::new();
    for (columns, around) in seen.iter().zip(&around) {
        let Some(around) = around else {
            places.push(None);
            continue;
        };
        let picture: Vec<Rows> = columns[around.columns.clone()].iter().map(|bits| bits >> around.rows.start).collect();
        let number = different.iter().position(|other| *other == picture).unwrap_or_else(|| {
            different.push(picture);
            different.len() - 1
        });
        places.push(Some((number, around.columns.start, around.rows.start - top)));
    }
    let heights = || around.iter().flatten().map(|around| around.rows.len());
    // The pictures are so far apart that only one of them is visible at a time.
    let pitch = height + heights().max()? - heights().min()?;
    let above = height;
    let tall = above + different.len() * pitch;
    if tall + top > usize::from(u8::MAX) || width > usize::from(u8::MAX) || different.len() * 4 > seen.len() {
        return None;
    }
    let phase = |place: &Option<(usize, usize, usize)>| match place {
        Some((number, column, row)) => limited((above + number * pitch - row) << 8 | (width - column.min(&width))),
        None => 0,
    };
    // A picture is `width` columns from the left, so that it is visible at column 0 at the phase `width`.
    let mut rows = vec![vec![0u8; 2 * width]; (tall + height + top).div_ceil(PAGE_ROWS) + rectangle.pages().len() + 1];
    for (number, picture) in different.iter().enumerate() {
        let first = top + above + number * pitch;
        for (column, bits) in picture.iter().enumerate() {
            for row in (0..Rows::BITS as usize).filter(|row| bits >> row & 1 == 1) {
                rows[(first + row) / PAGE_ROWS][width + column] |= 1 << ((first + row) % PAGE_ROWS);
            }
        }
    }
    Some(Sheet { motion: ACROSS | DOWN, rows, phases: places.iter().map(phase).collect(), ..Sheet::default() })
}
