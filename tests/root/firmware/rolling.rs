//! Lines that roll, in C and in Rust: what is worked out by hand, and the same bytes on the bus for rolls of all kinds.

use super::host::Action::{self, Tick};
use super::reels::Maker;
use super::turning::alike;
use proptest::prelude::*;

/// Four cells from column 30 on, lines eight rows apart from row 64 on: a blank one, then one with a piece of two columns.
const RECORD: [u8; 17] = [4, 34, 8, 64, 72, 4, 2, 0xFF, 0x81, 0, 1, 0xFF, 2, 0x00, 0xFF, 0, 0xFF];

fn played(code: &[u8]) -> Vec<String> {
    let maker = Maker::new(8, &[&[]]).code(&[0x09]).scene();
    let reel = maker.code(&[0x1C, RECORD.len() as u8, 0]).code(&RECORD).code(code).reel();
    let text = alike(&reel, &[Tick(0, 60), Tick(60, 60)], "by hand");
    text.lines().map(str::to_owned).collect()
}

#[test]
fn the_rest_of_a_page_is_written_where_it_changes_or_whole() {
    let changes = ["3C< 00 B1 0E 11 >", "3C< 40 FF 81 >", "idle scene 0", "idle scene 0"];
    assert_eq!(played(&[0x1D, 1, 0x00, 0x1D, 1, 0x02]), changes);
    let whole =
        ["3C< 00 B1 0E 11 >", "3C< 40 FF 81 00 00 >", "idle scene 0", "3C< 00 B2 0E 11 >", "3C< 40 00 00 00 00 >"];
    assert_eq!(played(&[0x1D, 3, 0x00, 0x1D, 3, 0x02])[..5], whole);
}

#[test]
fn a_row_is_written_into_its_page_and_leaves_the_rows_below() {
    let text =
        ["3C< 00 B1 0E 11 >", "3C< 40 01 01 >", "idle scene 0", "3C< 00 B1 0E 11 >", "3C< 40 03 >", "idle scene 0"];
    assert_eq!(played(&[0x1D, 0, 0x00, 0x1D, 0, 0x02]), text);
}

/// A roll of any kind: pieces of ink, lines of pieces and blanks, and rows and pages of it that are written.
fn reel() -> impl Strategy<Value = Vec<u8>> {
    let piece = proptest::collection::vec(1u8.., 1..9);
    let line = proptest::collection::vec(prop_oneof![0u8..12, 0x80u8..0x90, Just(0xFFu8)], 0..9);
    let pieces = proptest::collection::vec(piece, 1..9);
    let lines = proptest::collection::vec(line, 1..20);
    let head = (1u8..128, 1u8..16, 40u8..100, 0u8..60, 3u8..40);
    (head, pieces, lines, proptest::collection::vec(0u8..4, 1..30)).prop_map(
        |((cells, pitch, first, on, limit), pieces, lines, writes)| {
            let mut record = vec![cells, cells + 20, pitch, first, first + on];
            let mut ink = Vec::new();
            for piece in pieces {
                ink.push(piece.len() as u8);
                ink.extend(piece);
                ink.resize(ink.len().next_multiple_of(2), 0);
            }
            record.push(ink.len() as u8);
            record.extend(ink);
            for line in lines {
                record.push(line.len() as u8 + 1);
                record.extend(line);
                record.push(0xFF);
            }
            record.extend([0, 0xFF]);
            let [low, high] = (record.len() as u16).to_le_bytes();
            let maker = Maker::new(limit, &[&[]]).code(&[0x09]).scene().code(&[0x1C, low, high]).code(&record);
            writes.iter().fold(maker, |maker, operand| maker.code(&[0x1D, *operand, 0x00])).code(&[0x02]).reel()
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn both_players_write_the_same_of_any_roll(reel in reel(), allowance in 0u8..80) {
        let actions: Vec<Action> = (0..400).map(|call| Tick(call * 7, allowance)).collect();
        alike(&reel, &actions, "a roll");
    }
}
