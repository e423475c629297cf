// The copy of the picture, and the decisions that draw a frame on it: which pages, cells and pixels change, and the features of the
// current place.

use super::beam::{Beam, near};

/// The decision trees of a model, by number.
pub const FRAME: u8 = 0;
pub const CELL: u8 = 1;
pub const PREDICTED: u8 = 2;
pub const PIXEL: u8 = 3;
pub const EIGHT: u8 = 4;

/// The question about a frame or page, in group 0 of the context: nothing changes? inverted? page changes?
pub const ASKS_STILL: u8 = 1;
pub const ASKS_INVERSION: u8 = 2;
pub const ASKS_PAGE: u8 = 4;

/// How a cell got its new value: unchanged, predicted, or drawn pixel by pixel.
const SAME: u8 = 0;
const AS_PREDICTED: u8 = 1;
const DRAWN: u8 = 2;

/// Makes the decisions of a canvas: the player decodes them, the compiler encodes them.
pub trait Choose {
    /// Makes one decision, whose probability comes from tree number `tree` and the features of `canvas`.
    fn choose<const C: usize, const M: usize>(&mut self, canvas: &Canvas<C, M>, tree: u8) -> bool;
}

/// The copy of the picture with its marks, and the place that is being drawn. `C` is width × pages. `M` is the number of bytes with a
/// bit for each cell, where each page starts with a new byte.
pub struct Canvas<const C: usize, const M: usize> {
    pub cells: [u8; C],
    /// Marks of cells that changed: in this frame up to the current place, and in the previous frame after it.
    pub marks: [u8; M],
    pub width: u8,
    pub pages: u8,
    pub scene: u8,
    /// The frame's number in its scene, modulo 256.
    pub frame: u8,
    pub page: u8,
    pub column: u8,
    pub row: u8,
    /// Whether the scene opens with this frame.
    pub key: bool,
    /// How far the picture of this scene moves per frame: columns to the left, rows up.
    pub left: u8,
    pub up: u8,
    /// The beam of this scene, if it has one instead of a movement; then where it points and how far it turns per frame, in 2⁻¹⁶ turns.
    pub beam: Option<Beam>,
    /// Its longest limit, and how many cells from the current one on it cannot touch.
    pub longest: u8,
    far: u8,
    pub direction: u16,
    pub turn: u16,
    pub asks: u8,
    pub was_still: bool,
    /// Predictions for the current eight cells, from movement or beam, and which of these cells would change.
    eight: [u8; 8],
    ahead: u8,
    /// For these eight cells: how often the distance to a beam was computed, how many cells are near it, and how many of their pixels it
    /// can reach.
    pub far_counts: u8,
    pub cells_near_beam: u8,
    pub pixels_near_beam: u16,
    /// The current cell: its old value, the prediction, and what is drawn so far (bit 0 is the latest row, then the rows above it).
    old: u8,
    pub predicted: u8,
    above: u16,
    /// The old value of the cell on the left, and how it got its new one.
    former: u8,
    kind: u8,
}

impl<const C: usize, const M: usize> Canvas<C, M> {
    /// An empty canvas.
    pub const fn new() -> Self {
        Self {
            cells: [0; C],
            marks: [0; M],
            width: 0,
            pages: 0,
            scene: 0,
            frame: 0,
            page: 0,
            column: 0,
            row: 0,
            key: false,
            left: 0,
            up: 0,
            beam: None,
            longest: 0,
            far: 0,
            direction: 0,
            turn: 0,
            asks: 0,
            was_still: false,
            eight: [0; 8],
            ahead: 0,
            far_counts: 0,
            cells_near_beam: 0,
            pixels_near_beam: 0,
            old: 0,
            predicted: 0,
            above: 0,
            former: 0,
            kind: SAME,
        }
    }

    /// Makes all cells dark and clears all marks, for a scene that opens.
    pub fn clear(&mut self) {
        self.cells = [0; C];
        self.marks = [0; M];
        self.was_still = false;
    }

    /// Clears the marks of the cells that changed.
    pub fn unmark(&mut self) {
        self.marks = [0; M];
        self.was_still = false;
    }

    fn in_range(&self, page: u8, column: u8) -> bool {
        page < self.pages && column < self.width
    }

    /// Returns a cell; 0 outside the picture.
    pub fn cell(&self, page: u8, column: u8) -> u8 {
        let at = page as usize * self.width as usize + column as usize;
        if self.in_range(page, column) && at < C { self.cells[at] } else { 0 }
    }

    /// Returns the marks of eight cells, from two on the left of a column to five on its right.
    fn marked(&self, page: u8, column: u8) -> u8 {
        let from = column.wrapping_add(6); // counted from one byte of marks earlier, so that it is not negative
        let at = from >> 3;
        let low = if at > 0 { self.mark_byte(page, at - 1) } else { 0 };
        let both = low as u16 | (self.mark_byte(page, at) as u16) << 8;
        (both >> (from & 7)) as u8
    }

