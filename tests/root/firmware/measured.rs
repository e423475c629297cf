//! What the player costs, measured: code sizes from avr-size, state from avr-nm, stack and cycles from the demo's run on the
//! simulated part; held to the goals and to the rows from which budgets are predicted. Print the figures with
//! `cargo test --test root measured -- --nocapture`.

use super::atmega328p::{play, require_all};
use super::cortex_m3;
use super::shows::{self, TestShow};
use super::simulator::{build_example, simulate};
use super::tools::{compile, root, run, workshop};
use pageloom::panel::{Core, PlayerCost, PlayerParts, player_costs, supervisor_code_on};
use std::ffi::OsStr;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// Goals on an ATmega328P at -Os: bytes of code and of state, cycles a byte beyond the wire, cycles of a call of 16 bytes.
const MOST_CODE: u64 = 1536;
const MOST_STATE: u64 = 64;
const MOST_CYCLES_A_BYTE: f64 = 60.0;
const MOST_CALL_CYCLES: u64 = 9_600; // 0.6 ms at 16 MHz
/// The same of a call that looks for what changes, and of one that reckons a beam.
const MOST_CHANGES_CALL_CYCLES: u64 = 11_200; // 0.7 ms at 16 MHz
const MOST_TURNS_CALL_CYCLES: u64 = 80_000; // 5 ms at 16 MHz
const MOST_ROLLS_CALL_CYCLES: u64 = 56_000; // 3.5 ms at 16 MHz
const CHANGES: PlayerParts = PlayerParts { changes: true, ..PlayerParts::NONE };
const TURNS: PlayerParts = PlayerParts { beam: true, ..PlayerParts::NONE };
const ROLLS: PlayerParts = PlayerParts { rolls: true, ..PlayerParts::NONE };
const ROUNDS: PlayerParts = PlayerParts { rounds: true, ..PlayerParts::NONE };
/// A call that composes areas, and the state of each of them.
const MOST_AREAS_CALL_CYCLES: u64 = 48_000; // 3 ms at 16 MHz
const MOST_STATE_OF_AN_AREA: u64 = 8;
/// How long a show is played, and how.
const RUN_MILLISECONDS: u32 = 10_500;
const FOLLOWED: &str = "-p pageloom_tick -x 1100000000";
/// A prediction is right within this share of what is measured.
const NEAR: f64 = 0.05;
/// Bytes of a return address on an AVR with at most 128 KiB of flash.
const RETURN_ADDRESS: u64 = 2;

pub fn row(part: &str) -> &'static PlayerCost {
    player_costs().iter().find(|row| row.part == part).unwrap_or_else(|| panic!("no row for {part}"))
}

pub fn require_near(what: &str, predicted: u32, measured: f64) {
    println!("  {what}: predicted {predicted}, measured {measured:.1}");
    let off = (f64::from(predicted) - measured).abs();
    assert!(off <= measured * NEAR, "{what}: the row says {predicted}, measured {measured:.1}");
}

/// Bytes of the sections of an object file that go to flash, and of those that go to RAM.
pub fn sizes(tool: &str, object: &Path) -> (u64, u64) {
    let table = run(tool, &[object.as_os_str()], "").good(tool);
    let numbers = table.lines().nth(1).unwrap_or_else(|| panic!("{tool}: {table}")).split_whitespace();
    let numbers: Vec<u64> = numbers.take(3).map(|word| word.parse().expect("a number of bytes")).collect();
    (numbers[0] + numbers[1], numbers[1] + numbers[2])
}

/// Bytes of a variable of a linked firmware.
pub fn size_of(firmware: &Path, name: &str) -> u64 {
    let table = run("avr-nm", &[OsStr::new("-S"), firmware.as_os_str()], "").good("avr-nm");
    let row = table.lines().map(|line| line.split_whitespace().collect::<Vec<_>>());
    let row =
        row.filter(|row| row.len() == 4).find(|row| row[3] == name).unwrap_or_else(|| panic!("no {name}:\n{table}"));
    u64::from_str_radix(row[1], 16).expect("a size in base 16")
}

/// Flash and RAM of the player alone, built at -Os.
fn player_size(compiler: &str, sizer: &str, part: &str) -> (u64, u64) {
    // Tests that run at the same time may want the same size.
    static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());
    let _guard = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let object = workshop(&format!("size{}", part.replace([' ', '='], ""))).join("player.o");
    compile(compiler, &format!("-Os {part} -std=c99 -c -o"), &[&object, &root().join("src/player/player.c")]);
    sizes(sizer, &object)
}

