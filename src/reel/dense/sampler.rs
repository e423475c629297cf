//! Collects the decisions of a show: its frames are drawn on the player's canvas. Each decision is answered from the wanted picture
//! and stored.

use super::choices::FrameCanvas;
use super::predictor::Predictor;
use super::sequence::{Frame, FrameSequence};
use super::tree::{NUMBER_COUNT, TreeDecision};
use super::tree_code::VisibleWindow;
use crate::player::canvas::{ASKS_INVERSION, ASKS_STILL, CELL, Canvas, Choose, EIGHT, FRAME, PREDICTED};
use crate::whole::limited;

use crate::player::dense::NUMBERS;
use std::ops::Range;

/// The largest display of any supported controller: 132 columns and 16 pages.
const MOST_CELLS: usize = 132 * 16;
const MOST_MARKS: usize = 17 * 16;

/// The canvas of the largest display.
pub type Largest = Canvas<MOST_CELLS, MOST_MARKS>;

/// Answers from a frame.
struct TreeSampler<'a> {
    frame: &'a Frame,
    still: bool,
    samples: &'a mut Vec<TreeDecision>,
}

impl TreeSampler<'_> {
    /// Returns whether any of these cells of the current page changes.
    fn changes<const C: usize, const M: usize>(&self, canvas: &Canvas<C, M>, mut columns: Range<u8>) -> bool {
        let page = usize::from(canvas.page) * usize::from(canvas.width);
        columns.any(|column| self.frame.cells[page + usize::from(column)] != canvas.cell(canvas.page, column))
    }

    fn answer<const C: usize, const M: usize>(&self, canvas: &Canvas<C, M>, tree: u8) -> bool {
        let (page, column) = (canvas.page, canvas.column);
        let at = usize::from(page) * usize::from(canvas.width) + usize::from(column);
        let wanted = self.frame.cells[at];
        match tree {
            FRAME if canvas.asks == ASKS_STILL => self.still,
            FRAME if canvas.asks == ASKS_INVERSION => self.frame.inverts,
            FRAME => self.changes(canvas, 0..canvas.width),
            EIGHT => self.changes(canvas, column..canvas.width.min(column + 8)),
            CELL => wanted != canvas.cell(page, column),
            PREDICTED => wanted == canvas.predicted,
            _ => wanted >> canvas.row & 1 == 1,
        }
    }
}

impl Choose for TreeSampler<'_> {
    fn choose<const C: usize, const M: usize>(&mut self, canvas: &Canvas<C, M>, tree: u8) -> bool {
        let answer = self.answer(canvas, tree);
        let mut features = 0;
        for group in 0..NUMBERS {
            features |= u128::from(canvas.context(tree, group)) << (8 * group);
        }
        let numbers: [u8; NUMBER_COUNT] = std::array::from_fn(|which| canvas.number(tree, limited(which)));
        self.samples.push(TreeDecision { features, numbers, tree, answer });
        answer
    }
}

/// The canvas when the scene with this number opens.
pub fn opened(number: u8, sequence: &FrameSequence, visible: VisibleWindow) -> Largest {
    let mut canvas = Largest::new();
    (canvas.width, canvas.pages, canvas.scene) = (visible.width, visible.pages, number);
    (canvas.left, canvas.up) = sequence.movement;
    if let Some(Predictor { beam, longest, direction, turn }) = sequence.predictor {
        (canvas.beam, canvas.longest, canvas.direction, canvas.turn) = (Some(beam), longest, direction, turn);
    }
    canvas.key = true;
    canvas
}

impl FrameCanvas for Largest {
    type Sample = TreeDecision;

    fn counter(&self) -> u8 {
        self.frame
    }

    fn direction(&self) -> u16 {
        self.direction
    }

    fn circumstances(&self, frame: &Frame) -> Vec<u8> {
        let mut all = vec![u8::from(self.was_still), u8::from(frame.inverts), u8::from(self.key)];
        all.extend([self.direction, self.direction.wrapping_sub(self.turn)].map(|direction| (direction >> 8) as u8));
        all.extend(&self.cells[..frame.cells.len()]);
        all.extend(&self.marks);
        all.extend(&frame.cells);
        all
    }

    fn draw(&mut self, frame: &Frame, samples: &mut Vec<TreeDecision>) {
        draw(self, frame, samples);
    }
}

fn draw(canvas: &mut Largest, frame: &Frame, samples: &mut Vec<TreeDecision>) {
    let still = !frame.inverts && !canvas.key && same(canvas, frame);
    let mut sampler = TreeSampler { frame, still, samples };
    let (changes, _) = canvas.begin(&mut sampler);
    while changes && canvas.page < canvas.pages {
        if canvas.begin_page(&mut sampler) {
            while canvas.column < canvas.width {
                if canvas.column.is_multiple_of(8) && !canvas.begin_eight(&mut sampler) {
                    canvas.column += 8;
                    continue;
                }
                canvas.draw(&mut sampler);
                canvas.column += 1;
            }
            canvas.column = 0;
        }
        canvas.page += 1;
    }
    if canvas.key {
        canvas.key = false;
        canvas.unmark();
    }
    canvas.frame = canvas.frame.wrapping_add(1);
    canvas.direction = canvas.direction.wrapping_add(canvas.turn);
}

fn same(canvas: &Largest, frame: &Frame) -> bool {
    let cells = (0..canvas.pages).flat_map(|page| (0..canvas.width).map(move |column| (page, column)));
    cells.zip(&frame.cells).all(|((page, column), cell)| canvas.cell(page, column) == *cell)
}