    fn mark_byte(&self, page: u8, at: u8) -> u8 {
        let a_page = (self.width as usize).div_ceil(8);
        let index = page as usize * a_page + at as usize;
        if page < self.pages && (at as usize) < a_page && index < M { self.marks[index] } else { 0 }
    }

    fn mark_at(&mut self, column: u8, changed: bool) {
        let a_page = (self.width as usize).div_ceil(8);
        let index = self.page as usize * a_page + (column >> 3) as usize;
        let bit = 1 << (column & 7);
        if let Some(byte) = self.marks.get_mut(index) {
            *byte = if changed { *byte | bit } else { *byte & !bit };
        }
    }

    /// Returns whether a page has marks.
    fn busy(&self, page: u8) -> bool {
        let mut any = 0;
        for at in 0..(self.width as usize).div_ceil(8) {
            any |= self.mark_byte(page, at as u8);
        }
        any != 0
    }

    /// Returns eight pixels of a column, from two rows above the current row to five rows below it.
    fn rows(&self, column: u8) -> u8 {
        let page = self.page;
        let above = self.cell(page.wrapping_sub(1), column) as u32;
        let all =
            above | (self.cell(page, column) as u32) << 8 | (self.cell(page.wrapping_add(1), column) as u32) << 16;
        (all >> (self.row + 6)) as u8
    }

    /// Predicts a cell of this page from the scene's beam or movement.
    fn predict(&mut self, column: u8) -> u8 {
        if !self.in_range(self.page, column) {
            return 0;
        }
        if let Some(beam) = &self.beam {
            let cell = self.cell(self.page, column);
            let (now, last) = ((self.direction >> 8) as u8, (self.direction.wrapping_sub(self.turn) >> 8) as u8);
            if self.far == 0 {
                self.far_counts += beam.reaches_column(column) as u8;
                self.far = beam.far_cells(self.longest, (column, self.page), (now, last));
            }
            if self.far > 0 {
                self.far -= 1;
                return cell;
            }
            self.cells_near_beam += 1;
            self.pixels_near_beam += beam.reached_pixels(column, self.page);
            return cell & !self.beamed(beam, column, last) | self.beamed(beam, column, now);
        }
        let from = column.wrapping_add(self.left);
        let both = self.cell(self.page, from) as u16 | (self.cell(self.page.wrapping_add(1), from) as u16) << 8;
        (both >> self.up) as u8
    }

    /// Returns the pixels of a cell of this page that a beam lights when it points in `direction`.
    fn beamed(&self, beam: &Beam, column: u8, direction: u8) -> u8 {
        let mut lit = 0;
        for row in 0..8 {
            let (x, y) = (near(column, beam.column), near(self.page * 8 + row, beam.row));
            lit |= (beam.lights(x, y, direction) as u8) << row;
        }
        lit
    }

    /// Returns a group of eight binary features of the current place.
    pub fn context(&self, tree: u8, group: u8) -> u8 {
        let (page, column) = (self.page, self.column);
        let left = column.wrapping_sub(1);
        match (tree, group) {
            (_, 8) => return self.frame,
            (FRAME, 0) => {
                return self.asks
                    | (self.busy(page) as u8) << 3
                    | (self.busy(page.wrapping_sub(1)) as u8) << 4
                    | (self.busy(page.wrapping_add(1)) as u8) << 5
                    | (self.was_still as u8) << 6;
            }
            (FRAME, _) => return 0,
            (PIXEL, _) => {}
            (EIGHT, _) => return self.context_of_eight(group),
            (_, 0) => return self.marked(page.wrapping_sub(1), column),
            (_, 1) => return self.marked(page, column),
            (_, 2) => return self.marked(page.wrapping_add(1), column),
            (_, 3) => return self.old,
            (_, 4) => return self.cell(page, left),
            (_, 5) => return self.cell(page, column.wrapping_add(1)),
            (_, 6) => return self.cell(page, left) ^ self.former,
            (_, 7) => return self.cell_facts(),
            (_, 9) => return column,
            (_, 10) => return self.predicted ^ self.old,
            _ => return 0,
        }
        match group {
            0 => self.rows(column),
            1 => self.above as u8,
            2 => self.rows(left),
            3 => self.rows(left.wrapping_sub(1)),
            4 => self.rows(column.wrapping_add(1)),
            5 => ((((self.cell(page, left) ^ self.former) as u16) << 2) >> self.row) as u8,
            6 => self.rows(left.wrapping_sub(2)),
            7 => self.pixel_facts(),
            9 => column & 31 | self.row << 5,
            _ => 0,
        }
    }

    fn context_of_eight(&self, group: u8) -> u8 {
        match group {
            1 => self.mark_byte(self.page, self.column >> 3),
            5 => self.ahead,
            7 => self.facts_of_eight(),
            _ => 0,
        }
    }

