// Scrolling lines, for lean reels. They are stored once, as pieces of ink, and written into a ring of 64 memory rows.

use super::bus::{Burst, Bus, End, Work};
pub use super::operation::{OPEN_ROLL, ROLL};
use super::player::Extension;
use super::reel::{NONE, byte};

/// Bytes of the record before its ink: cells per row; column of the display's memory after the last cell; rows from line to line; row
/// of the first line; the row that is written first; bytes of ink. Rows are numbered without end; row n is written over row n − 64.
/// The ink has pieces: each is a count and that many columns of up to eight rows. Then the lines: each is a count of bytes and its
/// parts. A part below [`BLANKS`] is half the offset of a piece in the ink; a blank column follows the piece. 0x80 to 0xFE are 1 to 127
/// blank columns. 0xFF is blank to the end of the row. A count of 0 or 0xFF ends the lines.
pub const ROLL_INK: u16 = 6;
pub const BLANKS: u8 = 0x80;
const ROLL_CELLS: u16 = 0;
const ROLL_END: u16 = 1;
const ROLL_PITCH: u16 = 2;
const ROLL_FIRST: u16 = 3;
const ROLL_ROW: u16 = 4;
const ROLL_INK_BYTES: u16 = 5;
/// The largest number of rows from line to line.
pub const LONGEST_PITCH: u8 = 15;
/// The largest number of bytes of ink.
pub const MOST_INK: usize = 248;
/// Rows of the ring: a row replaces the one that was written 64 rows before it.
const RING_ROWS: u16 = 64;
/// Bits of the operand: all rows up to the end of the page are written, else one row; all cells are sent, else those that change.
pub const REST_OF_PAGE: u8 = 1;
pub const ALL_CELLS: u8 = 2;
/// A cell this far after the display's pointer, or farther, is reached by setting the pointer.
const FAR_CELLS: u8 = 8;
/// Comparing this many cells uses up one byte of the allowance.
const CELLS_A_BYTE: u8 = 2;

/// A place in a line: offset of the next part; place of the current piece in the ink, its columns left, and its blank columns.
#[derive(Clone, Copy)]
struct Line {
    next: u16,
    ink: u8,
    left: u8,
    blank: u8,
    /// Lines and pieces that were passed and are not yet counted as work.
    passed: u8,
    pieces: u8,
}

/// Two lines that share eight rows: the upper one from its row `above` on, the lower one from row `below` of the eight on.
struct Rows {
    upper: Line,
    lower: Line,
    above: u8,
    below: u8,
}

impl Rows {
    /// Reports to the bus the work since the last report.
    fn count_work<B: Bus>(&mut self, bus: &mut B) {
        for line in [&mut self.upper, &mut self.lower] {
            bus.work(Work::PassedLine, line.passed as u16);
            bus.work(Work::InkPiece, line.pieces as u16);
            (line.passed, line.pieces) = (0, 0);
        }
    }
}

/// The scrolling lines.
pub struct Rolls {
    /// Offset of their record.
    pub record: u16,
    /// The row that is written next.
    row: u16,
    operand: u8,
    left: u8,
    /// Cells between the display's pointer and the current one.
    gap: u8,
    /// How many of these cells are still to be sent because the gap is short.
    between: u8,
}

impl Default for Rolls {
    fn default() -> Self {
        Self::new()
    }
}

impl Rolls {
    /// No scrolling lines yet.
    pub const fn new() -> Self {
        Self { record: 0, row: 0, operand: 0, left: 0, gap: 0, between: 0 }
    }

    fn field(&self, reel: &[u8], at: u16) -> u8 {
        byte(reel, self.record.wrapping_add(at))
    }

    /// Returns the start of a line. Lines after the last one are blank.
    fn line(&self, reel: &[u8], number: u8) -> Line {
        let mut at = self.record.wrapping_add(ROLL_INK).wrapping_add(self.field(reel, ROLL_INK_BYTES) as u16);
        let mut passed = 0;
        while passed < number {
            let count = byte(reel, at);
            if count == 0 || count == NONE {
                break;
            }
            at = at.wrapping_add(1).wrapping_add(count as u16);
            passed += 1;
        }
        Line { next: at.wrapping_add(1), ink: 0, left: 0, blank: 0, passed, pieces: 0 }
    }

    /// Returns the lines that share the eight rows from `row` on.
    fn rows(&self, reel: &[u8], row: u16) -> Rows {
        let (pitch, on) = (self.field(reel, ROLL_PITCH), row.wrapping_sub(self.field(reel, ROLL_FIRST) as u16));
        // Rows before the first line are blank, like those after the last one.
        let (on, mut number) = if on >= 0x8000 { (0, NONE - 1) } else { (on, 0u8) };
        let (lines, above) = (on / pitch as u16, (on % pitch as u16) as u8);
        number = number.wrapping_add(lines as u8);
        let (upper, lower) = (self.line(reel, number), self.line(reel, number.wrapping_add(1)));
        Rows { upper, lower, above, below: pitch - above }
    }