#[test]
fn a_plain_show_on_an_atmega328p_meets_the_goals_and_what_is_predicted() {
    let (show, row) = (shows::plain(), row("ATmega328P"));
    assert_eq!(show.parts, PlayerParts::NONE, "its player needs no more than every one does");
    let run = play(&show, "measured", RUN_MILLISECONDS, FOLLOWED);
    let frames = require_all(&show, &run).len();
    let firmware = Path::new(env!("CARGO_TARGET_TMPDIR")).join("firmware/measured/firmware.elf");
    let figure = |name: &str| run.figure(&format!("FUNCTION pageloom_tick {name}"));
    let (code, data) = player_size("avr-gcc", "avr-size", "-mmcu=atmega328p");
    let (state, reel) = (size_of(&firmware, "player"), size_of(&firmware, "helm_reel"));
    let (bytes, software) = (figure("bytes"), figure("cycles") - figure("wire"));
    let a_byte = software as f64 / bytes as f64;
    let (longest, on_wire) = (figure("most"), figure("most_wire"));
    let stack = figure("stack") + RETURN_ADDRESS;

    println!(
        "ATmega328P at 16 MHz, bus at 400 kHz, 16 bytes a call, {}: {frames} frames, {bytes} bytes on the bus",
        show.name
    );
    println!("  reel {reel} B; the whole firmware's static RAM {} B", run.figure("RAM static"));
    println!(
        "  a frame: {} cycles, of these {} on the wire",
        figure("cycles") / frames as u64,
        figure("wire") / frames as u64
    );
    println!("  longest call: {longest} cycles ({:.3} ms), of these {on_wire} on the wire", longest as f64 / 16e3);
    println!("  a call without anything to send: {} cycles at most", figure("silent_most"));
    require_near("code", row.flash.0, code as f64);
    require_near("state", row.state.0, state as f64);
    require_near("stack", row.stack.0, stack as f64);

    assert_eq!(reel, show.reel.len() as u64);
    assert_eq!(data, 0, "the player has no variables of its own");
    assert!(code <= MOST_CODE && state <= MOST_STATE);
    assert!(a_byte <= MOST_CYCLES_A_BYTE && longest <= MOST_CALL_CYCLES);
}

#[test]
fn the_attiny85_and_the_cortex_m3_cost_what_is_predicted() {
    let tiny = row("ATtiny85");
    let firmware = build_example("attiny85", &shows::beacon(), "beacon", "-mmcu=attiny85 -DF_CPU=8000000UL");
    let options = "-q -m attiny85 -f 8000000 -b B0,B2@36 -e -x 16000000 -i c0:B3=1 -p pageloom_tick";
    let run = simulate(&firmware, options).good();
    println!("ATtiny85:");
    require_near("code", tiny.flash.0, player_size("avr-gcc", "avr-size", "-mmcu=attiny85").0 as f64);
    require_near("state", tiny.state.0, size_of(&firmware, "player") as f64);
    let stack = run.figure("FUNCTION pageloom_tick stack") + RETURN_ADDRESS;
    require_near("stack", tiny.stack.0, stack as f64);

    let (m3, parts, (state, stack)) = (row("Cortex-M3"), shows::helm().parts, cortex_m3::memory());
    println!("Cortex-M3:");
    let code = player_size("arm-none-eabi-gcc", "arm-none-eabi-size", "-mcpu=cortex-m3 -mthumb").0;
    require_near("code", m3.flash.0, code as f64);
    require_near("state", m3.state_with(parts).0, state as f64);
    require_near("stack", m3.stack_with(parts).0, stack as f64);
}

#[test]
fn a_player_that_sends_only_changes_costs_what_is_predicted() {
    let show = shows::passing_by();
    assert!(show.parts.changes && !show.parts.beam, "its reel sends only what changes");
    let a_byte = require_costs(&show, CHANGES, "-DPAGELOOM_CHANGES", MOST_CHANGES_CALL_CYCLES);
    assert!(a_byte <= MOST_CYCLES_A_BYTE);
}

#[test]
fn a_player_that_reckons_a_beam_costs_what_is_predicted() {
    let show = shows::turning();
    assert!(show.parts.beam && !show.parts.changes, "its player reckons a beam");
    require_costs(&show, TURNS, "-DPAGELOOM_BEAM", MOST_TURNS_CALL_CYCLES);
}

#[test]
fn a_player_that_makes_noise_costs_what_is_predicted() {
    let show = shows::flickering();
    let areas = show.parts.areas;
    assert_eq!(show.parts, PlayerParts { grains: true, areas, areas_alone: true, ..PlayerParts::NONE });
    let define = format!("-DPAGELOOM_AREAS={areas} -DPAGELOOM_AREAS_ALONE -DPAGELOOM_GRAINS");
    require_costs(&show, show.parts, &define, MOST_AREAS_CALL_CYCLES);
}