    fn facts_of_eight(&self) -> u8 {
        let at = self.column >> 3;
        let marked = |page: u8| (self.mark_byte(page, at) != 0) as u8;
        let (above, below) = (self.page.wrapping_sub(1), self.page.wrapping_add(1));
        marked(above) | marked(self.page) << 1 | marked(below) << 2 | ((self.ahead != 0) as u8) << 3
    }

    fn cell_facts(&self) -> u8 {
        let left = self.cell(self.page, self.column.wrapping_sub(1));
        (self.kind == AS_PREDICTED) as u8
            | ((self.kind == DRAWN) as u8) << 1
            | ((self.predicted == self.old) as u8) << 2
            | ((self.old == 0) as u8) << 3
            | ((left == 0) as u8) << 4
            | (self.key as u8) << 5
    }

    fn pixel_facts(&self) -> u8 {
        let drawn = (self.above & ((1u16 << self.row) - 1)) as u8;
        let mut as_it_was = 0;
        for row in 0..self.row {
            as_it_was = as_it_was << 1 | self.old >> row & 1;
        }
        (self.predicted >> self.row & 1)
            | ((drawn != as_it_was) as u8) << 1
            | ((self.kind == DRAWN) as u8) << 2
            | (self.marked(self.page, self.column) & 0x0C) << 1
            | ((drawn != 0) as u8) << 5
            | ((self.cell(self.page, self.column.wrapping_sub(1)) == 0) as u8) << 6
            | (self.key as u8) << 7
    }

    /// Returns a number of the current place: 0 column, 1 page (for a pixel its row in the picture), 2 scene, 3 and more the frame.
    pub fn number(&self, tree: u8, which: u8) -> u8 {
        match which {
            0 => self.column,
            1 if tree == PIXEL => self.page * 8 + self.row,
            1 => self.page,
            2 => self.scene,
            _ => self.frame,
        }
    }

    /// Begins a frame. Returns whether anything changes, and whether the display is inverted or set back to normal.
    pub fn begin(&mut self, choose: &mut impl Choose) -> (bool, bool) {
        (self.page, self.column) = (0, 0);
        if self.key {
            return (true, false);
        }
        self.asks = ASKS_STILL;
        self.was_still = choose.choose(self, FRAME);
        if self.was_still {
            return (false, false);
        }
        self.asks = ASKS_INVERSION;
        (true, choose.choose(self, FRAME))
    }

    /// Begins a page. Returns whether any cell of it changes.
    pub fn begin_page(&mut self, choose: &mut impl Choose) -> bool {
        (self.former, self.kind) = (0, SAME);
        if self.key {
            return true;
        }
        self.asks = ASKS_PAGE;
        let changes = choose.choose(self, FRAME);
        if !changes {
            for column in 0..self.width {
                self.mark_at(column, false);
            }
        }
        changes
    }

    /// Begins eight cells, or those that are left in the page. Returns whether any of them changes.
    pub fn begin_eight(&mut self, choose: &mut impl Choose) -> bool {
        (self.ahead, self.far) = (0, 0);
        (self.far_counts, self.cells_near_beam, self.pixels_near_beam) = (0, 0, 0);
        for at in 0..8 {
            let column = self.column + at;
            let predicted = self.predict(column);
            self.eight[at as usize] = predicted;
            self.ahead |= ((predicted != self.cell(self.page, column)) as u8) << at;
        }
        if self.key || choose.choose(self, EIGHT) {
            return true;
        }
        for at in 0..8 {
            self.mark_at(self.column + at, false);
        }
        (self.former, self.kind) = (self.cell(self.page, self.column + 7), SAME);
        false
    }

    /// Draws the current cell. Returns whether it changed.
    pub fn draw(&mut self, choose: &mut impl Choose) -> bool {
        self.old = self.cell(self.page, self.column);
        self.predicted = self.eight[self.column as usize & 7];
        let mut new = self.old;
        let mut kind = SAME;
        if choose.choose(self, CELL) {
            if self.predicted != self.old && choose.choose(self, PREDICTED) {
                (new, kind) = (self.predicted, AS_PREDICTED);
            } else {
                (new, kind) = (self.pixels(choose), DRAWN);
            }
        }
        let at = self.page as usize * self.width as usize + self.column as usize;
        if let Some(cell) = self.cells.get_mut(at) {
            *cell = new;
        }
        self.mark_at(self.column, new != self.old);
        (self.former, self.kind) = (self.old, kind);
        new != self.old
    }

    /// Returns whether the last cell was drawn pixel by pixel.
    pub fn was_drawn(&self) -> bool {
        self.kind == DRAWN
    }

    fn pixels(&mut self, choose: &mut impl Choose) -> u8 {
        self.above = self.cell(self.page.wrapping_sub(1), self.column).reverse_bits() as u16;
        for row in 0..8 {
            self.row = row;
            let lit = choose.choose(self, PIXEL);
            self.above = self.above << 1 | lit as u16;
        }
        self.row = 0;
        (self.above as u8).reverse_bits()
    }
}

impl<const C: usize, const M: usize> Default for Canvas<C, M> {
    fn default() -> Self {
        Self::new()
    }
}
