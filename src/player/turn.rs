// A beam that turns over a still picture, for lean reels. The changes are computed from its direction.

use super::beam::{Beam, TOO_LONG, near};
use super::bus::{Burst, Bus, End, Work};
pub use super::operation::{OPEN_BEAM, TURN};
use super::player::Extension;
use super::reel::{NONE, byte};

/// Bytes of a beam's record before its rows: column and row of its centre; 1 if it turns anticlockwise; its longest limit; the square
/// of its length (two bytes); its 16 limits; the page of the first row. Each row is a count of cells, its first column in the display's
/// memory, and the picture below the beam. A count of 0 ends the rows.
pub const RECORD_ROWS: u16 = 23;
const RECORD_LONGEST: u16 = 3;
const RECORD_REACH: u16 = 4;
const RECORD_LIMITS: u16 = 6;
const RECORD_PAGE: u16 = 22;
/// A cell this far after the display's pointer, or farther, is reached by setting the pointer.
const POINTS_ELSEWHERE: u8 = 8;
/// The largest memory of a display. Rows must lie inside it.
const MEMORY_PAGES: u8 = 16;
const MEMORY_COLUMNS: u16 = 132;
/// Bytes of the allowance that a cell near the beam uses up.
const NEAR_CELL_SPENDS: u8 = 2;
/// Cells far from the beam that use up one byte of the allowance.
const FAR_CELLS_A_BYTE: u8 = 4;

/// The turning beam.
pub struct Turning {
    /// Offset of its record, and of the picture below the current cell.
    pub record: u16,
    at: u16,
    direction: u8,
    last: u8,
    opens: bool,
    /// Whether a row lies outside the display's memory.
    beyond: bool,
    page: u8,
    /// The column after the row, and the number of cells left in the row.
    end: u8,
    left: u8,
    /// Cells between the display's pointer and the current one.
    gap: u8,
    /// How many of these cells are still to be sent because the gap is short.
    bridges: u8,
}

impl Turning {
    /// No beam yet.
    pub const fn new() -> Self {
        Self {
            record: 0,
            at: 0,
            direction: 0,
            last: 0,
            opens: false,
            beyond: false,
            page: 0,
            end: 0,
            left: 0,
            gap: 0,
            bridges: 0,
        }
    }

    fn field(&self, reel: &[u8], at: u16) -> u8 {
        byte(reel, self.record.wrapping_add(at))
    }

    fn beam(&self, reel: &[u8]) -> Option<Beam> {
        let from = |at| self.field(reel, at);
        let limits = self.record.wrapping_add(RECORD_LIMITS) as usize;
        Some(Beam {
            column: from(0) as i16,
            row: from(1) as i16,
            mirrored: from(2) != 0,
            reach: from(RECORD_REACH) as u32 | (from(RECORD_REACH + 1) as u32) << 8,
            limits: reel.get(limits..limits + 16)?.try_into().ok()?,
        })
    }

    /// Goes to the next row; if there is none, `left` is 0. Returns the offset of its cells, or after the end of the record.
    fn next_row(&mut self, reel: &[u8]) -> u16 {
        let row = self.at;
        let count = byte(reel, row);
        self.left = if count == NONE { 0 } else { count }; // an incomplete reel ends here
        if self.left == 0 {
            return row.wrapping_add(1);
        }
        let column = byte(reel, row.wrapping_add(1));
        self.end = column.wrapping_add(self.left);
        self.at = row.wrapping_add(2);
        self.page = self.page.wrapping_add(1);
        self.gap = POINTS_ELSEWHERE;
        self.beyond = self.page >= MEMORY_PAGES || column as u16 + self.left as u16 > MEMORY_COLUMNS;
        self.at.wrapping_add(self.left as u16)
    }

    fn begin(&mut self, reel: &[u8]) {
        self.page = byte(reel, self.record.wrapping_add(RECORD_PAGE)).wrapping_sub(1);
        self.at = self.record.wrapping_add(RECORD_ROWS);
        self.next_row(reel);
    }

    /// Returns the offset after the record.
    fn behind(&mut self, reel: &[u8]) -> u16 {
        self.begin(reel);
        for _ in 0..=u8::MAX {
            if self.left == 0 {
                break;
            }
            self.at = self.at.wrapping_add(self.left as u16);
            self.next_row(reel);
        }
        self.at.wrapping_add(1)
    }