#[test]
fn a_player_of_lines_that_roll_costs_what_is_predicted() {
    let show = shows::rolling();
    assert_eq!(show.parts, ROLLS);
    require_costs(&show, ROLLS, "-DPAGELOOM_ROLLS", MOST_ROLLS_CALL_CYCLES);
}

#[test]
fn a_player_of_a_part_that_goes_round_costs_what_is_predicted() {
    let show = shows::going_round();
    assert_eq!(show.parts, ROUNDS);
    let a_byte = require_costs(&show, ROUNDS, "-DPAGELOOM_ROUNDS", MOST_CALL_CYCLES);
    assert!(a_byte <= MOST_CYCLES_A_BYTE);
}

#[test]
fn a_player_of_areas_costs_what_is_predicted() {
    let show = shows::board();
    let areas = show.parts.areas;
    assert_eq!(show.parts, PlayerParts { areas, areas_alone: true, ..PlayerParts::NONE });
    assert!(areas > 2, "it has areas");
    let define = format!("-DPAGELOOM_AREAS={areas}");
    require_costs(&show, show.parts, &format!("{define} -DPAGELOOM_AREAS_ALONE"), MOST_AREAS_CALL_CYCLES);
    println!("beside windows:");
    let code = player_size("avr-gcc", "avr-size", &format!("-mmcu=atmega328p {define}")).0;
    require_near("code", row("ATmega328P").flash_with(PlayerParts { areas_alone: false, ..show.parts }).0, code as f64);
}

/// The code of live values is within a twentieth of their row. On an AVR two of them take at most so many bytes.
#[test]
fn live_values_cost_what_is_predicted() {
    const MOST_LIVE_CODE: u64 = 512;
    let areas = PlayerParts { areas: 3, areas_alone: true, ..PlayerParts::NONE };
    for (part, compiler, sizer, options) in [
        ("ATmega328P", "avr-gcc", "avr-size", "-mmcu=atmega328p"),
        ("Cortex-M3", "arm-none-eabi-gcc", "arm-none-eabi-size", "-mcpu=cortex-m3 -mthumb"),
    ] {
        let define = |live: &str| format!("{options} -DPAGELOOM_AREAS=3 -DPAGELOOM_AREAS_ALONE{live}");
        let code = |live: &str| player_size(compiler, sizer, &define(live)).0;
        let measured = code(" -DPAGELOOM_LIVE=2") - code("");
        let predicted = row(part).flash_with(PlayerParts { live: 2, ..areas }).0 - row(part).flash_with(areas).0;
        println!("{part}, two live values:");
        require_near("code", predicted, measured as f64);
        assert!(measured <= MOST_LIVE_CODE);
        let folder = workshop(&format!("live-state-{part}"));
        let (source, object) = (folder.join("state.c"), folder.join("state.o"));
        std::fs::write(&source, "#include \"player.h\"\npageloom_player player;\n").expect("written");
        let include = format!("-I{} -std=c99 -fno-common -c -o", root().join("src/player").display());
        compile(compiler, &format!("{} {include}", define(" -DPAGELOOM_LIVE=2")), &[&object, &source]);
        let predicted = row(part).state_with(PlayerParts { live: 2, ..areas }).0;
        require_near("state", predicted, sizes(sizer, &object).1 as f64);
    }
}

/// Charts of live values: their code is within a twentieth of its row, and on an AVR at most so many bytes; their state is what they keep.
#[test]
fn charts_of_live_values_cost_what_is_predicted() {
    const MOST_CHART_CODE: u64 = 660;
    let without = PlayerParts { areas: 3, live: 2, areas_alone: true, ..PlayerParts::NONE };
    let with = PlayerParts { history: 62, ..without };
    for (part, compiler, sizer, options) in [
        ("ATmega328P", "avr-gcc", "avr-size", "-mmcu=atmega328p"),
        ("Cortex-M3", "arm-none-eabi-gcc", "arm-none-eabi-size", "-mcpu=cortex-m3 -mthumb"),
    ] {
        let define = format!("{options} -DPAGELOOM_AREAS=3 -DPAGELOOM_AREAS_ALONE -DPAGELOOM_LIVE=2");
        let code = |more: &str| player_size(compiler, sizer, &format!("{define}{more}")).0;
        let measured = code(" -DPAGELOOM_HISTORY=62") - code("");
        println!("{part}, charts of live values:");
        require_near("code", row(part).flash_with(with).0 - row(part).flash_with(without).0, measured as f64);
        assert!(measured <= MOST_CHART_CODE);
        assert_eq!(row(part).state_with(with).0 - row(part).state_with(without).0, 62);
    }
}

