// Histories: areas that show the latest values of a live value, which are stored in RAM, as a line, as dots or as columns.

use super::reel::{byte, word};

/// Such an area has no table of rows. Instead it has: 0–1 offset of its history in memory; 2 number of values that it shows; 3 style;
/// then a row of pixels for no value and for each step, counted from the first page of the area.
const COLUMNS: u16 = 2;
const STYLE: u16 = 3;
const ROWS: u16 = 4;

/// Bit of the style: each value is joined to the one before.
pub const JOINED: u8 = 1;
/// Bit of the style: columns from the value to the last row of the display's memory.
pub const TO_LAST_ROW: u8 = 2;
/// Bit of the style: columns from the value to the first row of the display's memory.
pub const TO_FIRST_ROW: u8 = 4;
/// Bit of the style: the oldest value is in the last column of memory.
pub const FROM_RIGHT: u8 = 8;
/// The row of a value that is not drawn.
pub const NO_ROW: u8 = 0xFF;
const END_ROW: u8 = 127;

/// The bytes of a history that shows this many columns: the index of its latest value, then the values. It has one value more than it
/// shows, so that the previous picture is still known.
pub const fn history_bytes(columns: usize) -> usize {
    columns + 2
}

/// Returns the offset of a history in memory, and the number of its values. `None` if it does not fit.
fn place(reel: &[u8], data: u16, memory: usize) -> Option<(usize, usize)> {
    let (start, columns) = (word(reel, data) as usize, byte(reel, data.wrapping_add(COLUMNS)) as usize);
    let fits = start <= memory && memory - start >= history_bytes(columns);
    if fits { Some((start, columns + 1)) } else { None }
}

/// Stores a step, if there is one. Returns the phase of the area, which is the index of the latest value.
pub fn record_step(memory: &mut [u8], reel: &[u8], data: u16, step: Option<u8>) -> u16 {
    let Some((start, length)) = place(reel, data, memory.len()) else { return 0 };
    let Some(step) = step else { return memory[start] as u16 };
    let next = memory[start] as usize + 1;
    let latest = if next < length { next } else { 0 };
    memory[start] = latest as u8;
    memory[start + 1 + latest] = step.wrapping_add(1);
    latest as u16
}

/// Returns the pixels of a page from its first row down to `row`.
fn pixels_to(row: u8) -> u8 {
    match row {
        0x80.. => 0, // above the page
        7.. => 0xFF,
        _ => ((2u16 << row) - 1) as u8,
    }
}

/// Returns the ink of a cell at a phase. Page and column count from the first ones of the area.
pub fn history_ink(memory: &[u8], reel: &[u8], data: u16, phase: u16, (page, column): (u8, u8)) -> u8 {
    let Some((start, length)) = place(reel, data, memory.len()) else { return 0 };
    let style = byte(reel, data.wrapping_add(STYLE));
    let row = |place: usize| {
        let value = memory[start + 1 + place % length];
        byte(reel, data.wrapping_add(ROWS).wrapping_add(value as u16))
    };
    let from_left = if style & FROM_RIGHT != 0 { (length as u8).wrapping_sub(2).wrapping_sub(column) } else { column };
    let place = (phase & 0xFF) as usize + 2 + from_left as usize;
    let here = row(place);
    if here == NO_ROW {
        return 0;
    }
    let (mut last, mut above) = (here, here.wrapping_sub(1));
    if style & JOINED != 0 && from_left != 0 {
        let before = row(place + length - 1);
        if before < here {
            above = before;
        } else if before != here && before != NO_ROW {
            last = before - 1;
        }
    }
    if style & TO_LAST_ROW != 0 {
        last = END_ROW;
    }
    if style & TO_FIRST_ROW != 0 {
        above = 0xFF;
    }
    let top = 8 * page;
    pixels_to(last.wrapping_sub(top)) ^ pixels_to(above.wrapping_sub(top))
}
