//! The instructions of a reel as a table, from which the page of the format is generated; a test compares it with the listing.

use super::encode::REEL_VERSION;
use std::fmt::Write;

/// A row: the first and the last code, the operands, and what it does. An operand that ends in `16` has two bytes, the lower first.
type Row = (u8, u8, &'static str, &'static str);

pub(super) const INSTRUCTIONS: &[Row] = &[
    (0x00, 0x00, "", "The frame is complete."),
    (0x01, 0x01, "n", "The frame is complete, and n more frames follow without change."),
    (0x02, 0x02, "", "The frame is complete. Hold it until a trigger."),
    (0x03, 0x03, "offset16", "Jump."),
    (0x04, 0x04, "scene", "Go to a scene; FE: back to the scene that the last trigger left."),
    (0x05, 0x05, "cue", "Report a cue to the firmware."),
    (0x06, 0x06, "n …", "Send n command bytes in one transaction, at most 10."),
    (
        0x07,
        0x07,
        "n offset16",
        "Call: play n bytes of instructions at an offset, then return. Calls nest four levels deep at most.",
    ),
    (0x08, 0x08, "n16 offset16", "As 07, with a count of 16 bits."),
    (0x09, 0x09, "", "End of the set-up sequence."),
    (0x0A, 0x0A, "n offset16", "Copy n data bytes from an offset of the reel."),
    (0x0B, 0x0B, "n offset16", "Copy n data bytes of a strip from an offset of the reel."),
    (
        0x0C,
        0x0C,
        "n step16",
        "Copy n data bytes, starting `step` (signed) after the start of the last copy of a strip.",
    ),
    (0x0D, 0x0D, "n", "Start line: 80 to BF sets it; a lower value moves it down by n rows, modulo 64."),
    (0x0E, 0x0E, "n offset16", "Repeat from an offset, n times, then continue. Repetitions do not nest."),
    (0x0F, 0x0F, "n", "Decode n frames from the stream; one frame period passes between them."),
    (
        0x10,
        0x10,
        "offset16",
        "The model of a dense reel is at this offset. This instruction is in the set-up sequence.",
    ),
    (
        0x11,
        0x11,
        "m offset16 s s s",
        "Open the stream of a scene at an offset. m: in a dense reel the movement per frame, columns to the left + 16 × rows up; in a film \
         80 if cells can become copies of the cell on their left, else 00. s: state of the decoder.",
    ),
    (0x12, 0x12, "frame offset16 s s s", "Continue the stream at an offset. The next frame has this number."),
    (0x13, 0x13, "frame offset16 s s s", "As 12, and clear the marks of the cells that changed in the previous frame."),
    (
        0x14,
        0x14,
        "n step16 page column d",
        "As 0C, for the n cells of this page that end before this column. Only bytes that differ from those shown are sent. The bytes \
         shown are d − 128 bytes earlier in the reel.",
    ),
    (
        0x15,
        0x15,
        "column row m t q16 d d v16 limits×16",
        "A beam of a dense reel opens. column, row: its centre. m: 01 if it turns anticlockwise. t: the longest limit, at least 8. q: square \
         of its length in pixels. d: its direction and v: its turn per frame, both in 2⁻¹⁶ turns. Then the limits of a 4×4 tile, row by \
         row: for how many 256ths of a turn a pixel stays lit.",
    ),
    (0x16, 0x16, "d d", "Direction of the beam in 2⁻¹⁶ turns. It follows 12 and 13."),
    (
        0x17,
        0x17,
        "d record …",
        "A beam of a lean reel opens with direction d, in 256ths of a turn. All cells of its rows are sent. Record: column, row, m, t, q and \
         the limits as for 15; first page; for each row a count of cells, the first column and the picture below the beam. A count of 0 \
         ends the record.",
    ),
    (
        0x18,
        0x18,
        "v",
        "The beam turns by v 256ths of a turn. Cells that change are sent, and gaps of up to seven cells between them.",
    ),
    (
        0x19,
        0x19,
        "value offset16",
        "From here on, the contrast of the scene follows a live value. A table at the offset has a contrast for each step of the value. \
         The contrast is sent at once, and at the start of each frame in which it has changed.",
    ),
    (0x1A, 0x1A, "", "The areas close. What they show stays."),
    (
        0x1B,
        0x1B,
        "length16 …",
        "A part that repeats on its own; its instructions follow and have this many bytes. Its first piece, up to 00, is played at once. \
         Each later frame begins with the next piece. A jump at the end of the part leads to its start. Entering a scene ends it.",
    ),
    (
        0x1C,
        0x1C,
        "length16 record",
        "Scrolling lines open. Record: cells per row; column after the last cell; rows from line to line; row of the first line; the row \
         that is written first; bytes of ink; then the ink and the lines (`src/player/roll.rs`).",
    ),
    (
        0x1D,
        0x1D,
        "n",
        "Write the next row of the scrolling lines. If bit 0 is set, write all rows up to the end of its page. Cells that change are \
         sent; if bit 1 is set, all cells.",
    ),
    (
        0x1E,
        0x1E,
        "n offset16",
        "n areas open. Their records are at the offset, the lowest area first. All cells of the first area are sent.",
    ),
    (0x1F, 0x1F, "", "All areas restart their courses with the next frame."),
    (0x20, 0x3F, "bytes", "Literal: 1 to 32 data bytes."),
    (0x40, 0x5F, "value", "Fill: 1 to 32 equal data bytes."),
    (0x60, 0x7F, "", "1 to 32 data bytes of zero."),
    (0x80, 0x8F, "column", "Set the pointer to a page and a column."),
    (0x90, 0x90, "offset16", "The model of a film is at this offset. This instruction is in the set-up sequence."),
];

