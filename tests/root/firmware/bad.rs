//! Firmware that is too large, does not end or breaks the rules of the bus is named as such, with what happened before.

use super::simulator::{Run, simulate};
use super::tools::{compile, root, workshop};
use pageloom::player::c_header;

/// Exit codes of the simulator (tests/firmware/simulator/simulator.h).
const CRASHED: i32 = 2;
const NO_END: i32 = 3;
const TOO_LARGE: i32 = 5;
const MALFORMED: i32 = 6;

/// Builds tests/firmware/bad.c with one of its faults and runs it.
fn run(fault: &str, options: &str) -> Run {
    let (folder, example) = (workshop(&format!("bad-{fault}")), root().join("examples/atmega328p"));
    let firmware = folder.join("firmware.elf");
    for (name, text) in [("pageloom_player.h", c_header()), ("pageloom_config.h", String::new())] {
        std::fs::write(folder.join(name), text).expect("the folder was just made");
    }
    // The linker alone would refuse what is too large; it is told that there is more room than there is.
    let settings =
        "-mmcu=atmega328p -DF_CPU=16000000UL -Os -std=gnu99 -Wall -Wl,--defsym=__TEXT_REGION_LENGTH__=0xFFFF";
    let include = format!("-I{} -I{}", example.display(), folder.display());
    let sources = [root().join("tests/firmware/bad.c"), example.join("bus.c")];
    compile("avr-gcc", &format!("{settings} {include} -D{fault} -o"), &[&firmware, &sources[0], &sources[1]]);
    simulate(&firmware, options)
}

#[test]
fn a_firmware_beyond_the_flash_is_named() {
    let run = run("LARGE", "");
    assert_eq!(run.code, TOO_LARGE, "{}", run.complaint);
    assert!(run.complaint.starts_with("TOO LARGE: the firmware takes 4"), "{}", run.complaint);
    assert!(run.complaint.contains("the atmega328p has 32768"), "{}", run.complaint);
}

#[test]
fn a_firmware_that_does_not_end_is_named_with_the_last_of_the_bus() {
    let run = run("ENDLESS", "-x 100000");
    assert_eq!(run.code, NO_END);
    assert!(run.complaint.starts_with("NO END: still running after 1"), "{}", run.complaint);
    assert!(run.complaint.contains("START 3C ACK") && run.complaint.contains("BYTE AE ACK"), "{}", run.complaint);
}

#[test]
fn a_jump_into_nowhere_is_named() {
    let run = run("NOWHERE", "-x 100000");
    assert_eq!(run.code, CRASHED, "{}", run.complaint);
    assert!(run.complaint.contains("CRASHED: the CPU cannot go on"), "{}", run.complaint);
}

#[test]
fn a_malformed_transaction_is_named_with_the_trace_around_it() {
    for (fault, words) in [
        ("CONTROL", "control byte 55, neither 00 (commands) nor 40 (data)"),
        ("AFTER_REFUSAL", "byte AE sent after a refused one"),
        ("TOO_LONG", "more than 8 bytes after the address"),
        ("TWO_STARTS", "START inside a transaction"),
        ("READING", "a read, of which the display knows nothing"),
        ("EMPTY", "a transaction without a byte"),
    ] {
        let run = run(fault, "-w 8 -x 1000000");
        assert_eq!(run.code, MALFORMED, "{fault}: {}", run.complaint);
        let (first, trace) = run.complaint.split_once('\n').expect("a trace follows");
        assert!(first.starts_with("MALFORMED: ") && first.contains(words), "{fault}: {}", run.complaint);
        // The good transaction before it is in the trace.
        assert!(trace.contains("BYTE AF ACK") && trace.contains("STOP"), "{fault}: {}", run.complaint);
    }
}
