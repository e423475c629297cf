// A beam that turns over a still picture, for lean reels: its changes are computed from its bearing.

use super::beam::{Beam, SHORTEST_LONGEST, TOO_LONG, bearing, near};
use super::bus::{Burst, Bus, End, Work};
pub use super::operation::{OPEN_BEAM, TURN};
use super::player::Extension;
use super::reel::{NONE, byte};

/// Bytes of a record before its rows: column and row that the beam turns about, whether anticlockwise, the longest of its
/// limits, the square of its length, its limits, and the page of the first row. Each row is a count of cells, the first one's
/// column of the display's memory, and the picture beneath; a count of 0 ends them.
pub const RECORD_ROWS: u16 = 23;
const RECORD_LONGEST: u16 = 3;
const RECORD_REACH: u16 = 4;
const RECORD_LIMITS: u16 = 6;
const RECORD_PAGE: u16 = 22;
/// From so many columns off the centre on, a cell is passed over if the beam and its trail are far from both its ends and are not
/// between them.
const OFF_CENTRE: u8 = 3;
const HALF_TURN: u8 = 128;
/// So many cells from the display's pointer a cell is no longer reached by sending those between again.
const POINTS_ELSEWHERE: u8 = 8;
/// Rows lie in the display's memory: so many pages, and columns of them.
const MEMORY_PAGES: u8 = 16;
const MEMORY_COLUMNS: u16 = 132;
/// So many cells that are far from the beam take as much of the allowance as one that it may touch.
const FAR_CELLS_A_BYTE: u8 = 8;

/// The turning beam.
pub struct Turning {
    /// Offset of its record, and of the current cell.
    pub record: u16,
    at: u16,
    direction: u8,
    last: u8,
    opens: bool,
    /// Whether a row lies beyond the display's memory.
    beyond: bool,
    page: u8,
    /// The column behind the row, and cells left in it.
    end: u8,
    left: u8,
    /// Cells between the display's pointer and the current one.
    gap: u8,
    /// How many are sent because the gap was short.
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

    /// Goes to the row that follows; none if nothing is left. The offset behind it, or behind its end.
    fn next_row(&mut self, reel: &[u8]) -> u16 {
        let row = self.at;
        let count = byte(reel, row);
        self.left = if count == NONE { 0 } else { count }; // a reel that is cut short ends here
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

    /// Where the record ends; its last row is empty.
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

    /// The pixels of a cell of this page that the beam lights when it points in a direction.
    fn lit(&self, beam: &Beam, column: u8, direction: u8) -> u8 {
        let row = self.page.wrapping_mul(8);
        let mut lit = 0;
        for y in 0..8 {
            let (x, y, bit) = (near(column, beam.column), near(row.wrapping_add(y), beam.row), 1 << y);
            lit |= if beam.lights(x, y, direction) { bit } else { 0 };
        }
        lit
    }

    /// Pixels of a cell of this page that the beam can reach.
    fn within_reach(&self, beam: &Beam, column: u8) -> u16 {
        let x = column.wrapping_sub(beam.column as u8) as i8 as i32;
        let y = self.page.wrapping_mul(8).wrapping_sub(beam.row as u8) as i8 as i32;
        let mut pixels = 0;
        for row in 0..8 {
            pixels += ((x * x + (y + row) * (y + row)) as u32 <= beam.reach) as u16;
        }
        pixels
    }

    /// How many cells from this one on the beam and its trail are far from, now and before it turned, as far as a look at this one
    /// tells.
    fn far_cells(&self, beam: &Beam, longest: u8, column: u8) -> u8 {
        let x = column.wrapping_sub(beam.column as u8) as i8;
        let x = if beam.mirrored { x.wrapping_neg() } else { x };
        let y = self.page.wrapping_mul(8).wrapping_sub(beam.row as u8) as i8;
        let off = x.unsigned_abs();
        if off as u32 * off as u32 > beam.reach {
            return 1;
        }
        if off < OFF_CENTRE {
            return 0;
        }
        let from = longest.wrapping_add(self.direction).wrapping_sub(self.last);
        let behind = |y: i8| self.direction.wrapping_sub(bearing(x as i16, y as i16));
        let (above, below) = (behind(y), behind(y.wrapping_add(7)));
        let (first, last) = if above > below { (below, above) } else { (above, below) };
        if first <= from || last >= 0u8.wrapping_sub(SHORTEST_LONGEST) || last - first > HALF_TURN {
            return 0;
        }
        let (to_trail, to_line) = (first - from - 1, u8::MAX - SHORTEST_LONGEST - last);
        let nearest = if to_trail < to_line { to_trail } else { to_line };
        1 + ((nearest as u16 * (off - OFF_CENTRE) as u16) >> 7) as u8
    }

    /// Goes to the next cell; whether a row begins with it.
    fn pass(&mut self, reel: &[u8]) -> bool {
        self.at = self.at.wrapping_add(1);
        self.left -= 1;
        let ends = self.left == 0;
        if ends {
            self.next_row(reel);
        }
        ends
    }

    /// Sends the current cell; the display's pointer is set to it unless it stands there. Whether a row begins with the next one.
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
                far_cells = self.far_cells(&beam, longest, column);
                burst.bus.work(Work::FarLook, 1);
            }
            let far = far_cells > 0;
            far_cells = if far { far_cells - 1 } else { 0 };
            cells = if far { cells - 1 } else { 0 };
            if cells == 0 {
                cells = FAR_CELLS_A_BYTE;
                burst.spend(1);
            }
            let compares = !self.opens && self.bridges == 0;
            if !far {
                burst.bus.work(Work::BeamCell, 1);
                burst.bus.work(Work::BeamPixel, self.within_reach(&beam, column));
            }
            let lit = |direction| if far { 0 } else { self.lit(&beam, column, direction) };
            let cell = under | lit(self.direction);
            if compares && cell == under | lit(self.last) {
                self.gap = if self.gap < POINTS_ELSEWHERE { self.gap + 1 } else { self.gap };
                if self.pass(reel) {
                    far_cells = 0;
                }
            } else if self.gap > 0 && self.gap < POINTS_ELSEWHERE {
                // Back to the display's pointer, which is near.
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