const HEADER: &[(&str, &str)] = &[
    ("0", "version"),
    ("1", "7-bit I²C address of the display; 1 for a display on SPI whose pointer is set by bank and column"),
    ("2", "write limit, with the control byte"),
    ("3–4", "frame period in ms"),
    ("5", "fraction of the frame period in 1/256 ms"),
    ("6", "number of scenes"),
    ("7", "number of triggers"),
    ("8", "start scene"),
    ("9–10", "offset of the set-up sequence"),
    (
        "11 …",
        "offset of each scene, two bytes each; then for each scene one byte per trigger: the scene to go to, FE: back, FF: ignore",
    ),
];

const AREA: &[(&str, &str)] = &[
    ("0–1", "offset of the course"),
    ("2", "first page"),
    ("3", "number of pages − 1"),
    ("4", "first column of the display memory"),
    ("5", "cells per row"),
    (
        "6",
        "kind. 01: the phase moves the sheet by columns; 02: by rows of pixels; 04: by whole pictures. With 01 and a second one of these, \
         the low byte of the phase counts the columns. With none of them, the area is noise. 06: it shows the latest values of a live \
         value. 08: ink darkens; 10: ink inverts; both: ink lights. The upper three bits are the number of live values that the area \
         follows",
    ),
    ("7, 8", "pixels of the first and of the last page that belong to the area"),
    (
        "9–10",
        "offset of a table with an offset for each row of the sheet. For noise, offset of four words: the seed, the place of the first \
         pixel of the first page, and how far apart in number the places of neighbouring rows and of neighbouring columns are. The phase \
         of noise is 256 × the density of ink in 1/128 + the number of the picture. For the latest values of a live value, offset of: \
         where the values are in the memory for histories (two bytes); number of columns; style (01: each value is joined to the one \
         before; 02: columns to the last row of memory; 04: columns to the first row; 08: the oldest value is in the last column); then, \
         for no value and for each step, the row of pixels from the first page on, FF for none",
    ),
];

const LIVE_VALUE: &[(&str, &str)] = &[
    ("0–1", "value at the start, signed"),
    ("2–3", "highest value"),
    ("4–5", "lowest value"),
    ("6–7", "factor: the step is (value − lowest) × factor / 65,536, rounded"),
];

const LIVE_PARTS: &str = "\
Live values are stored before the set-up sequence, in reverse order. What they add to the phase of an area is stored before its course: \
three bytes for each value that the area follows. The first byte is the number of the value plus 80, 40 or 00. An operand of 16 bits \
follows. 80: add the step times the operand. 00: the operand is the offset of a table with a byte for each step; add that byte. 40: add \
256 times that byte.\n";

