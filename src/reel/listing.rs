//! A reel as text, one instruction per line with its offset, for people who want to see what uses the flash.

use super::operations::operation_of;

/// One instruction in the reel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedLine {
    /// Offset in the reel.
    pub offset: usize,
    /// Bytes that it takes.
    pub length: usize,
    /// What it does, in words.
    pub text: String,
}

/// Lists the instructions of `reel` from `offset` up to `end`. An unknown one ends the listing.
pub fn list(reel: &[u8], offset: usize, end: usize) -> Vec<ListedLine> {
    let mut lines = Vec::new();
    let mut at = offset;
    while at < end.min(reel.len()) {
        let (code, operation) = (&reel[at..], operation_of(reel[at]));
        let unknown = || (format!("unknown {:02X}", reel[at]), 0);
        let (text, length) = operation.map_or_else(unknown, |row| (row.text(code), row.length(code)));
        lines.push(ListedLine { offset: at, length, text });
        if length == 0 {
            break;
        }
        at += length;
    }
    lines
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