/// A contrast that follows a live value: its code is within a twentieth of its row, with areas and windows beside it; so are live
/// values that no area follows.
#[test]
fn a_live_contrast_costs_what_is_predicted() {
    const MOST_CONTRAST_CODE: u64 = 340;
    let beside = [
        (" -DPAGELOOM_AREAS=3 -DPAGELOOM_LIVE=2", PlayerParts { areas: 3, live: 2, ..PlayerParts::NONE }),
        (" -DPAGELOOM_LIVE=2", PlayerParts { live: 2, ..PlayerParts::NONE }),
    ];
    for (part, compiler, sizer, options) in [
        ("ATmega328P", "avr-gcc", "avr-size", "-mmcu=atmega328p"),
        ("Cortex-M3", "arm-none-eabi-gcc", "arm-none-eabi-size", "-mcpu=cortex-m3 -mthumb"),
    ] {
        for (define, parts) in beside {
            let code = |more: &str| player_size(compiler, sizer, &format!("{options}{define}{more}")).0;
            let (without, with) = (code(""), code(" -DPAGELOOM_DIMS"));
            println!("{part}{define}: {} bytes for a contrast", with - without);
            require_near("code", row(part).flash_with(PlayerParts { dims: true, ..parts }).0, with as f64);
            require_near("code", row(part).flash_with(parts).0, without as f64);
            assert!(with - without <= MOST_CONTRAST_CODE);
            let folder = workshop(&format!("contrast-state-{part}"));
            let (source, object) = (folder.join("state.c"), folder.join("state.o"));
            std::fs::write(&source, "#include \"player.h\"\npageloom_player player;\n").expect("written");
            let include = format!("-I{} -std=c99 -fno-common -c -o", root().join("src/player").display());
            compile(compiler, &format!("{options}{define} -DPAGELOOM_DIMS {include}"), &[&object, &source]);
            let predicted = row(part).state_with(PlayerParts { dims: true, ..parts }).0;
            require_near("state", predicted, sizes(sizer, &object).1 as f64);
        }
    }
}

/// Holds what a player with some part more costs to its rows; cycles a byte beyond the wire.
fn require_costs(show: &TestShow, parts: PlayerParts, define: &str, most_call: u64) -> f64 {
    let (part, name) = (row("ATmega328P"), format!("measured-{}", show.name));
    let run = play(show, &name, RUN_MILLISECONDS, FOLLOWED);
    let frames = require_all(show, &run).len();
    let figure = |name: &str| run.figure(&format!("FUNCTION pageloom_tick {name}"));
    let (bytes, software) = (figure("bytes"), figure("cycles") - figure("wire"));
    println!("ATmega328P, {}: {frames} frames, {} bytes a frame", show.name, bytes / frames as u64);
    let (longest, on_wire) = (figure("most"), figure("most_wire"));
    println!("  longest call: {longest} cycles, of these {on_wire} on the wire");
    require_near("stack", part.stack_with(parts).0, (figure("stack") + RETURN_ADDRESS) as f64);
    let firmware = Path::new(env!("CARGO_TARGET_TMPDIR")).join("firmware").join(name).join("firmware.elf");
    let state = size_of(&firmware, "player");
    require_near("state", part.state_with(parts).0, state as f64);
    let most_state = MOST_STATE + MOST_STATE_OF_AN_AREA * u64::from(parts.areas);
    assert!(state <= most_state && longest <= most_call);
    for (part, compiler, sizer, options) in [
        ("ATmega328P", "avr-gcc", "avr-size", "-mmcu=atmega328p"),
        ("Cortex-M3", "arm-none-eabi-gcc", "arm-none-eabi-size", "-mcpu=cortex-m3 -mthumb"),
    ] {
        println!("{part}:");
        let code = player_size(compiler, sizer, &format!("{options} {define}")).0;
        require_near("code", row(part).flash_with(parts).0, code as f64);
    }
    software as f64 / bytes as f64
}

/// The supervisor's own part of the stack: what a call of it takes more than the call of the player in it.
#[test]
fn the_supervisor_takes_the_stack_that_is_predicted() {
    let show = shows::helm();
    let firmware = build_example("atmega328p", &show, "helm", "-mmcu=atmega328p -DF_CPU=16000000UL");
    let run = "-q -e -x 48000000 -i c0:D2=1 -i c0:D3=0 -i c0:D4=1 -p pageloom_supervise -p pageloom_tick";
    let run = simulate(&firmware, run).good();
    let stack = |function: &str| run.figure(&format!("FUNCTION {function} stack"));
    let own = stack("pageloom_supervise") - stack("pageloom_tick");
    assert_eq!(own, u64::from(supervisor_code_on(Core::Avr).stack.0));
}
