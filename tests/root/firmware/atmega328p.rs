//! An ATmega328P plays every show as previewed: in order, on time, through triggers, refused bytes and stretched clocks.

use super::shows::{self, TestShow};
use super::simulator::{Run, build_atmega328p, simulate};
use super::watch::{Position, Sight, WATCHED, require_the_show, sights};
use std::fmt::Write;

/// Marks are GPIOR0, GPIOR1 and GPIOR2 of the part (avr-libc iom328p.h, in data space).
const MARKS: &str = "-g 3E,4A,4B";
const CYCLES_PER_MILLISECOND: u64 = 16_000;
/// Of the test shows, at 20 frames a second.
const FRAME_MILLISECONDS: u64 = 50;

pub fn play(show: &TestShow, name: &str, milliseconds: u32, options: &str) -> Run {
    let firmware = build_atmega328p(show, name, &format!("-DRUN_MILLISECONDS={milliseconds}"));
    simulate(&firmware, &format!("{MARKS} {WATCHED} -w {} {options}", show.write_limit)).good()
}

/// Plays and requires the show; also that the display found nothing wrong.
pub fn require_all(show: &TestShow, run: &Run) -> Vec<Position> {
    let (sights, display) = sights(show, run);
    assert_eq!(display.faults(), [], "{}", show.name);
    require_the_show(show, &sights)
}

#[test]
fn every_frame_of_every_scene_is_seen_in_order_with_its_cues_and_on_time() {
    for show in shows::all() {
        let run = play(&show, &format!("order-{}", show.name), 2200, "");
        let seen = require_all(&show, &run);
        assert!(seen.len() >= 40, "{}: {} frames in 2.2 s", show.name, seen.len());
        let cycles: Vec<u64> = sights(&show, &run).0.iter().filter_map(frame_cycle).collect();
        for (frame, cycle) in cycles.iter().enumerate() {
            let due = cycles[0] + frame as u64 * FRAME_MILLISECONDS * CYCLES_PER_MILLISECOND;
            let late = cycle.abs_diff(due) / CYCLES_PER_MILLISECOND;
            assert!(late < FRAME_MILLISECONDS, "{}: frame {frame} is {late} ms off", show.name);
        }
    }
}

fn frame_cycle(sight: &Sight) -> Option<u64> {
    if let Sight::Frame { cycle, .. } = sight { Some(*cycle) } else { None }
}

/// Raises a trigger from an interrupt at many bytes of a run, so at set-up, addresses, control bytes, commands and data:
/// one, the other, both at once, and again while the alert that it leads to is being sent.
#[test]
fn triggers_in_the_middle_of_anything_never_leave_a_torn_or_stale_picture() {
    for show in shows::all() {
        let mut inputs = String::new();
        for (number, byte) in (0..120u32).map(|number| (number, 3 + number * 97 + number * number % 13)) {
            let pins: &[u8] = [&[2][..], &[3], &[2, 3], &[2]][number as usize % 4];
            for pin in pins {
                write!(inputs, "-i b{byte}:D{pin}=1 -i b{}:D{pin}=0 ", byte + 2).expect("writing to a string");
            }
        }
        // A scene that holds sends nothing, so some come by the clock.
        for (number, time) in (1..20u64).map(|number| (number, number * 123 * CYCLES_PER_MILLISECOND)) {
            let pin = 2 + number % 2;
            write!(inputs, "-i c{time}:D{pin}=1 -i c{}:D{pin}=0 ", time + 999).expect("writing to a string");
        }
        let run = play(&show, &format!("triggers-{}", show.name), 2500, &inputs);
        let seen = require_all(&show, &run);
        let entered = |scene| seen.iter().filter(|position| **position == Position { scene, frame: 0 }).count();
        assert!(entered(2) > 5 && entered(1) > 1, "{}: {seen:?}", show.name);
    }
}

#[test]
fn a_refused_byte_at_any_place_is_reported_and_survived() {
    const PLACES: u64 = 150;
    for show in shows::all() {
        // Each refusal restarts the scene, so the next one, a byte further, meets the byte after.
        let refused = (1..=PLACES).map(|place| format!("-i b{}:refuse ", place * (place + 1) / 2));
        let run = play(&show, &format!("refused-{}", show.name), 1500, &refused.collect::<String>());
        assert_eq!(run.figure("BUS refused"), PLACES);
        let (sights, display) = sights(&show, &run);
        let faults = sights.iter().filter(|sight| matches!(sight, Sight::Fault)).count();
        assert_eq!(faults as u64, PLACES, "{}", show.name);
        let seen = require_the_show(&show, &sights);
        assert!(seen.len() > 8, "{}: {seen:?}", show.name);
        assert!(display.is_on());
    }
}

#[test]
fn a_stretched_clock_is_waited_for_and_a_stuck_one_freed() {
    let show = &shows::all()[0];
    require_all(show, &play(show, "stretched", 1200, "-s 300"));
    // Longer than the bus of the example waits, at ten places: a restart each time.
    let held = (1..=10).map(|place| format!("-i b{}:hold=60000 ", 7 * place * (place + 1)));
    let run = play(show, "stuck", 1500, &held.collect::<String>());
    let (sights, _) = sights(show, &run);
    assert_eq!(sights.iter().filter(|sight| matches!(sight, Sight::Fault)).count(), 10);
    assert!(require_the_show(show, &sights).len() > 8);
}

/// A run of the demo: boot, sonar and depth page; then the leak sensor, twice the alert, the way back, the sleep page.
pub fn play_the_demo(show: &TestShow, name: &str) -> Run {
    let raise =
        |pin: u8, at: u64| format!("-i c{}:D{pin}=1 -i c{}:D{pin}=0 ", at * CYCLES_PER_MILLISECOND, at * 16_000 + 800);
    let inputs = [raise(2, 31_430), raise(4, 39_810), raise(3, 40_333)].concat();
    play(show, name, 61_500, &format!("-p pageloom_tick -x 1100000000 {inputs}"))
}

#[test]
fn the_demo_is_seen_frame_by_frame_in_every_scene() {
    let show = shows::helm();
    let run = play_the_demo(&show, "helm");
    let seen = require_all(&show, &run);
    for (scene, wanted) in show.scenes.iter().enumerate() {
        for frame in 0..wanted.frames.len() {
            assert!(seen.contains(&Position { scene, frame }), "frame {frame} of scene {scene} was not seen");
        }
    }
}
