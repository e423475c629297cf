//! Live texts: what a text sets is worked out by hand, and the same from C and from Rust for any bytes.

use super::firmware::tools::{root, run, workshop};
use pageloom::player::live::LiveValues;
use std::process::Command;

/// As the show's firmware has it: its live values begin at 2, five characters, on the right, twelve of them.
const VOLTS: &[u8] = b"\x02\x05\x02\x0C0123456789.V";
static LIMITS: [[i16; 3]; 7] = [[0, 12, 0]; 7];

fn set(text: &[u8]) -> Vec<i16> {
    let values = LiveValues::<7>::new(&LIMITS);
    values.set_text(VOLTS, text);
    (2..7).map(|number| values.get(number)).collect()
}

/// By hand: characters count from 1 in the order of the script, 0 is none, and a shorter text stands on the right.
#[test]
fn each_character_of_a_text_is_a_number() {
    assert_eq!(set(b"12.4V"), [2, 3, 11, 5, 12]);
    assert_eq!(set(b"9V"), [0, 0, 0, 10, 12]);
    assert_eq!(set(b"0 x1"), [0, 1, 0, 0, 2]);
    assert_eq!(set(b"1234567"), [2, 3, 4, 5, 6]);
    assert_eq!(set(b""), [0; 5]);
}

#[test]
fn c_and_rust_set_the_same_text() {
    let folder = workshop("live-texts");
    let script = root().join("tests/cases/good/text.ron");
    let arguments = ["build".as_ref(), script.as_os_str(), "--out".as_ref(), folder.as_os_str()];
    run(env!("CARGO_BIN_EXE_pageloom"), &arguments, "").good("pageloom build");
    let emitted = std::fs::read_to_string(folder.join("text.rs")).expect("it was written");
    assert!(emitted.contains("pub static TEXT_VOLTS: [u8; 16]"), "{emitted}");
    let program = folder.join("set_text");
    let compiled = Command::new("cc")
        .args("-std=c99 -Wall -Wextra -Werror -pedantic -Wconversion -fsanitize=undefined".split(' '))
        .arg(format!("-I{}", folder.display()))
        .args([root().join("tests/root/harness/set_text.c"), folder.join("text.c"), folder.join("pageloom_player.c")])
        .arg("-o")
        .arg(&program)
        .status();
    assert!(compiled.expect("a C compiler").success());
    let mut number = 1u32;
    let mut draw = |below: u32| {
        number = number.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (number >> 8) % below
    };
    let (mut lines, mut wanted) = (String::new(), String::new());
    for _ in 0..2_000 {
        let mut letter = || match draw(4) {
            0 => 1 + draw(255) as u8,
            _ => b"0123456789.V"[draw(12) as usize],
        };
        let first = letter();
        let text: Vec<u8> = std::iter::once(first).chain((0..first % 9).map(|_| letter())).collect();
        lines.extend(text.iter().map(|byte| format!("{byte:02x}")));
        lines.push('\n');
        wanted.extend(set(&text).iter().map(|value| format!("{value} ")));
        wanted.push('\n');
    }
    let found = run(&program, &[], &lines).good("set_text");
    assert!(found == wanted, "C and Rust differ");
}
