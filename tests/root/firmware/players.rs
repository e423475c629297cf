//! The C player: the bytes it sends for reels written by hand, and the same as the Rust player for everything else.

use super::host::Action::{FailStop, Refuse, Restart, Tick, Trigger};
use super::host::{Action, play_in_c, play_in_rust};
use super::reels::{Maker, changing, going_round, nested, passing, two_scenes};
use super::tools::{compile, root, workshop};
use proptest::prelude::*;

/// What both players print, which must be the same.
fn play(reel: &[u8], actions: &[Action]) -> Vec<String> {
    let in_c = play_in_c(reel, actions);
    assert_eq!(in_c, play_in_rust(reel, actions), "the players differ: C left, Rust right");
    in_c.lines().map(str::to_owned).collect()
}

#[test]
fn a_hand_written_reel_goes_out_within_allowance_and_write_limit() {
    let lines = play(&two_scenes(), &[Tick(1000, 0), Tick(1001, 12), Tick(1002, 12), Tick(1049, 16), Tick(1050, 40)]);
    assert_eq!(
        lines,
        [
            "3C< 00 81 2F >",
            "3C< 00 B0 0C 11 >",
            "3C< 40 01 >", // 12 bytes: 4 + 5 + 3
            "busy scene 0",
            "3C< 40 02 03 04 09 09 09 09 >",
            "cue 7 scene 0",
            "idle scene 0",
            "idle scene 0",
            "3C< 00 B1 03 16 >",
            "3C< 40 01 02 03 00 00 00 >",
            "idle scene 0",
        ]
    );
}

#[test]
fn the_frame_period_carries_its_fraction_and_a_late_clock_slips() {
    let reel = Maker::new(8, &[&[]]).code(&[0x09]).scene().code(&[0x20, 1, 0x00, 0x20, 2, 0x00, 0x20, 3, 0x02]).reel();
    let from = 65_500; // the clock wraps
    let at = |ms: u16| Tick(ms.wrapping_add(from), 12);
    let lines = play(&reel, &[at(0), at(49), at(50), at(100), at(101)]);
    assert_eq!(
        lines,
        [
            "3C< 40 01 >",
            "idle scene 0",
            "idle scene 0",
            "3C< 40 02 >",
            "idle scene 0",
            "idle scene 0", // 2 x 50.5 ms is 101
            "3C< 40 03 >",
            "idle scene 0"
        ]
    );
    let lines = play(&reel, &[at(0), at(1000), at(1050), at(1051)]);
    assert_eq!(
        lines,
        ["3C< 40 01 >", "idle scene 0", "3C< 40 02 >", "idle scene 0", "idle scene 0", "3C< 40 03 >", "idle scene 0"]
    );
}

#[test]
fn stretches_play_again_and_nest_to_four_levels() {
    let lines = play(&nested(), &[Tick(0, 60)]);
    let data = |text: &str| format!("3C< 40 {text} >");
    let expected: Vec<_> = ["01 02", "03 01", "02 03", "00 01", "02 03", "00 01", "02 03", "00"].map(data).into();
    assert_eq!(lines[..8], expected);
    for (levels, end) in [(4, "idle scene 0"), (5, "fault")] {
        let mut maker = Maker::new(8, &[&[]]).code(&[0x09]);
        let mut target = maker.at();
        maker = maker.code(&[0x20, 7]);
        let mut length = 2;
        for _ in 1..levels {
            let [low, high] = target.to_le_bytes();
            target = maker.at();
            maker = maker.code(&[0x07, length, low, high]);
            length = 4;
        }
        let [low, high] = target.to_le_bytes();
        let reel = maker.scene().code(&[0x07, length, low, high, 0x02]).reel();
        assert_eq!(play(&reel, &[Tick(0, 60)]).last().map(String::as_str), Some(end), "{levels} levels");
    }
}

#[test]
fn a_strip_passes_by_while_the_start_line_moves_and_repeats_for_ever() {
    let lines = play(&passing(), &(0..8).map(|frame| Tick(51 * frame, 60)).collect::<Vec<_>>());
    let (show, rest) =
        (|line: &str, data: &str| vec![format!("3C< 00 {line} >"), format!("3C< 40 {data} >")], "idle scene 0");
    let shown = [
        show("42", "0A 0B 0C"),
        show("41", "0B 0C 0D"),
        show("40", "0C 0D 0E"),
        show("7F", "0D 0E 0F"),
        show("41", "0B 0C 0D"), // from the jump's target on, the start line goes on from where it was set
        show("40", "0C 0D 0E"),
        show("7F", "0D 0E 0F"),
        show("41", "0B 0C 0D"),
    ];
    let expected: Vec<String> = shown.into_iter().flat_map(|frame| [frame, vec![rest.into()]].concat()).collect();
    assert_eq!(lines, expected);
}

