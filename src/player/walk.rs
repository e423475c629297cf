// Sends the cells of areas that change, and draws areas on the cells of a picture copy that are sent.

use super::area::{Areas, CHUNK, COLUMN, FAR_CELLS, KIND, LAST_PAGE, PAGE, is_noise};
use super::bus::{Burst, Bus, End, Work};
use super::live::Live;
use super::over::{Above, Below, Dark};

/// The least allowance for composing a chunk. Composing takes time, so it uses up bytes of the allowance: one for the chunk, one for
/// each row of a sheet, and one for every 16 pieces of a row or every 4 cells of noise. They are subtracted after the cells were sent.
const LEAST_FOR_A_CHUNK: u8 = 12;
/// The least allowance for composing cells of a copy of the picture that areas cover.
const LEAST_FOR_CELLS: u8 = 8;

impl<const N: usize, L: Live> Areas<N, L> {
    /// Sends a cell of the current page. Sets the display's pointer first if it is elsewhere.
    fn send<B: Bus>(&mut self, column: u8, cell: u8, burst: &mut Burst<'_, B>) -> Result<(), End> {
        if self.pointer != column {
            burst.seek(self.page, column)?;
            self.pointer = column;
        }
        burst.make_room()?;
        self.pointer = column.wrapping_add(1);
        burst.data(cell)
    }

    /// Composes a chunk of `count` cells if a moving area covers a part of it. Sends the cells that differ and the short gaps between.
    fn look<B: Bus>(
        &mut self,
        reel: &[u8],
        count: u8,
        below: &impl Below,
        burst: &mut Burst<'_, B>,
    ) -> Result<(), End> {
        let first = self.column;
        burst.bus.work(Work::AreaChunk, 1);
        for area in 0..self.count {
            burst.bus.work(Work::AreaAsked, 1);
            if self.moved(area) {
                burst.bus.work(Work::AreaCheck, self.checks(reel, area));
            }
        }
        burst.owed = 1;
        let moves = |area: u8| self.moved(area) && self.span(reel, area).is_some();
        if !self.opens && !(0..self.count).any(moves) {
            self.column = first.wrapping_add(count);
            return Ok(());
        }
        // All cells are sent while areas open. So is noise: comparing it takes longer than sending it.
        let is_noise = |area: u8| is_noise(self.field(reel, area, KIND));
        let all = self.opens || (0..self.count).any(|area| moves(area) && is_noise(area));
        let now = self.compose(reel, false, below, burst);
        let before = if all { now } else { self.compose(reel, true, below, burst) };
        for on in 0..count {
            if !all && now[on as usize] == before[on as usize] {
                continue;
            }
            let gap = first.wrapping_add(on).wrapping_sub(self.pointer);
            let mut from = on;
            if gap < FAR_CELLS {
                if gap > on {
                    self.column = self.pointer; // the gap began in the chunk before: start again there
                    return Ok(());
                }
                from = on - gap;
            }
            while from <= on {
                self.column = first.wrapping_add(from);
                self.send(self.column, now[from as usize], burst)?;
                from += 1;
            }
        }
        self.column = first.wrapping_add(count);
        Ok(())
    }

    /// Goes through the cells of the first area, chunk by chunk, until the allowance is used up. Returns whether all are done.
    pub fn walk<B: Bus>(&mut self, reel: &[u8], below: &impl Below, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        while burst.allowance >= LEAST_FOR_A_CHUNK {
            let left = self.end.wrapping_sub(self.column);
            self.look(reel, if left < CHUNK as u8 { left } else { CHUNK as u8 }, below, burst)?;
            burst.spend(burst.owed);
            if self.column == self.end {
                let last = self.field(reel, 0, PAGE).wrapping_add(self.field(reel, 0, LAST_PAGE));
                self.column = self.field(reel, 0, COLUMN);
                self.pointer = self.column.wrapping_sub(FAR_CELLS);
                let page = self.page;
                self.page = page.wrapping_add(1);
                if page == last {
                    self.opens = false;
                    return Ok(true);
                }
            }
        }
        Err(End::Allowance)
    }

    /// Leaves it to a copy of the picture to send the cells of areas that were just opened.
    pub fn opened(&mut self) {
        self.opens = false;
    }
}

impl<const N: usize, L: Live> Above for Areas<N, L> {
    fn lay_over<B: Bus>(
        &mut self,
        reel: &[u8],
        (page, column): (u8, u8),
        cells: &mut [u8],
        below: &impl Below,
        burst: &mut Burst<'_, B>,
    ) -> Result<(), End> {
        (self.page, self.column, self.composed) = (page, column, cells.len() as u8);
        burst.bus.work(Work::AreaCheck, if self.count > 0 { self.checks(reel, 0) } else { 0 });
        // The first area has the cells of all.
        if self.count == 0 || self.span(reel, 0).is_none() {
            return Dark.lay_over(reel, (page, column), cells, below, burst);
        }
        if burst.allowance < LEAST_FOR_CELLS {
            return Err(End::Allowance);
        }
        burst.owed = 1;
        burst.bus.work(Work::ComposedRun, 1);
        let composed = self.compose(reel, false, below, burst);
        cells.copy_from_slice(&composed[..cells.len()]);
        Ok(())
    }
}
