//! Areas, in C and in Rust: what is worked out by hand, and the same bytes on the bus for areas of all kinds.

use super::host::Action::{self, Tick, Trigger};
use super::host::{Build, play_in_rust, play_on_in_c, require_same};
use super::reels::Maker;
use super::turning::alike;
use proptest::prelude::*;

const RECORD_BYTES: usize = 11;

/// A sheet seen through a rectangle, as a record tells it without its addresses; its course and the codes of its rows.
#[derive(Clone, Debug)]
pub struct Area {
    pub place: [u8; 7],
    /// What follows live values: number and form, operand, which counts from the start of the bytes behind the records.
    pub parts: Vec<(u8, u16)>,
    pub course: Vec<u8>,
    pub rows: Vec<Vec<u8>>,
}

/// A reel of one scene with areas, which plays this code behind them.
fn reel(limit: u8, areas: &[Area], code: &[u8]) -> Vec<u8> {
    live_reel((limit, &[], &[]), areas, code)
}

/// The same with live values; `tables` stand behind the records, for the parts of phases.
pub fn live_reel((limit, values, tables): (u8, &[[u16; 4]], &[u8]), areas: &[Area], code: &[u8]) -> Vec<u8> {
    let maker = Maker::new(limit, &[&[0]]).live(values).code(&[0x09]);
    let start = usize::from(maker.at());
    let mut block = vec![0; areas.len() * RECORD_BYTES];
    block.extend(tables);
    let put = |block: &mut Vec<u8>, at: usize, place: usize| {
        block[at..at + 2].copy_from_slice(&((start + place) as u16).to_le_bytes());
    };
    for (number, area) in areas.iter().enumerate() {
        let record = number * RECORD_BYTES;
        block[record + 2..record + 9].copy_from_slice(&area.place);
        block[record + 6] |= (area.parts.len() as u8) << 5;
        for (form, operand) in &area.parts {
            let counts = if form & 0x80 == 0 { start + areas.len() * RECORD_BYTES } else { 0 };
            block.push(*form);
            block.extend((counts as u16 + operand).to_le_bytes());
        }
        let at = block.len();
        put(&mut block, record, at);
        block.extend(&area.course);
        let table = block.len();
        put(&mut block, record + 9, table);
        block.resize(table + 2 * area.rows.len(), 0);
        for (row, code) in area.rows.iter().enumerate() {
            let at = block.len();
            put(&mut block, table + 2 * row, at);
            block.extend(code);
        }
    }
    let [low, high] = (start as u16).to_le_bytes();
    maker.code(&block).scene().code(&[0x1E, areas.len() as u8, low, high]).code(code).reel()
}

/// Cells 10 to 13 of page 1 hold 01 02 03 04; a strip FF 00 FF passes over the middle two, one column a frame, and comes round.
fn passing(kind: u8) -> [Area; 2] {
    let still = Area {
        place: [1, 0, 10, 4, 4 | 16, 0xFF, 0xFF],
        parts: vec![],
        course: vec![0x81, 0, 0, 255],
        rows: vec![vec![0x43, 1, 2, 3, 4]],
    };
    let strip = Area {
        place: [1, 0, 11, 2, 1 | kind, 0xFF, 0xFF],
        parts: vec![],
        course: vec![0x81, 0, 0, 0, 0x10, 0x1F],
        rows: vec![vec![0x42, 0xFF, 0, 0xFF, 0x3E]],
    };
    [still, strip]
}

fn played(areas: &[Area], code: &[u8], frames: u16) -> Vec<String> {
    let ticks: Vec<Action> = (0..frames).map(|frame| Tick(51 * frame, 60)).collect();
    let text = alike(&reel(8, areas, code), &ticks, "by hand");
    text.lines().filter(|line| !line.starts_with("idle")).map(str::to_owned).collect()
}

#[test]
fn a_strip_passes_over_what_stands_still_and_only_changes_are_sent() {
    let opens = |data: &str| vec!["3C< 00 B1 0A 10 >".to_owned(), format!("3C< 40 {data} >")];
    let moves = |data: &str| vec!["3C< 00 B1 0B 10 >".to_owned(), format!("3C< 40 {data} >")];
    for (kind, first, second) in
        [(24, "01 FF 03 04", "02 FF"), (8, "01 00 03 04", "02 00"), (16, "01 FD 03 04", "02 FC")]
    {
        assert_eq!(played(&passing(kind), &[0x00, 0x02], 2), [opens(first), moves(second)].concat(), "kind {kind}");
    }
}