const MODEL: &str = "\
A model has: width, pages, first column; the eight leaves that pairs are chosen from; the offsets of five trees (frame, cell, predicted \
cell, pixel, eight cells); then the trees. A leaf gives the probability of the less likely answer: (8 + bits 0 to 2) × 2⁷ / 2^(bits 3 to \
5), in 1/4,096. Bit 6 of a leaf says whether yes is the likely answer.\n\n\
A node starts with the feature that it tests: bits 0 to 3 are the group, bits 4 to 6 the bit of the group (`Canvas::context`). Group 15 \
is a number (`Canvas::number`), and the threshold follows in a byte. Then:\n\n\
| code | meaning |\n| --- | --- |\n\
| 00–3F | two leaves of the model, for no and for yes |\n\
| 40–5F | upper five bits of the leaf for no, then the tree for yes |\n\
| 60–7F | the leaf for yes, then the tree for no |\n\
| 80–BF | length of the tree for no, then both trees |\n\
| C0–FF | as 80–BF, with a length of 14 bits |\n\n\
The stream is an asymmetric number system with a 24-bit state. A byte is read while the state is below 2¹⁶. No node starts in the last \
three bytes of a reel, so that the C player can check for the end once per node. A C player built with `PAGELOOM_DENSE` leaves out the \
instructions that only lean reels have (07, 08, 0A–0E, 14, 17, 18, 1B–1D, 20–8F) and reports them as faults; `PAGELOOM_BOTH` keeps them.\n\n\
Areas (1E) lie over the copy of the picture: it has what lies below all of them. The cells of the copy that change are sent with the areas \
drawn on them. If areas are opened between 11 and the first frame, they are sent with that frame.\n\n## Films\n\n\
A film has the instructions of a dense reel. Its model has: width, pages, first column; the widths of 13 tables, two in each byte, the \
first in the lower four bits; then the tables. A table of width w has 2^w signed steps; one of width 0 is left out. One table is for \
groups of eight cells, five are for cells, three for copies of the cell on the left, and four for pixels. The index in a table is the \
lower bits of its context (`FilmCanvas`). The steps of all tables of a class are added in eight bits. A sum s means that the probability \
of a yes is 1 / (1 + e^(−s / 10)), in 1/256 from 1 to 255 (`SQUASH`). The stream is the same number system as above; at most one byte is \
read after a decision.\n";

fn rows(table: &[(&str, &str)]) -> String {
    let lines: String = table.iter().map(|(bytes, meaning)| format!("| {bytes} | {meaning} |\n")).collect();
    format!("| bytes | meaning |\n| --- | --- |\n{lines}\n")
}

/// The page of the format in the syntax of the project's other pages.
pub fn format_page() -> String {
    let mut text = format!(
        "# Reel format, version {REEL_VERSION}\n\nThis page is generated from `src/reel/format.rs`. Numbers are little-endian; offsets count \
         from the start of the reel; codes are hexadecimal.\n\n## Header\n\n{}## Instructions\n\n| code | operands | meaning |\n\
         | --- | --- | --- |\n",
        rows(HEADER)
    );
    for (first, last, operands, meaning) in INSTRUCTIONS {
        let code = if first == last { format!("{first:02X}") } else { format!("{first:02X}–{last:02X}") };
        let _ = writeln!(text, "| {code} | {operands} | {meaning} |"); // writing to a String cannot fail
    }
    text.push_str("\n## Records of areas\n\n");
    text.push_str(&rows(AREA));
    text.push_str("`src/player/area.rs` describes courses and rows of sheets.\n\n## Live values\n\n");
    text.push_str(&rows(LIVE_VALUE));
    text.push_str(LIVE_PARTS);
    text.push_str("\n## Dense reels\n\n");
    text.push_str(MODEL);
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reel::list;

    /// Bytes of an instruction by its operands; `None` where its length depends on them.
    fn length(operands: &str) -> Option<usize> {
        let bytes = operands.split_whitespace().map(|operand| match operand {
            "…" | "record" | "bytes" => None,
            _ if operand.ends_with("×16") => Some(16),
            _ if operand.ends_with("16") => Some(2),
            _ => Some(1),
        });
        bytes.sum::<Option<usize>>().map(|bytes| 1 + bytes)
    }

    #[test]
    fn the_table_has_every_instruction_of_the_listing_with_its_length() {
        for code in 0..=u8::MAX {
            let listed = list(&[&[code], [0; 40].as_slice()].concat(), 0, 1)[0].length;
            let rows: Vec<&Row> = INSTRUCTIONS.iter().filter(|row| (row.0..=row.1).contains(&code)).collect();
            assert_eq!(rows.len(), usize::from(listed > 0), "{code:02X}");
            if let Some(expected) = rows.first().and_then(|row| length(row.2)) {
                assert_eq!(listed, expected, "{code:02X}");
            }
        }
    }
}