/// Worked out by hand: of the strip 5 6×11 7 6 8 8 8 9, stretches of sixteen that begin at 0, 1 and 2. Ten cells alike are passed
/// over, two are sent.
#[test]
fn of_what_passes_by_only_the_changes_are_sent_and_short_gaps_between_them() {
    let lines = play(&changing(), &[Tick(0, 60), Tick(60, 60), Tick(120, 60)]);
    let whole =
        ["3C< 00 B2 0E 11 >", "3C< 40 05 06 06 06 06 06 06 >", "3C< 40 06 06 06 06 06 07 06 >", "3C< 40 08 08 >"];
    let first = ["3C< 00 B2 0E 11 >", "3C< 40 06 >", "3C< 00 B2 09 12 >", "3C< 40 07 06 08 >"];
    let second = ["3C< 00 B2 08 12 >", "3C< 40 07 06 08 08 08 09 >"];
    let idle = ["idle scene 0"];
    assert_eq!(lines, [&whole[..], &idle, &first, &idle, &second, &idle].concat());
}

/// Worked out by hand: a round of three stretches, the last of which plays a part of the first again, beside a cell
/// that stays as it is for two frames, in a stretch that is itself played again.
#[test]
fn a_round_goes_on_beside_the_rest_and_through_frames_in_which_that_is_still() {
    let lines = play(&going_round(), &(0..9).map(|frame| Tick(51 * frame, 60)).collect::<Vec<_>>());
    let cell = |page: u8, data: &str| vec![format!("3C< 00 {:02X} 0A 10 >", 0xB0 + page), format!("3C< 40 {data} >")];
    let [first, second, third] = [cell(2, "01 02"), cell(2, "00"), cell(2, "07 01 02")];
    let (bar, rest) = (cell(1, "FF"), vec!["idle scene 0".to_owned()]);
    let expected = [
        [&cell(0, "55"), &rest].map(Vec::as_slice).concat(),
        [&first, &bar, &rest].map(Vec::as_slice).concat(),
        [&second, &rest].map(Vec::as_slice).concat(),
        [&third, &rest].map(Vec::as_slice).concat(),
        [&first, &bar, &rest].map(Vec::as_slice).concat(),
        [&second, &rest].map(Vec::as_slice).concat(),
        [&third, &rest].map(Vec::as_slice).concat(),
        [&first, &rest].map(Vec::as_slice).concat(), // and that holds
        rest.clone(),
    ];
    assert_eq!(lines, expected.concat());
}

#[test]
fn of_two_triggers_the_last_counts_but_an_ignored_one_displaces_none() {
    let reel = two_scenes();
    let end = |actions: &[Action]| play(&reel, actions).last().cloned();
    let cue = Some("cue 9 scene 1".to_owned());
    assert_eq!(end(&[Tick(0, 60), Tick(1, 60), Trigger(0), Trigger(2), Trigger(9), Tick(2, 60)]), cue);
    assert_eq!(end(&[Tick(0, 60), Tick(1, 60), Trigger(0), Trigger(1), Tick(2, 60)]), Some("cue 7 scene 0".into()));
    // Raised in the second scene, whose own trigger 2 starts it anew; "back" still means the first.
    let back = [Tick(0, 60), Tick(1, 60), Trigger(0), Tick(2, 60), Trigger(2), Tick(3, 60), Tick(4, 60), Trigger(1)];
    let lines = play(&reel, &[&back[..], &[Tick(5, 60)]].concat());
    assert_eq!(lines.iter().filter(|line| **line == "3C< 00 B7 0F 17 >").count(), 2);
    assert_eq!(lines.last().map(String::as_str), Some("cue 7 scene 0"));
}

#[test]
fn a_refused_byte_is_reported_and_a_restart_sends_the_scene_whole() {
    let reel = two_scenes();
    let whole = play(&reel, &[Tick(0, 60)]);
    for byte in 1..=21 {
        let lines = play(&reel, &[Refuse(byte), Tick(0, 60), Tick(1, 60), Restart, Tick(2, 60)]);
        let fault = lines.iter().position(|line| line == "fault").unwrap_or(usize::MAX);
        assert_eq!(lines.get(fault + 1).map(String::as_str), Some("fault"), "byte {byte}: {lines:#?}");
        assert_eq!(lines[fault + 2..], whole, "byte {byte}");
    }
    let late = play(&reel, &[FailStop, Tick(0, 60), Restart, Tick(1, 60)]);
    assert_eq!(late[..2], ["3C< 00 81 2F !>", "fault"], "a refused last byte that only the stop reports");
    assert_eq!(late[2..], whole);
}

#[test]
fn a_broken_reel_is_a_fault_and_never_holds_the_loop() {
    let good = two_scenes();
    let fault = |reel: &[u8]| play(reel, &[Tick(0, 12), Restart, Tick(1, 12)]).iter().all(|l| l == "fault");
    for (at, value) in [(0, 1), (0, 0), (2, 2), (8, 2), (10, 0x7F)] {
        let mut reel = good.clone();
        reel[at] = value;
        assert!(fault(&reel), "byte {at} is {value}");
    }
    for length in 0..12 {
        assert!(fault(&good[..length]), "cut to {length} bytes");
    }
    let empty = Maker::new(8, &[&[]]).code(&[0x09]).scene();
    let [low, high] = empty.at().to_le_bytes();
    assert_eq!(play(&empty.code(&[0x03, low, high]).reel(), &[Tick(0, 12), Tick(1, 255)]), ["busy scene 0"; 2]);
}

