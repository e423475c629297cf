//! Collects the decisions of a film: its frames are drawn on the player's canvas. Each decision is answered from the wanted picture
//! and stored.

use super::tables::TableDecision;
use crate::player::film_canvas::{CELL, COPY, Contexts, Decide, EIGHT, FilmCanvas};
use crate::reel::dense::{Frame, FrameCanvas, FrameSequence, VisibleWindow};
use std::ops::Range;

/// The largest display of a film: 132 columns and 8 pages.
const MOST_CELLS: usize = 132 * 8;
const MOST_COLUMN_BYTES: usize = 17;

/// The canvas of the largest display.
pub type Largest = FilmCanvas<MOST_CELLS, MOST_COLUMN_BYTES>;

/// Answers from a frame.
struct FilmSampler<'a> {
    frame: &'a Frame,
    samples: &'a mut Vec<TableDecision>,
}

impl Decide for FilmSampler<'_> {
    fn decide<const C: usize, const M: usize>(
        &mut self,
        canvas: &FilmCanvas<C, M>,
        class: u8,
        contexts: Contexts,
    ) -> bool {
        let (page, column) = (canvas.page, canvas.column);
        let at = |column: u8| usize::from(page) * usize::from(canvas.width) + usize::from(column);
        let wanted = self.frame.cells[at(column)];
        let changes = |mut columns: Range<u8>| columns.any(|on| self.frame.cells[at(on)] != canvas.cell(page, on));
        let answer = match class {
            EIGHT => changes(column..canvas.width.min(column + 8)),
            CELL => wanted != canvas.cell(page, column),
            COPY => wanted == canvas.cell(page, column.wrapping_sub(1)),
            _ => wanted >> canvas.row & 1 == 1,
        };
        self.samples.push(TableDecision { contexts, class, answer });
        answer
    }
}

/// The canvas when a scene opens.
pub fn opened(sequence: &FrameSequence, visible: VisibleWindow) -> Largest {
    let mut canvas = Largest::new();
    (canvas.width, canvas.pages, canvas.copies, canvas.key) = (visible.width, visible.pages, sequence.copies, true);
    canvas
}

impl FrameCanvas for Largest {
    type Sample = TableDecision;

    /// In a film, nothing depends on the number of the frame.
    fn counter(&self) -> u8 {
        0
    }

    fn direction(&self) -> u16 {
        0
    }

    fn circumstances(&self, frame: &Frame) -> Vec<u8> {
        let mut all = vec![u8::from(self.key)];
        all.extend(&self.cells[..frame.cells.len()]);
        all.extend(self.busy);
        all.extend(&frame.cells);
        all
    }

    fn draw(&mut self, frame: &Frame, samples: &mut Vec<TableDecision>) {
        let mut sampler = FilmSampler { frame, samples };
        self.begin();
        while self.page < self.pages {
            while self.column < self.width {
                if self.column.is_multiple_of(8) && !self.begin_eight(&mut sampler) {
                    self.column += 8;
                    continue;
                }
                self.draw(&mut sampler);
                self.column += 1;
            }
            self.page += 1;
            self.begin_page();
        }
        if self.key {
            (self.key, self.busy) = (false, [0; MOST_COLUMN_BYTES]);
        }
    }
}
