// Grains that flicker, for lean reels: noise is computed from a seed, not stored. The compiler draws noise by the same numbers.

use super::bus::{Burst, Bus, End, Work};
pub use super::operation::{AREA, GRAINS};
use super::player::Extension;
use super::reel::{NONE, byte};

/// Bytes of an area: page of its first row of cells, rows, first column of the display's memory, cells a row, the first pixel's
/// place across and down, and how places turn from pixel to pixel. Behind it the picture beneath: runs of cells in the order in which
/// they are sent, each a count, page, column of the display's memory and the cells; a count of 0 ends them.
pub const AREA_BYTES: u16 = 7;
/// Places go across from row to row, and down from column to column; they fall across, or down.
pub const SWAPS: u8 = 1;
pub const FALLS_ACROSS: u8 = 2;
pub const FALLS_DOWN: u8 = 4;

const FIRST_FACTOR: u16 = 0x9E3B;
const SECOND_FACTOR: u16 = 0x6D2B;

/// The hash of a place, 0 to 255: even over places and seeds. A grain whose hash is less than the density in 1/256 is ink.
pub fn hash(seed: u16, across: u8, down: u8) -> u8 {
    let mut hash = ((down as u16) << 8 | across as u16) ^ seed;
    hash = hash.wrapping_mul(FIRST_FACTOR);
    hash ^= hash >> 8;
    hash = hash.wrapping_add(seed).wrapping_mul(SECOND_FACTOR);
    (hash ^ hash >> 8) as u8
}

/// A cell of an area, so many rows and columns on in it, of grains that come of a number, with a density in 1/256.
pub fn cell(area: &[u8; AREA_BYTES as usize], (seed, density): (u16, u8), rows: u8, columns: u8) -> u8 {
    let [_, _, _, _, across, down, turn] = *area;
    let placed =
        |from: u8, by: u8, falls: u8| if turn & falls != 0 { from.wrapping_sub(by) } else { from.wrapping_add(by) };
    let mut cell = 0;
    for row in 0..8 {
        let rows = rows.wrapping_add(row);
        let (by_across, by_down) = if turn & SWAPS != 0 { (rows, columns) } else { (columns, rows) };
        let (x, y) = (placed(across, by_across, FALLS_ACROSS), placed(down, by_down, FALLS_DOWN));
        cell |= ((hash(seed, x, y) < density) as u8) << row;
    }
    cell
}

/// The noise that is being drawn.
pub struct Grains {
    /// Offset of the area.
    pub record: u16,
    seed: u16,
    density: u8,
    page: u8,
    left: u8,
    seeks: bool,
    /// Offset of the run of the picture beneath that is the next.
    run: u16,
}

/// Bytes of a run before its cells.
pub const RUN_CELLS: u16 = 3;
/// The cells of a run of the picture beneath; 0 where there is none.
fn run_length(reel: &[u8], run: u16) -> u8 {
    let count = byte(reel, run);
    if count == NONE { 0 } else { count }
}

impl Grains {
    /// No noise yet.
    pub const fn new() -> Self {
        Self { record: 0, seed: 0, density: 0, page: 0, left: 0, seeks: false, run: 0 }
    }
}

impl Grains {
    fn area(&self, reel: &[u8]) -> [u8; AREA_BYTES as usize] {
        let mut area = [0; AREA_BYTES as usize];
        for (on, value) in area.iter_mut().enumerate() {
            *value = byte(reel, self.record.wrapping_add(on as u16));
        }
        area
    }

    /// The picture beneath in a column of the page at hand.
    fn beneath(&mut self, reel: &[u8], column: u8) -> u8 {
        let count = run_length(reel, self.run);
        let on = column.wrapping_sub(byte(reel, self.run.wrapping_add(2)));
        if on >= count || byte(reel, self.run.wrapping_add(1)) != self.page {
            return 0;
        }
        let cells = self.run.wrapping_add(RUN_CELLS);
        if on + 1 == count {
            self.run = cells.wrapping_add(count as u16);
        }
        byte(reel, cells.wrapping_add(on as u16))
    }
}

impl Default for Grains {
    fn default() -> Self {
        Self::new()
    }
}

impl Extension for Grains {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        if operation == AREA {
            self.record = at;
            let mut end = at.wrapping_add(AREA_BYTES);
            for _ in 0..=u8::MAX {
                let count = run_length(reel, end);
                if count == 0 {
                    break;
                }
                end = end.wrapping_add(RUN_CELLS).wrapping_add(count as u16);
            }
            return Some(end.wrapping_add(1));
        }
        if operation != GRAINS {
            return None;
        }
        self.seed = byte(reel, at) as u16 | (byte(reel, at.wrapping_add(1)) as u16) << 8;
        self.density = byte(reel, at.wrapping_add(2));
        let [page, _, _, cells, ..] = self.area(reel);
        (self.page, self.left, self.seeks) = (page, cells, true);
        self.run = self.record.wrapping_add(AREA_BYTES);
        (self.left > 0).then_some(at.wrapping_add(3))
    }

    fn draw<B: Bus>(&mut self, reel: &[u8], _: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        let area = self.area(reel);
        let [first_page, rows, column, cells, ..] = area;
        if self.left == 0 {
            return Err(End::Fault);
        }
        while self.left > 0 {
            burst.bus.work(Work::NoiseCell, (burst.allowance > 0) as u16);
            let on = cells.wrapping_sub(self.left);
            if self.seeks {
                burst.seek(self.page, column.wrapping_add(on))?;
                self.seeks = false;
            }
            burst.make_room()?;
            let down = self.page.wrapping_sub(first_page).wrapping_mul(8);
            let beneath = self.beneath(reel, column.wrapping_add(on));
            burst.data(beneath | cell(&area, (self.seed, self.density), down, on))?;
            self.left -= 1;
            if self.left == 0 && self.page.wrapping_sub(first_page).wrapping_add(1) < rows {
                self.page = self.page.wrapping_add(1);
                self.left = cells;
                self.seeks = true;
            }
        }
        Ok(true)
    }
}