    /// Moves on by a number of columns in a line. Returns the ink in that column.
    fn go_on_in(&self, reel: &[u8], line: &mut Line, mut columns: u8) -> u8 {
        while columns >= line.left {
            let piece = byte(reel, line.next);
            line.pieces = line.pieces.wrapping_add(1);
            columns -= line.left;
            line.left = piece.wrapping_sub(BLANKS - 1);
            line.blank = line.left;
            if piece < BLANKS {
                line.ink = (2 * piece).wrapping_add(ROLL_INK as u8);
                line.left = self.field(reel, line.ink as u16).wrapping_add(1);
                line.blank = 1;
            }
            line.next = line.next.wrapping_add((piece != NONE) as u16);
        }
        line.left -= columns;
        line.ink = line.ink.wrapping_add(columns);
        if line.left > line.blank { self.field(reel, line.ink.wrapping_add(1) as u16) } else { 0 }
    }

    /// Moves on by a number of columns. Returns the cell there.
    fn go_on_by(&self, reel: &[u8], rows: &mut Rows, columns: u8) -> u8 {
        let lower = (self.go_on_in(reel, &mut rows.lower, columns) as u32) << rows.below;
        (self.go_on_in(reel, &mut rows.upper, columns) as u32 >> rows.above | lower) as u8
    }

    /// Sends the current cell. Sets the display's pointer first if it is elsewhere.
    fn send<B: Bus>(&mut self, reel: &[u8], cell: u8, burst: &mut Burst<'_, B>) -> Result<(), End> {
        if self.gap > 0 {
            burst.seek((self.row >> 3 & 7) as u8, self.field(reel, ROLL_END).wrapping_sub(self.left))?;
            self.gap = 0;
        }
        burst.make_room()?;
        self.between = self.between.saturating_sub(1);
        burst.data(cell)
    }
}

impl Extension for Rolls {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        match operation {
            OPEN_ROLL => {
                let length = byte(reel, at) as u16 | (byte(reel, at.wrapping_add(1)) as u16) << 8;
                self.record = at.wrapping_add(2);
                self.row = self.field(reel, ROLL_ROW) as u16;
                Some(self.record.wrapping_add(length))
            }
            ROLL => {
                self.operand = byte(reel, at);
                (self.left, self.gap, self.between) = (self.field(reel, ROLL_CELLS), FAR_CELLS, 0);
                let pitch = self.field(reel, ROLL_PITCH);
                (self.left > 0 && pitch > 0 && pitch <= LONGEST_PITCH).then_some(at.wrapping_add(1))
            }
            _ => None,
        }
    }

    fn draw<B: Bus>(&mut self, reel: &[u8], _: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        let (first, rest, whole) = (self.row & !7, self.operand & REST_OF_PAGE != 0, self.operand & ALL_CELLS != 0);
        let from = 0xFFu8 << (self.row & 7);
        let fresh = if rest { from } else { from & from.wrapping_neg() };
        let mut on = self.field(reel, ROLL_CELLS).wrapping_sub(self.left);
        let (mut now, mut before) = (self.rows(reel, first), self.rows(reel, first.wrapping_sub(RING_ROWS)));
        let mut looks = CELLS_A_BYTE;
        loop {
            let cell = self.go_on_by(reel, &mut before, on);
            let change = cell ^ self.go_on_by(reel, &mut now, on);
            on = 1;
            burst.bus.work(Work::RolledCell, 1);
            before.count_work(burst.bus);
            now.count_work(burst.bus);
            if burst.allowance == 0 {
                return Err(End::Allowance);
            }
            looks -= 1;
            if looks == 0 {
                looks = CELLS_A_BYTE;
                burst.spend(1);
            }
            if !whole && self.between == 0 && change & fresh == 0 {
                self.gap += (self.gap < FAR_CELLS) as u8;
            } else if self.gap > 0 && self.gap < FAR_CELLS {
                // Go back to the cell at the display's pointer, which is near.
                self.left += self.gap;
                self.between = self.gap;
                self.gap = 0;
                return Ok(false);
            } else {
                self.send(reel, cell ^ (change & (fresh | !from)), burst)?;
            }
            self.left -= 1;
            if self.left == 0 {
                break;
            }
        }
        self.row = if rest { first.wrapping_add(8) } else { self.row.wrapping_add(1) };
        Ok(true)
    }
}