fn actions() -> impl Strategy<Value = Vec<Action>> {
    let action = prop_oneof![
        8 => (0u16..120, prop_oneof![Just(16u8), any::<u8>()]).prop_map(|(step, allowance)| Tick(step, allowance)),
        2 => (0u8..4).prop_map(Trigger),
        1 => Just(Restart),
        1 => Just(FailStop),
        1 => (1u16..40).prop_map(Refuse),
    ];
    proptest::collection::vec(action, 1..60).prop_map(|mut actions| {
        let mut now = 60_000u16;
        for action in &mut actions {
            if let Tick(step, _) = action {
                now = now.wrapping_add(*step);
                *step = now;
            }
        }
        actions
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn both_players_send_the_same_whatever_happens(which in 0usize..5, actions in actions()) {
        play(&[two_scenes(), nested(), passing(), changing(), going_round()][which], &actions);
    }
    #[test]
    fn both_players_send_the_same_of_any_bytes_and_keep_to_the_rules(
        limit in 3u8.., body in proptest::collection::vec(prop_oneof![0u8..15, Just(0x14), Just(0x17), Just(0x18), Just(0x19), Just(0x1A), Just(0x1B), Just(0x1E), Just(0x1F), 0u8..0x90, any::<u8>()], 0..120),
        actions in actions()
    ) {
        let reel = Maker::new(limit, &[&[1, 0xFE], &[0xFF, 0]]).code(&[0x09]).scene().scene().code(&body).reel();
        play(&reel, &actions);
    }
}

#[test]
fn the_player_builds_without_a_warning_for_every_kind_of_part() {
    let (folder, player) = (workshop("build"), root().join("src/player/player.c"));
    let strict = "-std=c99 -Wall -Wextra -Werror -pedantic -c -o";
    for (compiler, options) in [
        ("cc", "-O2"),
        ("clang", "-O2 -Wconversion"),
        ("avr-gcc", "-Os -mmcu=atmega328p"),
        ("avr-gcc", "-Os -mmcu=attiny85"),
        ("arm-none-eabi-gcc", "-Os -mcpu=cortex-m3 -mthumb"),
        ("arm-none-eabi-gcc", "-Os -mcpu=cortex-m0plus -mthumb"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_CHANGES"),
        ("arm-none-eabi-gcc", "-Os -mcpu=cortex-m0plus -mthumb -DPAGELOOM_CHANGES"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_CHANGES"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_BEAM"),
        ("arm-none-eabi-gcc", "-Os -mcpu=cortex-m0plus -mthumb -DPAGELOOM_BEAM -DPAGELOOM_CHANGES"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_BEAM"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_AREAS=2 -DPAGELOOM_AREAS_ALONE -DPAGELOOM_GRAINS"),
        ("arm-none-eabi-gcc", "-Os -mcpu=cortex-m0plus -mthumb -DPAGELOOM_BEAM -DPAGELOOM_AREAS=2 -DPAGELOOM_GRAINS"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_AREAS=2 -DPAGELOOM_GRAINS"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_ROLLS"),
        ("arm-none-eabi-gcc", "-Os -mcpu=cortex-m0plus -mthumb -DPAGELOOM_ROLLS -DPAGELOOM_BEAM -DPAGELOOM_CHANGES"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_ROLLS"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_ROUNDS"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_ROUNDS -DPAGELOOM_BEAM -DPAGELOOM_CHANGES"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_ROUNDS"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_AREAS=1"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_AREAS=4 -DPAGELOOM_AREAS_ALONE"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_AREAS=4 -DPAGELOOM_BEAM -DPAGELOOM_CHANGES -DPAGELOOM_ROLLS"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_AREAS=4"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_LIVE=2 -DPAGELOOM_DIMS"),
        ("avr-gcc", "-Os -mmcu=atmega328p -DPAGELOOM_AREAS=4 -DPAGELOOM_AREAS_ALONE -DPAGELOOM_LIVE=2 -DPAGELOOM_DIMS"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_AREAS=4 -DPAGELOOM_LIVE=2 -DPAGELOOM_DIMS"),
        (
            "avr-gcc",
            "-Os -mmcu=atmega328p -DPAGELOOM_AREAS=4 -DPAGELOOM_AREAS_ALONE -DPAGELOOM_LIVE=2 -DPAGELOOM_HISTORY=90",
        ),
        ("clang", "-O2 -Wconversion -DPAGELOOM_AREAS=4 -DPAGELOOM_LIVE=2 -DPAGELOOM_HISTORY=90"),
        ("clang", "-O2 -Wconversion -DPAGELOOM_BEAM -DPAGELOOM_CHANGES"),
    ] {
        compile(compiler, &format!("{options} {strict}"), &[&folder.join("player.o"), &player]);
    }
}