    /// Returns the pixels of a cell of this page that the beam lights when it points in `direction`.
    fn lit(&self, beam: &Beam, column: u8, direction: u8) -> u8 {
        let row = self.page.wrapping_mul(8);
        let mut lit = 0;
        for y in 0..8 {
            let (x, y, bit) = (near(column, beam.column), near(row.wrapping_add(y), beam.row), 1 << y);
            lit |= if beam.lights(x, y, direction) { bit } else { 0 };
        }
        lit
    }

    /// Goes to the next cell. Returns whether it is the first of a row.
    fn pass(&mut self, reel: &[u8]) -> bool {
        self.at = self.at.wrapping_add(1);
        self.left -= 1;
        let ends = self.left == 0;
        if ends {
            self.next_row(reel);
        }
        ends
    }

    /// Sends the current cell. Sets the display's pointer first if it is elsewhere. Returns whether the next cell is the first of a row.
    fn send<B: Bus>(&mut self, reel: &[u8], cell: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        if self.gap > 0 {
            burst.seek(self.page, self.end.wrapping_sub(self.left))?;
            self.gap = 0;
        }
        burst.make_room()?;
        burst.data(cell)?;
        self.bridges = self.bridges.saturating_sub(1);
        Ok(self.pass(reel))
    }
}

impl Default for Turning {
    fn default() -> Self {
        Self::new()
    }
}

impl Extension for Turning {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        let operand = byte(reel, at);
        let mut behind = at.wrapping_add(1);
        self.opens = operation == OPEN_BEAM;
        self.bridges = 0;
        match operation {
            OPEN_BEAM => {
                self.record = behind;
                self.direction = operand;
                self.last = operand;
            }
            TURN => {
                self.last = self.direction;
                self.direction = self.direction.wrapping_add(operand);
            }
            _ => return None,
        }
        if self.record as usize + RECORD_ROWS as usize > reel.len() || self.beam(reel)?.reach >= TOO_LONG {
            return None;
        }
        if self.opens {
            behind = self.behind(reel);
        }
        self.begin(reel);
        (self.left > 0 && !self.beyond).then_some(behind)
    }

    fn draw<B: Bus>(&mut self, reel: &[u8], _: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        let Some(beam) = self.beam(reel).filter(|_| self.left > 0) else { return Err(End::Fault) };
        let (longest, mut cells, mut far_cells) = (self.field(reel, RECORD_LONGEST), FAR_CELLS_A_BYTE, 0);
        while self.left > 0 {
            if burst.allowance == 0 {
                return Err(End::Allowance);
            }
            let (column, under) = (self.end.wrapping_sub(self.left), byte(reel, self.at));
            burst.bus.work(Work::PassedCell, 1);
            if far_cells == 0 {
                far_cells = beam.far_cells(longest, (column, self.page), (self.direction, self.last));
                burst.bus.work(Work::FarCount, beam.reaches_column(column) as u16);
            }
            let far = far_cells > 0;
            if far {
                (far_cells, cells) = (far_cells - 1, cells - 1);
                if cells == 0 {
                    cells = FAR_CELLS_A_BYTE;
                    burst.spend(1);
                }
            } else {
                burst.spend(NEAR_CELL_SPENDS);
            }
            let compares = !self.opens && self.bridges == 0;
            if !far {
                burst.bus.work(Work::BeamCell, 1);
                burst.bus.work(Work::BeamPixel, beam.reached_pixels(column, self.page));
            }
            let lit = |direction| if far { 0 } else { self.lit(&beam, column, direction) };
            let cell = under | lit(self.direction);
            if compares && cell == under | lit(self.last) {
                self.gap = if self.gap < POINTS_ELSEWHERE { self.gap + 1 } else { self.gap };
                if self.pass(reel) {
                    far_cells = 0;
                }
            } else if self.gap > 0 && self.gap < POINTS_ELSEWHERE {
                // Go back to the cell at the display's pointer, which is near.
                self.at = self.at.wrapping_sub(self.gap as u16);
                self.left += self.gap;
                self.bridges = self.gap;
                (self.gap, far_cells) = (0, 0);
            } else if self.send(reel, cell, burst)? {
                far_cells = 0;
            }
            if self.beyond {
                return Err(End::Fault);
            }
        }
        Ok(true)
    }
}
