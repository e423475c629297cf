// Histories: areas that show the latest values of a live value, a value for each column, as a line, as dots or as columns. The values
// are stored in RAM.

use super::reel::{byte, word};

/// In place of a table of rows such an area has: 0–1 where its history begins in memory, 2 how many values it shows, 3 style; then for
/// no value and for each step the row of pixels, counted from the first page of the area.
const COLUMNS: u16 = 2;
const STYLE: u16 = 3;
const ROWS: u16 = 4;

/// Styles. Where a column has no value, nothing is drawn.
pub const DOTS: u8 = 0;
/// Each value is joined to the one before.
pub const LINE: u8 = 1;
/// Columns from the value to the last row of the display's memory.
pub const TO_LAST_ROW: u8 = 2;
/// Columns from the value to its first row.
pub const TO_FIRST_ROW: u8 = 3;
/// The oldest value is in the last column of memory.
pub const FROM_RIGHT: u8 = 0x80;
/// The row of a value that is not drawn.
pub const NO_ROW: u8 = 0xFF;
const END_ROW: u8 = 127;

/// The bytes of a history of so many columns: where its latest value is, and its values with one more, so that the former picture is
/// still known.
pub const fn history_bytes(columns: usize) -> usize {
    columns + 2
}

/// Where a history lies in memory, and how many values it has with the one more; `None` where it does not fit.
fn place(reel: &[u8], data: u16, memory: usize) -> Option<(usize, usize)> {
    let (start, columns) = (word(reel, data) as usize, byte(reel, data.wrapping_add(COLUMNS)) as usize);
    let fits = start <= memory && memory - start >= history_bytes(columns);
    if fits { Some((start, columns + 1)) } else { None }
}

/// Records a step. Returns the phase of the area: which value is the latest.
pub fn record_step(memory: &mut [u8], reel: &[u8], data: u16, step: Option<u8>) -> u16 {
    let Some((start, length)) = place(reel, data, memory.len()) else { return 0 };
    let Some(step) = step else { return memory[start] as u16 };
    let next = memory[start] as usize + 1;
    let latest = if next < length { next } else { 0 };
    memory[start] = latest as u8;
    memory[start + 1 + latest] = step.wrapping_add(1);
    latest as u16
}

/// The pixels of the page `page` between two rows.
fn pixels(one: u8, other: u8, page: u8) -> u8 {
    let (first, last) = if one < other { (one, other) } else { (other, one) };
    let top = 8 * page;
    if last < top || first > top + 7 {
        return 0;
    }
    let from = if first > top { 0xFF << (first - top) } else { 0xFF };
    from & if last < top + 7 { 0xFF >> (top + 7 - last) } else { 0xFF }
}

/// The ink of a cell at a phase; page and column count from the first ones of the area.
pub fn history_ink(memory: &[u8], reel: &[u8], data: u16, phase: u16, (page, column): (u8, u8)) -> u8 {
    let Some((start, length)) = place(reel, data, memory.len()) else { return 0 };
    let style = byte(reel, data.wrapping_add(STYLE));
    let row = |place: usize| {
        let value = memory[start + 1 + place % length];
        byte(reel, data.wrapping_add(ROWS).wrapping_add(value as u16))
    };
    let columns = byte(reel, data.wrapping_add(COLUMNS));
    let from_left = if style & FROM_RIGHT != 0 { columns.wrapping_sub(1).wrapping_sub(column) } else { column };
    let place = (phase & 0xFF) as usize + 2 + from_left as usize;
    let here = row(place);
    if here == NO_ROW {
        return 0;
    }
    let from = match style & !FROM_RIGHT {
        LINE if from_left != 0 => match row(place + length - 1) {
            NO_ROW => here,
            before if before < here => before + 1,
            before if before > here => before - 1,
            _ => here,
        },
        TO_LAST_ROW => END_ROW,
        TO_FIRST_ROW => 0,
        _ => here,
    };
    pixels(from, here, page)
}
