//! A reel's bytes as text, one instruction a line with its offset: what a person reads to see where the flash goes.

use crate::player::grain::{AREA_BYTES, RUN_CELLS};
use crate::player::roll::{ALL_CELLS, REST_OF_PAGE};
use crate::player::turn::RECORD_ROWS;
use std::fmt::Write;

/// One instruction in the reel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub offset: usize,
    pub length: usize,
    pub text: String,
}

/// Lists the instructions of `reel` from `offset` up to `end`; an unknown one ends the listing.
pub fn list(reel: &[u8], offset: usize, end: usize) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut at = offset;
    while at < end.min(reel.len()) {
        let (text, length) = instruction(&reel[at..]);
        lines.push(Line { offset: at, length, text });
        if length == 0 {
            break;
        }
        at += length;
    }
    lines
}

/// The words and the bytes of the first instruction; no bytes when it is unknown.
fn instruction(code: &[u8]) -> (String, usize) {
    let byte = |at: usize| code.get(at).copied().unwrap_or(0);
    let word = |at: usize| u16::from(byte(at)) | u16::from(byte(at + 1)) << 8;
    let count = usize::from(byte(0) & 31) + 1;
    match byte(0) {
        0x00 => ("frame".into(), 1),
        0x01 => (format!("frame, then {} more", byte(1)), 2),
        0x02 => ("hold".into(), 1),
        0x03 => (format!("jump to {:04X}", word(1)), 3),
        0x04 if byte(1) == super::BACK => ("back".into(), 2),
        0x04 => (format!("scene {}", byte(1)), 2),
        0x05 => (format!("cue {}", byte(1)), 2),
        0x06 => {
            let length = 2 + usize::from(byte(1));
            (format!("commands{}", hex(code.get(2..length).unwrap_or(&[]))), length)
        }
        0x07 => (format!("call {} bytes at {:04X}", byte(1), word(2)), 4),
        0x08 => (format!("call {} bytes at {:04X}", word(1), word(3)), 5),
        0x09 => ("end of set-up".into(), 1),
        0x0A => (format!("copy {} bytes from {:04X}", byte(1), word(2)), 4),
        0x0B => (format!("copy {} bytes of a strip from {:04X}", byte(1), word(2)), 4),
        0x0C => (format!("copy {} bytes {} further", byte(1), word(2) as i16), 4),
        0x0D if byte(1) < 0x80 => (format!("scroll by {}", byte(1)), 2),
        0x0D => (format!("start line {}", byte(1) & 63), 2),
        0x0E => (format!("repeat {} times from {:04X}", byte(1), word(2)), 4),
        0x0F => (format!("draw {} frames", byte(1)), 2),
        0x10 => (format!("trees at {:04X}", word(1)), 3),
        0x11 => (format!("open the scene's stream at {:04X}", word(2)), 7),
        0x12 | 0x13 => (format!("continue the stream at {:04X}, frame {}", word(2), byte(1)), 7),
        0x14 => {
            let shift = i16::from(byte(6)) - 128;
            let text =
                format!("copy changed bytes of {} bytes {} further, shifted by {shift}", byte(1), word(2) as i16);
            (format!("{text}, page {} before column {}", byte(4), byte(5)), 7)
        }
        0x15 => (format!("beam opens at column {}, row {}", byte(1), byte(2)), 27),
        0x16 => (format!("beam bearing {:02X}", byte(2)), 3),
        0x17 => (format!("beam opens, bearing {:02X}, with the picture beneath it", byte(1)), beam_length(code)),
        0x18 => (format!("beam turns by {}", byte(1)), 2),
        0x19 => (format!("noise of {} × {} cells", byte(4), byte(2)), area_length(code)),
        0x1A => (format!("grains {:04X}, {} of 256", word(1), byte(3)), 4),
        0x1C => (format!("scrolling lines open, {} bytes", word(1)), 3 + usize::from(word(1))),
        0x1D => (rolled(byte(1)).to_owned(), 2),
        0x1E => (format!("{} areas open, records at {:04X}", byte(1), u16::from(byte(2)) | u16::from(byte(3)) << 8), 4),
        0x1F => ("areas restart".into(), 1),
        0x1B => (format!("{} bytes repeat on their own", word(1)), 3),
        0x20..=0x3F => (format!("literal{}", hex(code.get(1..=count).unwrap_or(&[]))), 1 + count),
        0x40..=0x5F => (format!("fill {count} × {:02X}", byte(1)), 2),
        0x60..=0x7F => (format!("zeros {count}"), 1),
        0x80..=0x8F => (format!("page {} column {}", byte(0) & 15, byte(1)), 2),
        other => (format!("unknown {other:02X}"), 0),
    }
}

/// What of a roll is written.
fn rolled(operand: u8) -> &'static str {
    match (operand & REST_OF_PAGE != 0, operand & ALL_CELLS != 0) {
        (false, false) => "scrolling lines: one row, changes",
        (false, true) => "scrolling lines: one row, all cells",
        (true, false) => "scrolling lines: to the end of a page, changes",
        (true, true) => "scrolling lines: to the end of a page, all cells",
    }
}

/// Bytes of an area of noise with the picture beneath, whose last run is empty.
fn area_length(code: &[u8]) -> usize {
    let mut at = 1 + usize::from(AREA_BYTES);
    while let Some(count) = code.get(at).filter(|count| **count > 0) {
        at += usize::from(RUN_CELLS) + usize::from(*count);
    }
    at + 1
}

/// Bytes of a beam with its record, the last row of which is empty.
fn beam_length(code: &[u8]) -> usize {
    let mut at = 2 + usize::from(RECORD_ROWS);
    while let Some(count) = code.get(at).filter(|count| **count > 0) {
        at += 2 + usize::from(*count);
    }
    at + 1
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, " {byte:02X}"); // writing to a String cannot fail
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_listing_names_each_instruction_once_and_ends_at_an_unknown_one() {
        let reel = [0x83, 28, 0x21, 1, 2, 0x42, 9, 0x06, 1, 0xAF, 0x08, 0, 1, 3, 0, 0x00, 0xEE, 0x00];
        let texts: Vec<String> =
            list(&reel, 0, reel.len()).iter().map(|line| format!("{:02} {}", line.offset, line.text)).collect();
        let expected = [
            "00 page 3 column 28",
            "02 literal 01 02",
            "05 fill 3 × 09",
            "07 commands AF",
            "10 call 256 bytes at 0003",
            "15 frame",
            "16 unknown EE",
        ];
        assert_eq!(texts, expected);
    }
}
