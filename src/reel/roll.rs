//! Rows that come into view at the lower edge of a scrolling scene, as a roll: what is stored for the player, and what it writes in
//! each frame.

use super::cost::Cost;
use super::encode::word;
use super::generated::Generated;
use super::instruction::Instruction;
use super::lines::Lines;
use super::memory::{DisplayState, Memory, PageBitmap, RING_ROWS, Rows};
use super::simulated_bus::SimulatedBus;
use super::step::FARTHEST_SCROLL;
use crate::player::bus::Extension;
use crate::player::roll::{ALL_CELLS, OPEN_ROLL, REST_OF_PAGE, ROLL, Rolls};
use std::ops::Range;

/// The smallest number of rows of a roll. With fewer rows it is not worth its code in the player.
const FEWEST_ROWS: usize = 8;
/// With this many rows outside the view, whole pages are written in advance: a page, and the rows that can come into view at once.
const ROOMY: u32 = 16;
/// Rows of a page.
const PAGE_ROWS: usize = 8;
/// All cells of a row are sent if at least one in this many is not what the player assumes.
const CELLS_A_DOUBT: usize = 8;

/// What the player writes of a roll in a scene, frame by frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Roll {
    record: Vec<u8>,
    /// For each frame, how many rows come into view.
    comes: Vec<u8>,
    /// The number of the first row, and the rows from it on. The bits of a row are its visible columns.
    first_row: usize,
    rows: Vec<u128>,
    /// The visible columns that have ink.
    columns: Range<usize>,
    /// Whether whole pages are written in advance.
    ahead: bool,
}

/// The progress of the player.
#[derive(Default)]
pub struct Progress {
    rolls: Rolls,
    /// The row that is written next, and the first row that has not come into view yet; `None` before the roll opens.
    rows: Option<(usize, usize)>,
}

impl Roll {
    /// Returns the roll of pictures that are shown under `display_states`. `None` if they do not scroll up, or if the player cannot
    /// do it.
    pub fn of(pictures: &[PageBitmap], display_states: &[DisplayState], first_column: u8) -> Option<Self> {
        let display_states = display_states.get(..pictures.len())?;
        let moved = |pair: &[DisplayState]| (pair[1].start_line + RING_ROWS - pair[0].start_line) % RING_ROWS;
        let comes: Vec<u8> = std::iter::once(0).chain(display_states.windows(2).map(moved)).collect();
        let scrolls = |rows: &u8| *rows > 0;
        let (first, last) = (comes.iter().position(scrolls)?, comes.iter().rposition(scrolls)?);
        let is_inverted = display_states[first - 1..=last].iter().any(|state| state.inverted);
        let rows = rows_that_come(pictures, &comes);
        if comes.iter().any(|rows| *rows > FARTHEST_SCROLL) || rows.len() < FEWEST_ROWS || is_inverted {
            return None;
        }
        let ink = rows.iter().fold(0, |ink, row| ink | row);
        let columns = ink.trailing_zeros() as usize..(u128::BITS - ink.leading_zeros()) as usize;
        if columns.is_empty() {
            return None;
        }
        let lines = Lines::of(&rows.iter().map(|row| row >> columns.start).collect::<Vec<_>>(), columns.len())?;
        let (height, before) = (pictures[0].rows(), usize::from(lines.before));
        let enters = usize::from(display_states[first - 1].start_line) + height as usize;
        let first_row = if enters < before { enters + usize::from(RING_ROWS) } else { enters };
        let byte = |number: usize| u8::try_from(number).ok();
        let (cells, end) = (byte(columns.len())?, byte(usize::from(first_column) + columns.end)?);
        let (first_line, ink_bytes) = (byte(first_row - before)?, byte(lines.ink.len())?);
        let mut record = vec![cells, end, lines.pitch, first_line, byte(first_row)?, ink_bytes];
        record.extend(lines.ink);
        record.extend(lines.code);
        Some(Self { record, comes, first_row, rows, columns, ahead: u32::from(RING_ROWS) - height >= ROOMY })
    }

    /// Writes to `memory` what the player writes in a frame. Returns `None` if all rows that come into view are already written.
    pub fn write(
        &self,
        frame: usize,
        progress: &mut Progress,
        memory: &mut Memory,
        (cost, first_column): (&Cost, u8),
    ) -> Option<Generated> {
        let comes = usize::from(*self.comes.get(frame)?);
        let (mut row, mut seen) = progress.rows.unwrap_or((self.first_row, self.first_row));
        seen += comes;
        let mut made = Generated::default();
        let mut reel = word(self.record.len()).to_vec();
        reel.extend(&self.record);
        if row < seen && progress.rows.is_none() {
            made.flash_bytes = 1 + reel.len() as u64;
            made.instructions.push(Instruction::OpenRoll(self.record.clone()));
            progress.rolls.open(&reel, OPEN_ROLL, 0)?;
        }
        while row < seen {
            let behind = if self.ahead { (row | (PAGE_ROWS - 1)) + 1 } else { row + 1 };
            let doubts = self.columns.clone().filter(|column| self.doubts(*column, row..behind, memory)).count();
            let whole = if doubts * CELLS_A_DOUBT > self.columns.len() { ALL_CELLS } else { 0 };
            let operand = if self.ahead { REST_OF_PAGE | whole } else { whole };
            let at = u16::try_from(reel.len()).ok()?;
            reel.push(operand);
            progress.rolls.open(&reel, ROLL, at)?;
            let mut bus = SimulatedBus::new(memory, cost, first_column);
            bus.draw(&mut progress.rolls, &reel)?;
            made.instructions.push(Instruction::Roll(operand));
            made.flash_bytes += 2;
            made.time += bus.time;
            made.runs += bus.runs;
            row = behind;
        }
        progress.rows = progress.rows.or((comes > 0).then_some((row, seen))).map(|_| (row, seen));
        (!made.instructions.is_empty()).then_some(made)
    }

