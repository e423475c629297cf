//! The table of a reel's operations: number, length, and the words for them in listings and in `--explain`.

use crate::player::operation as op;
use crate::player::roll::{ALL_CELLS, REST_OF_PAGE};
use crate::player::turn::RECORD_ROWS;
use std::fmt::Write;

/// One operation.
pub struct OperationRow {
    /// Its lowest and its highest number. They differ if the lower bits are a count or a page.
    pub first: u8,
    pub last: u8,
    /// Its name in the C player, without `OP_`.
    #[cfg(test)]
    pub name: &'static str,
    /// What its bytes are for.
    pub purpose: &'static str,
    /// Its length in bytes, including operands.
    length: fn(CodeBytes<'_>) -> usize,
    /// What it does, in words.
    text: fn(CodeBytes<'_>) -> String,
}

/// The bytes of a reel, from an instruction on.
#[derive(Clone, Copy)]
struct CodeBytes<'a>(&'a [u8]);

impl CodeBytes<'_> {
    fn byte(self, at: usize) -> u8 {
        self.0.get(at).copied().unwrap_or(0)
    }

    fn word(self, at: usize) -> u16 {
        u16::from(self.byte(at)) | u16::from(self.byte(at + 1)) << 8
    }

    /// The count of a short form.
    fn count(self) -> usize {
        usize::from(self.byte(0) & 31) + 1
    }

    fn hex(self, from: usize, to: usize) -> String {
        self.0.get(from..to).unwrap_or(&[]).iter().fold(String::new(), |mut text, byte| {
            let _ = write!(text, " {byte:02X}"); // writing to a String cannot fail
            text
        })
    }
}

impl OperationRow {
    /// The length in bytes of the instruction at the start of `code`.
    pub fn length(&self, code: &[u8]) -> usize {
        (self.length)(CodeBytes(code))
    }

    /// What the instruction at the start of `code` does, in words.
    pub fn text(&self, code: &[u8]) -> String {
        (self.text)(CodeBytes(code))
    }
}

/// Returns the operation with this number; `None` for an unknown one.
pub fn operation_of(number: u8) -> Option<&'static OperationRow> {
    OPERATIONS.iter().find(|row| (row.first..=row.last).contains(&number))
}

/// What the bytes of areas are for.
pub const AREAS: &str = "areas";
const FRAMES: &str = "frames, waits, holds";
const FOLLOWS: &str = "what follows";
const AGAIN: &str = "repeated instructions";
const STRIPS: &str = "pictures from strips";
const STREAMS: &str = "frames decoded from streams";
const BEAM: &str = "a turning beam";
const ROLLS: &str = "scrolling lines";
const FILLED: &str = "pictures filled";

macro_rules! row {
    ($name:ident, $purpose:expr, $length:expr, $text:expr) => {
        row!($name, op::$name, $purpose, $length, $text)
    };
    ($name:ident, $last:expr, $purpose:expr, $length:expr, $text:expr) => {
        OperationRow {
            first: op::$name,
            last: $last,
            #[cfg(test)]
            name: stringify!($name),
            purpose: $purpose,
            length: $length,
            text: $text,
        }
    };
}

