//! Live values, in C and in Rust: what is worked out by hand, and the same bytes on the bus for any values at any times.

use super::areas::{Area, area, live_reel};
use super::host::Action::{self, FailStop, Refuse, Restart, Set, Tick, Trigger};
use super::reels::Maker;
use super::turning::alike;
use proptest::prelude::*;

/// First at 30, up to 90, from −10, in 20 steps.
const LEVEL: [u16; 4] = [30, 90, (-10i16) as u16, 13_107];

/// Cells 10 to 13 of page 1 are blank; cell 11 shows the step of the live value number `live` and form, as its table makes it a phase,
/// of which the low byte alone says the picture, or with `across` the high one.
fn gauge(form: u8, operand: u16, across: u8) -> [Area; 2] {
    let still = Area {
        place: [1, 0, 10, 4, 16, 0xFF, 0xFF],
        parts: vec![],
        course: vec![0x81, 0, 0, 255],
        rows: vec![vec![0x3E]],
    };
    let steps = (0..=20).map(|step| vec![0x40, step, 0x3E]).collect();
    let gauge = Area {
        place: [1, 0, 11, 1, 4 | 16 | across, 0xFF, 0xFF],
        parts: vec![(form, operand)],
        course: vec![0x81, 0, 0, 255],
        rows: steps,
    };
    [still, gauge]
}

/// The bytes that each frame shows in the gauge's cell; those that send nothing are left out.
fn shown(areas: &[Area], code: &[u8], tables: &[u8], actions: &[Action]) -> Vec<String> {
    let text = alike(&live_reel((8, &[LEVEL], tables), areas, code), actions, "live by hand");
    let data = text.lines().filter_map(|line| line.strip_prefix("3C< 40 "));
    data.map(|data| data.trim_end_matches(" >").to_owned()).collect()
}

fn frame(number: u16) -> Action {
    Tick(51 * number, 60)
}

/// A value is clamped, rounded to its step, drawn with the next frame; a restart keeps it.
#[test]
fn values_move_what_follows_them() {
    let areas = gauge(0x80, 1, 0);
    let wait = [0x01, 99, 0x02];
    let (first, then) = ([frame(0), frame(1), Set(0, 44), frame(2)], [Set(0, 500), frame(3), frame(4)]);
    let actions = [&first[..], &then, &[Set(0, -500), frame(5), Restart, frame(6)]].concat();
    let lines = shown(&areas, &wait, &[], &actions);
    assert_eq!(lines, ["00 08 00 00", "0B", "14", "00", "00 00 00 00"]);
}

/// A value set before the first tick counts.
#[test]
fn a_value_set_before_the_first_frame_counts() {
    for hold in [[0x02], [0x00]] {
        let code = [&hold[..], &[0x02]].concat();
        let lines = shown(&gauge(0x80, 1, 0), &code, &[], &[Set(0, 90), frame(0), frame(1)]);
        assert_eq!(lines, ["00 14 00 00"]);
    }
}

/// The phase of a step stands in a table of low or of high bytes.
#[test]
fn parts_of_phases_stand_in_tables() {
    let table: Vec<u8> = (0..=20).map(|step| 20 - step).collect();
    for (form, across) in [(0, 0), (0x40, 1)] {
        let (areas, actions) = (gauge(form, 0, across), [frame(0), Set(0, 90), frame(1)]);
        assert_eq!(shown(&areas, &[0x00, 0x02], &table, &actions), ["00 0C 00 00", "00"], "form {form:02X}");
    }
}

/// A contrast is sent when its scene opens and with the frame before which its step changed; a restart sends it anew. Expected by hand.
#[test]
fn a_contrast_follows_a_live_value() {
    let maker = Maker::new(8, &[&[0]]).live(&[LEVEL]).code(&[0x09]);
    let [low, high] = maker.at().to_le_bytes();
    let contrasts: Vec<u8> = (0..=20).map(|step| 100 + step / 2).collect();
    let reel = maker.code(&contrasts).scene().code(&[0x19, 0, low, high, 0x01, 99, 0x02]).reel();
    let (first, then) = ([frame(0), Set(0, 44), frame(1)], [Set(0, 45), frame(2), Set(0, 90), Set(0, -10), frame(3)]);
    let text = alike(&reel, &[&first[..], &then, &[frame(4), Restart, frame(5)]].concat(), "contrast by hand");
    let sent: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix("3C< 00 81 ")).collect();
    // Step 8; 10.8, rounded to 11; the same; 0; and once more.
    assert_eq!(sent, ["68 >", "69 >", "64 >", "64 >"]);
}

fn action() -> impl Strategy<Value = Action> {
    prop_oneof![
        12 => (any::<u16>(), 0u8..80).prop_map(|(now, allowance)| Tick(now, allowance)),
        6 => (0u8..18, any::<i16>()).prop_map(|(live, value)| Set(live, value)),
        1 => Just(Trigger(0)),
        1 => (1u16..30).prop_map(Refuse),
        1 => Just(FailStop),
        2 => Just(Restart),
    ]
}

/// A live value within its limits.
fn value() -> impl Strategy<Value = [u16; 4]> {
    let limits = (any::<i16>(), any::<i16>()).prop_map(|(one, other)| (one.min(other), one.max(other)));
    (limits, any::<u16>(), any::<i16>())
        .prop_map(|((lowest, highest), factor, start)| [start as u16, highest as u16, lowest as u16, factor])
}

/// An area of any kind, which may follow live values.
fn live_area() -> impl Strategy<Value = Area> {
    let part = (prop::sample::select(vec![0x80u8, 0x40, 0]), 0u8..17, 0u16..60);
    let parts = prop::collection::vec(part.prop_map(|(form, live, operand)| (form | live, operand)), 0..4);
    (area(), parts).prop_map(|(area, parts)| Area { parts, ..area })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn both_players_send_the_same_of_any_values(
        areas in prop::collection::vec(prop_oneof![live_area(), area()], 1..6),
        values in prop::collection::vec(value(), 1..17),
        tables in prop::collection::vec(any::<u8>(), 600),
        (limit, waits, holds) in (3u8..40, 0u8..9, any::<bool>()),
        dimming in prop::option::of((0u8..18, 0u16..900)),
        actions in prop::collection::vec(action(), 300),
    ) {
        let end: &[u8] = if holds { &[0x02] } else { &[0x01, 3, 0x04, 0] };
        // Parts follow values that there are.
        let mut areas = areas;
        for (form, _) in areas.iter_mut().flat_map(|area| &mut area.parts) {
            *form = *form & 0xC0 | ((*form & 63) % values.len() as u8);
        }
        // The contrasts are whatever bytes stand there.
        let [low, high] = dimming.map_or(0, |(_, at)| at).to_le_bytes();
        let dimming = dimming.map(|(live, _)| vec![0x19, live % values.len() as u8, low, high]).unwrap_or_default();
        let code = [&dimming[..], &[0x80, 3, 0x21, 1, 2, 0x01, waits, 0x80, 9, 0x20, 5, 0x1F, 0x00], end].concat();
        // A clock that goes on, with the random times as steps of up to 63 ms.
        let mut clock = 0u16;
        let on = |action: &Action| match action {
            Tick(step, allowance) => {
                clock = clock.wrapping_add(step % 64);
                Tick(clock, *allowance)
            }
            other => *other,
        };
        let actions: Vec<Action> = actions.iter().map(on).collect();
        alike(&live_reel((limit, &values, &tables), &areas, &code), &actions, "live values");
    }
}