    /// Returns whether a column of memory may differ in some rows from what the player assumes: the row written 64 rows before.
    fn doubts(&self, column: usize, mut rows: Range<usize>, memory: &Memory) -> bool {
        let ring = usize::from(RING_ROWS);
        let former = |row: usize| row.checked_sub(ring + self.first_row).and_then(|at| self.rows.get(at)).copied();
        rows.any(|row| !memory.holds(column, row % ring, former(row).unwrap_or(0) >> column & 1 == 1))
    }
}

/// The rows that come into view at the lower edge, frame by frame, from top to bottom.
fn rows_that_come(pictures: &[PageBitmap], comes: &[u8]) -> Vec<u128> {
    let mut all = Vec::new();
    for (picture, rows) in pictures.iter().zip(comes) {
        let height = picture.rows();
        for row in height - u32::from(*rows).min(height)..height {
            let bit = |(column, bits): (usize, &Rows)| (bits >> row & 1) << column;
            all.push(picture.bits().iter().enumerate().map(bit).fold(0, |all, bit| all | bit));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Nanoseconds;
    use crate::whole::limited;
    use proptest::prelude::*;

    const WIDTH: usize = 40;

    /// A tall picture: lines of letters, a few rows apart.
    fn tall(letters: Vec<Vec<u8>>, lines: Vec<Vec<usize>>, pitch: usize) -> Vec<u128> {
        let mut rows = vec![0u128; pitch * lines.len()];
        for (number, line) in lines.iter().enumerate() {
            let columns = line.iter().flat_map(|letter| letters[letter % letters.len()].iter().copied().chain([0]));
            for (column, bits) in columns.take(WIDTH).enumerate() {
                (0..7).for_each(|row| rows[number * pitch + row] |= u128::from(bits >> row & 1) << column);
            }
        }
        rows
    }

    /// The visible part of a tall picture from a row on. Rows above the picture are blank.
    fn seen(tall: &[u128], height: usize, from: usize) -> PageBitmap {
        let row = |at: usize| (from + at).checked_sub(height).and_then(|at| tall.get(at)).copied().unwrap_or(0);
        let column = |x: usize| (0..height).fold(0, |bits, at| bits | (row(at) >> x & 1) << at);
        PageBitmap::new(limited(height), (0..WIDTH).map(column))
    }

    proptest! {
        /// All rows that come into view have been written by then, on displays with and without rows outside the view.
        #[test]
        fn every_row_is_written_before_it_is_seen(
            letters in prop::collection::vec(prop::collection::vec(1u8..128, 1..6), 1..12),
            lines in prop::collection::vec(prop::collection::vec(0usize..12, 1..9), 2..12),
            (pitch, height) in (7usize..14, prop::sample::select(vec![32usize, 40, 48, 57, 64])),
            (steps, start) in (prop::collection::vec(0usize..9, 3..40), 0usize..64),
        ) {
            let tall = tall(letters, lines, pitch);
            let tops = steps.iter().scan(0, |top, step| { *top += step; Some(*top) });
            let tops: Vec<usize> = std::iter::once(0).chain(tops).collect();
            let pictures: Vec<PageBitmap> = tops.iter().map(|top| seen(&tall, height, *top)).collect();
            let state = |top: &usize| DisplayState { start_line: limited((start + top) % 64), ..DisplayState::opening(Some(9)) };
            let display_states: Vec<DisplayState> = tops.iter().map(state).collect();
            let come = tops[tops.len() - 1];
            let roll = Roll::of(&pictures, &display_states, 28);
            let is_blank = tall.iter().take(come).all(|row| *row == 0);
            prop_assert_eq!(roll.is_some(), come >= FEWEST_ROWS && !is_blank);
            let Some(roll) = roll else { return Ok(()) };
            let cost = Cost::new(Nanoseconds(22_500), Nanoseconds(47_500), 32, true);
            let mut memory = Memory::unknown(WIDTH, limited(height));
            for (page, column) in (0..8).flat_map(|page| (0..WIDTH).map(move |column| (page, column))) {
                memory.write(page, column, 0);
            }
            memory.forget_hidden(display_states[0]);
            let mut progress = Progress::default();
            for (frame, picture) in pictures.iter().enumerate() {
                let _ = roll.write(frame, &mut progress, &mut memory, (&cost, 28));
                let columns = roll.columns.clone();
                let wrong = memory.changed(picture, display_states[frame]);
                prop_assert!(columns.clone().all(|column| wrong[column] == 0), "frame {frame}: {:?}", &wrong[columns]);
            }
        }
    }
}