/// All operations, by number.
pub static OPERATIONS: [OperationRow; 37] = [
    row!(FRAME, FRAMES, |_| 1, |_| "frame".into()),
    row!(WAIT, FRAMES, |_| 2, |code| format!("frame, then {} more", code.byte(1))),
    row!(HOLD, FRAMES, |_| 1, |_| "hold".into()),
    row!(JUMP, FOLLOWS, |_| 3, |code| format!("jump to {:04X}", code.word(1))),
    row!(SCENE, FOLLOWS, |_| 2, |code| {
        if code.byte(1) == super::BACK { "back".into() } else { format!("scene {}", code.byte(1)) }
    }),
    row!(CUE, "cues", |_| 2, |code| format!("cue {}", code.byte(1))),
    row!(COMMANDS, "commands to the controller", |code| 2 + usize::from(code.byte(1)), |code| {
        format!("commands{}", code.hex(2, 2 + usize::from(code.byte(1))))
    }),
    row!(PLAY, AGAIN, |_| 4, |code| format!("call {} bytes at {:04X}", code.byte(1), code.word(2))),
    row!(PLAY_LONG, AGAIN, |_| 5, |code| { format!("call {} bytes at {:04X}", code.word(1), code.word(3)) }),
    row!(SET_UP_ENDS, "end of the set-up", |_| 1, |_| "end of set-up".into()),
    row!(COPY, "pictures copied from earlier data", |_| 4, |code| {
        format!("copy {} bytes from {:04X}", code.byte(1), code.word(2))
    }),
    row!(TAKE, STRIPS, |_| 4, |code| format!("copy {} bytes of a strip from {:04X}", code.byte(1), code.word(2))),
    row!(ONWARD, STRIPS, |_| 4, |code| {
        format!("copy {} bytes {} further", code.byte(1), code.word(2).cast_signed())
    }),
    row!(LINE, "start line", |_| 2, |code| match code.byte(1) {
        rows @ 0..0x80 => format!("scroll by {rows}"),
        line => format!("start line {}", line & 63),
    }),
    row!(REPEAT, "repetitions", |_| 4, |code| { format!("repeat {} times from {:04X}", code.byte(1), code.word(2)) }),
    row!(DRAW, STREAMS, |_| 2, |code| format!("draw {} frames", code.byte(1))),
    row!(MODEL, STREAMS, |_| 3, |code| format!("trees at {:04X}", code.word(1))),
    row!(KEY, STREAMS, |_| 7, |code| format!("open the scene's stream at {:04X}", code.word(2))),
    row!(AGAIN, STREAMS, |_| 7, go_on_in_stream),
    row!(CLEARED, STREAMS, |_| 7, go_on_in_stream),
    row!(CHANGES, STRIPS, |_| 7, |code| {
        let shift = i16::from(code.byte(6)) - 128;
        let text = format!(
            "copy changed bytes of {} bytes {} further, shifted by {shift}",
            code.byte(1),
            code.word(2).cast_signed()
        );
        format!("{text}, page {} before column {}", code.byte(4), code.byte(5))
    }),
    row!(BEAM, STREAMS, |_| 27, |code| { format!("beam opens at column {}, row {}", code.byte(1), code.byte(2)) }),
    row!(POINT, STREAMS, |_| 3, |code| format!("beam bearing {:02X}", code.byte(2))),
    row!(OPEN_BEAM, BEAM, beam_length, |code| {
        format!("beam opens, bearing {:02X}, with the picture beneath it", code.byte(1))
    }),
    row!(TURN, BEAM, |_| 2, |code| format!("beam turns by {}", code.byte(1))),
    row!(CONTRAST, "contrasts by live values", |_| 4, |code| {
        format!("contrast by live value {}, from {:04X} on", code.byte(1), code.word(2))
    }),
    row!(CLOSE_AREAS, AREAS, |_| 1, |_| "areas close".into()),
    row!(ROUND, "parts that repeat on their own", |_| 3, |code| {
        format!("{} bytes repeat on their own", code.word(1))
    }),
    row!(OPEN_ROLL, ROLLS, |code| 3 + usize::from(code.word(1)), |code| {
        format!("scrolling lines open, {} bytes", code.word(1))
    }),
    row!(ROLL, ROLLS, |_| 2, rolled),
    row!(OPEN_AREAS, AREAS, |_| 4, |code| format!("{} areas open, records at {:04X}", code.byte(1), code.word(2))),
    row!(RESTART_AREAS, AREAS, |_| 1, |_| "areas restart".into()),
    row!(LITERAL, op::FILL - 1, "literal pictures", |code| 1 + code.count(), |code| {
        format!("literal{}", code.hex(1, 1 + code.count()))
    }),
    row!(FILL, op::ZERO - 1, FILLED, |_| 2, |code| format!("fill {} × {:02X}", code.count(), code.byte(1))),
    row!(ZERO, op::SEEK - 1, FILLED, |_| 1, |code| format!("zeros {}", code.count())),
    row!(SEEK, op::FILM - 1, "page and column addresses", |_| 2, |code| {
        format!("page {} column {}", code.byte(0) & 15, code.byte(1))
    }),
    row!(FILM, STREAMS, |_| 3, |code| format!("tables at {:04X}", code.word(1))),
];

fn go_on_in_stream(code: CodeBytes<'_>) -> String {
    format!("continue the stream at {:04X}, frame {}", code.word(2), code.byte(1))
}

/// The words for what is written of a roll.
fn rolled(code: CodeBytes<'_>) -> String {
    let operand = code.byte(1);
    let part = if operand & REST_OF_PAGE == 0 { "one row" } else { "to the end of a page" };
    let cells = if operand & ALL_CELLS == 0 { "changes" } else { "all cells" };
    format!("scrolling lines: {part}, {cells}")
}

/// The length in bytes of an instruction with the record of a beam. An empty row ends the record.
fn beam_length(code: CodeBytes<'_>) -> usize {
    let mut at = 2 + usize::from(RECORD_ROWS);
    while code.byte(at) > 0 {
        at += 2 + usize::from(code.byte(at));
    }
    at + 1
}

#[cfg(test)]
mod tests {
    use super::super::format::INSTRUCTIONS;
    use super::*;
    use std::collections::BTreeSet;

    /// The number after the last operation, `OP_END` in the C player.
    const END: u8 = op::FILM + 1;

    #[test]
    fn every_number_is_of_one_operation_at_most() {
        let numbers: Vec<u8> = OPERATIONS.iter().flat_map(|row| row.first..=row.last).collect();
        assert!(numbers.is_sorted_by(|one, next| one < next) && numbers.last() == Some(&(END - 1)));
    }

    #[test]
    fn the_c_player_has_the_same_numbers() {
        let c = include_str!("../player/reel.c");
        let named = c.lines().filter_map(|line| line.trim().strip_prefix("OP_")?.split_once(" = 0x"));
        let named: BTreeSet<(String, u8)> = named
            .filter_map(|(name, rest)| Some((name.to_owned(), u8::from_str_radix(rest.get(..2)?, 16).ok()?)))
            .collect();
        let end = [("END".to_owned(), END)];
        let rows = OPERATIONS.iter().map(|row| (row.name.to_owned(), row.first)).chain(end);
        assert_eq!(named, rows.collect());
    }

    #[test]
    fn the_page_of_the_format_tells_of_all_of_them() {
        let described: Vec<(u8, u8)> = INSTRUCTIONS.iter().map(|(first, last, ..)| (*first, *last)).collect();
        assert_eq!(described, OPERATIONS.iter().map(|row| (row.first, row.last)).collect::<Vec<_>>());
    }
}
