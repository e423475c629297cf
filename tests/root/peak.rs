//! The peak of a live value, and a place that moves at a speed: what is worked out by hand, and the same from C and from Rust for any
//! values at any times.

use super::firmware::tools::{root, run, workshop};
use pageloom::player::live::{Peak, Way};
use std::path::PathBuf;
use std::process::Command;

/// By hand, held for 100 ms and falling by 1 each 50 ms: 40 at 0 ms is held up to 100 ms, and then has fallen once at 100 ms and once
/// more each 50 ms; a higher value is taken up at once; the clock wraps from 65,535 to 0.
#[test]
fn a_peak_is_held_and_then_falls() {
    let start = 65_500u16;
    let mut peak = Peak::new();
    let course =
        [(0, 40), (99, 10), (100, 10), (149, 10), (150, 10), (400, 10), (410, 90), (509, 0), (510, 0), (5_100, 0)];
    let peaks = course.map(|(after, value)| peak.hold(value, start.wrapping_add(after), 100, 50));
    assert_eq!(peaks, [40, 40, 39, 39, 38, 33, 90, 90, 89, 0]);
    assert_eq!(Peak::new().hold(-400, 7, 100, 50), -400);
}

/// A program of `tests/root/harness` with the player's headers.
fn built(name: &str) -> PathBuf {
    let program = workshop(name).join(name);
    let compiled = Command::new("cc")
        .args(
            "-std=c99 -Wall -Wextra -Werror -pedantic -Wconversion -fsanitize=undefined -DPAGELOOM_LIVE=1 -I"
                .split(' '),
        )
        .args([root().join("src/player"), root().join(format!("tests/root/harness/{name}.c"))])
        .arg("-o")
        .arg(&program)
        .status();
    assert!(compiled.expect("a C compiler").success());
    program
}

/// By hand, of 5 places: 2 a second is a place each 500 ms; the rest is kept; after the last place comes the first, and the other way
/// round; the clock wraps from 65,535 to 0.
#[test]
fn a_place_moves_on_at_the_speed_that_is_set() {
    let mut way = Way::new();
    let course = [(2, 499), (2, 500), (2, 1_700), (10, 2_000), (0, 9_000), (-1, 9_999), (-1, 10_000), (-4, 12_000)];
    assert_eq!(course.map(|(speed, now)| way.move_on(speed, now, 5)), [0, 1, 3, 1, 1, 0, 0, 2]);
    let mut way = Way::new();
    assert_eq!([(0, 65_500), (1_000, 4), (1_000, 5)].map(|(speed, now)| way.move_on(speed, now, 100)), [0, 40, 41]);
}

/// By hand: nothing moves while there are no places, and that time is not made up for.
#[test]
fn nothing_moves_where_there_are_no_places() {
    let mut way = Way::new();
    let course = [(1_000, 3, 5), (1_000, 900, 0), (-1_000, 1_800, 0), (1_000, 1_801, 5), (-1_000, 1_803, 5)];
    assert_eq!(course.map(|(speed, now, places)| way.move_on(speed, now, places)), [3, 3, 3, 4, 2]);
    assert_eq!(Way::new().move_on(-1_000, 1, 0), 0);
}

#[test]
fn c_and_rust_move_on_alike() {
    let (mut way, mut number, mut now) = (Way::new(), 1u32, 0u16);
    let mut draw = |below: u32| {
        number = number.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (number >> 8) % below
    };
    let (mut lines, mut wanted) = (String::new(), String::new());
    for _ in 0..5_000 {
        let speed = draw(2_001) as i16 - 1_000;
        now = now.wrapping_add(draw(2_000) as u16);
        let places = [120, 120, 1, 0][draw(4) as usize];
        lines.push_str(&format!("{speed} {now} {places}\n"));
        wanted.push_str(&format!("{}\n", way.move_on(speed, now, places)));
    }
    let found = run(built("way"), &[], &lines).good("way");
    assert!(found == wanted, "C and Rust differ");
}

#[test]
fn c_and_rust_hold_the_same_peak() {
    let program = built("peak");
    let (mut peak, mut number, mut now) = (Peak::new(), 1u32, 0u16);
    let mut draw = |below: u32| {
        number = number.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (number >> 8) % below
    };
    let (mut lines, mut wanted) = (String::new(), String::new());
    for step in 0..20_000 {
        let value = (draw(u32::from(u16::MAX) + 1) as u16 as i16) >> (draw(3) * 4);
        now = now.wrapping_add(draw(2_000) as u16);
        let (hold, fall) = if step % 100 == 0 { (0, 0) } else { (draw(30_000) as u16, draw(2_000) as u16) };
        lines.push_str(&format!("{value} {now} {hold} {fall}\n"));
        wanted.push_str(&format!("{}\n", peak.hold(value, now, hold, fall)));
    }
    let found = run(program, &[], &lines).good("peak");
    assert!(found == wanted, "C and Rust differ");
}
