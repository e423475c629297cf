//! The peak of a live value: what is worked out by hand, and the same from C and from Rust for any values at any times.

use super::firmware::tools::{root, workshop};
use pageloom::player::live::Peak;
use std::io::Write;
use std::process::{Command, Stdio};

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

#[test]
fn c_and_rust_hold_the_same_peak() {
    let folder = workshop("peak");
    let program = folder.join("peak");
    let compiled = Command::new("cc")
        .args(
            "-std=c99 -Wall -Wextra -Werror -pedantic -Wconversion -fsanitize=undefined -DPAGELOOM_LIVE=1 -I"
                .split(' '),
        )
        .args([root().join("src/player"), root().join("tests/root/harness/peak.c")])
        .arg("-o")
        .arg(&program)
        .status();
    assert!(compiled.expect("a C compiler").success());
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
    let mut run = Command::new(&program).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("it runs");
    let mut input = run.stdin.take().expect("piped");
    let writer = std::thread::spawn(move || input.write_all(lines.as_bytes()));
    let output = run.wait_with_output().expect("it ends");
    writer.join().expect("no panic").expect("all is read");
    assert!(output.status.success());
    assert!(String::from_utf8(output.stdout).expect("text") == wanted, "C and Rust differ");
}