#[test]
fn areas_go_on_through_frames_in_which_the_rest_is_still_and_begin_anew_when_told() {
    let both = |code: &[u8]| played(&passing(24), code, 5);
    // 01 1: the frame and one more, and the one that is held; then nothing goes on.
    assert_eq!(both(&[0x01, 1, 0x02]).len(), 6);
    let again = both(&[0x00, 0x1F, 0x00, 0x02]);
    assert_eq!(again[2..], ["3C< 00 B1 0B 10 >", "3C< 40 02 FF >", "3C< 00 B1 0B 10 >", "3C< 40 FF 03 >"]);
}

#[test]
fn two_areas_that_share_a_cell_send_it_once() {
    let [still, strip] = passing(24);
    let other = Area { place: [1, 0, 12, 2, 1 | 24, 0xFF, 0xFF], ..strip.clone() };
    let lines = played(&[still, strip, other], &[0x00, 0x02], 2);
    assert_eq!(lines, ["3C< 00 B1 0A 10 >", "3C< 40 01 FF FF 04 >", "3C< 00 B1 0B 10 >", "3C< 40 02 FF FF >"]);
}

fn row() -> impl Strategy<Value = Vec<u8>> {
    let follow =
        prop::collection::vec(any::<u8>(), 1..20).prop_map(|cells| [vec![0x3F + cells.len() as u8], cells].concat());
    let piece = prop_oneof![
        2 => (0u8..0x3E).prop_map(|item| vec![item]),
        2 => follow,
        2 => (0x80u8..0xC0, any::<u8>()).prop_map(|(item, value)| vec![item, value]),
        1 => (0xC0u8.., 0u8..250).prop_map(|(item, from)| vec![item, from, 0]),
        1 => any::<u8>().prop_map(|item| vec![item]),
    ];
    (prop::collection::vec(piece, 0..6), prop_oneof![Just(vec![0x3E]), (0u8..6).prop_map(|back| vec![0x3F, back])])
        .prop_map(|(pieces, end)| [pieces.concat(), end].concat())
}

fn course() -> impl Strategy<Value = Vec<u8>> {
    let item = prop_oneof![
        6 => any::<u8>().prop_map(|item| vec![item]),
        1 => (2u8..20, any::<u8>()).prop_map(|(times, item)| vec![0x80, times, item]),
        1 => (0u8..40, 0u8..9, 0u8..4).prop_map(|(low, high, stays)| vec![0x81, low, high, stays]),
        1 => (any::<u8>(), prop_oneof![Just(0u8), Just(0xFF)], 0u8..4).prop_map(|(low, high, stays)| vec![0x83, low, high, stays]),
    ];
    prop::collection::vec(item, 1..12).prop_map(|items| items.concat())
}

pub fn area() -> impl Strategy<Value = Area> {
    let column = prop_oneof![4 => 0u8..60, 1 => any::<u8>()];
    let place = (0u8..4, 0u8..4, column, 1u8..70, 0u8..32, any::<u8>(), any::<u8>());
    (place, course(), prop::collection::vec(row(), 1..12)).prop_map(
        |((page, pages, column, cells, kind, first, last), course, rows)| Area {
            place: [page, pages, column, cells, kind, first, last],
            parts: vec![],
            course,
            rows,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn both_players_send_the_same_of_any_areas(
        areas in prop::collection::vec(area(), 1..6), limit in 3u8..40, allowance in 0u8..80, waits in 0u8..9,
    ) {
        let code = [0x80, 3, 0x21, 1, 2, 0x01, waits, 0x80, 9, 0x20, 5, 0x1F, 0x00, 0x01, 3, 0x04, 0];
        let calls = (0..300).map(|call| if call == 150 { Trigger(0) } else { Tick(call * 9, allowance) });
        alike(&reel(limit, &areas, &code), &calls.collect::<Vec<_>>(), "areas");
    }

    #[test]
    fn a_player_without_windows_sends_the_same_of_any_areas(
        areas in prop::collection::vec(area(), 1..6), limit in 3u8..40, allowance in 0u8..80, waits in 0u8..9,
    ) {
        let code = [0x06, 2, 0x81, 7, 0x01, waits, 0x05, 9, 0x1F, 0x06, 1, 0xA7, 0x00, 0x01, 3, 0x04, 0];
        let calls = (0..300).map(|call| if call == 150 { Trigger(0) } else { Tick(call * 9, allowance) });
        let (reel, calls) = (reel(limit, &areas, &code), calls.collect::<Vec<_>>());
        require_same(&play_on_in_c(Build::AreasAlone, &reel, &calls), &play_in_rust(&reel, &calls), "areas alone");
    }
}
