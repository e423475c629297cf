//! What frames cost that the player draws by itself, of dense reels and of lean ones with a beam or noise, measured: code and
//! state from avr-size and avr-nm, cycles of each frame of shows of the corpus on the simulated ATmega328P; held to bounds and to
//! what budgets predict. Printed by
//! `cargo test --test root measured -- --nocapture`.

use super::measured::{require_near, row, size_of, sizes};
use super::shows::write_sources;
use super::simulator::{Event, PLAYER, build_avr, simulate};
use super::tools::{compile, root, workshop};
use pageloom::diag::Findings;
use pageloom::emit::Firmware;
use pageloom::panel::{Panel, PlayerParts, find};
use pageloom::reel::{Reel, compile_as_film, compile_densely, compile_lean};
use pageloom::render::{Bitmap, render};
use pageloom::show::{Show, load};
use pageloom::source::{Disk, Reader};
use std::path::PathBuf;

const CYCLES_A_MILLISECOND: f64 = 16_000.0;
/// The frame period put into the reels, so that each frame is drawn before the next is due; only time changes by it.
const PERIOD_MILLISECONDS: u16 = 500;
const RUN_MILLISECONDS: u32 = 60_000;
/// A call that only finds that no frame is due takes less, one that draws or sends takes more.
const IDLE_CALL_CYCLES: u32 = 400;
/// Where the reel has its frame period: whole milliseconds, then the fraction.
const PERIOD_AT: usize = 3;
/// Return address of the call.
const RETURN_ADDRESS: u64 = 2;

/// Shows, and what their worst frame but the first may take, bus included, in milliseconds: as measured, rounded up.
const SHOWS: [(&str, f64); 14] = [
    ("bench/boot", 34.0),
    ("bench/alert", 33.0),
    ("bench/marquee", 15.0),
    ("bench/sweep", 21.0),
    ("bench/gauges", 39.0),
    ("bench/pages", 3.0),
    ("helm", 56.0),
    ("bench/noise", 166.0),
    ("bench/boot-128x32", 31.0),
    ("bench/boot-128x64", 51.0),
    ("bench/alert-128x64", 50.0),
    ("bench/marquee-128x32", 24.0),
    ("bench/gauges-128x32", 62.0),
    ("bench/sweep-128x64", 53.0),
];

/// Half of the time between twenty frames a second.
const HALF_A_FRAME_MILLISECONDS: f64 = 25.0;

/// Shows with a beam as lean reels, and the same of them.
const TURNING: [(&str, f64); 2] = [("bench/sweep", 21.0), ("bench/sweep-128x64", 46.0)];

/// Cycles of the frames of a run: all, and those of them that the bus was busy.
fn frames(events: &[(u64, Event)]) -> Vec<(f64, f64)> {
    let (mut frames, mut all, mut wire) = (Vec::new(), 0.0, 0.0);
    for (_, event) in events {
        match event {
            Event::Call(cycles, busy) if *cycles > IDLE_CALL_CYCLES => {
                all += f64::from(*cycles);
                wire += f64::from(*busy);
            }
            Event::Mark(0, _) => frames.push((std::mem::take(&mut all), std::mem::take(&mut wire))),
            _ => {}
        }
    }
    frames
}

/// Writes the emitted C of a reel and builds the test firmware with it.
fn firmware(name: &str, reel: Vec<u8>, parts: PlayerParts, panel: &Panel) -> PathBuf {
    let kind = if parts.dense { "dense" } else { "lean" };
    let folder = workshop(&format!("measured-{kind}-{}", name.replace('/', "-")));
    let picture = parts.dense.then(|| (panel.width, panel.height.div_ceil(8)));
    let firmware = Firmware { name: "helm".into(), reel, picture, parts, ..Firmware::default() };
    write_sources(&[firmware], &folder);
    let example = root().join("examples/atmega328p");
    let sources =
        [root().join("tests/firmware/atmega328p.c"), example.join("bus.c"), folder.join("helm.c"), folder.join(PLAYER)];
    let run = format!("-DRUN_MILLISECONDS={RUN_MILLISECONDS}u");
    build_avr(&folder, &format!("-mmcu=atmega328p -DF_CPU=16000000UL {run} -I{}", example.display()), &sources)
}

fn milliseconds(cycles: f64) -> f64 {
    cycles / CYCLES_A_MILLISECOND
}

/// A show as it is loaded and compiled.
type Compile = fn(&Show, &[Vec<Bitmap>], &mut Findings) -> Option<Reel>;

/// Plays a show; prints its row of the table; the parts of the player that it needs, the deepest stack of one call, and
/// the longest call in cycles beyond the wire.
fn measure(name: &str, compile: Compile, most: f64) -> (PlayerParts, u64, u64) {
    let script = root().join("scenes").join(format!("{name}.ron"));
    let (disk, mut findings) = (Disk, Findings::default());
    let show = load(&mut Reader::new(&disk), &script, &mut findings).unwrap_or_else(|| panic!("{name} has faults"));
    let reel = compile(&show, &render(&show), &mut findings).unwrap_or_else(|| panic!("{name} has no such reel"));
    let mut bytes = reel.bytes.clone();
    bytes[PERIOD_AT..PERIOD_AT + 2].copy_from_slice(&PERIOD_MILLISECONDS.to_le_bytes());
    bytes[PERIOD_AT + 2] = 0;
    let run =
        simulate(&firmware(name, bytes, reel.parts, show.panel()), "-g 3E,4A,4B -p pageloom_tick -c -x 1100000000")
            .good();
    let frames = frames(&run.events);
    let worst =
        frames[1..].iter().copied().fold((0.0, 0.0), |worst, frame| if frame.0 > worst.0 { frame } else { worst });
    let mean = |pick: fn(&(f64, f64)) -> f64| frames[1..].iter().map(pick).sum::<f64>() / (frames.len() - 1) as f64;
    println!(
        "  {name:20} {:4} frames; opening {:6.1}; worst {:6.1}, of these {:5.1} on the wire; mean {:5.1}, {:4.1}",
        frames.len(),
        milliseconds(frames[0].0),
        milliseconds(worst.0),
        milliseconds(worst.1),
        milliseconds(mean(|frame| frame.0)),
        milliseconds(mean(|frame| frame.1)),
    );
    assert!(milliseconds(worst.0) <= most, "{name}: the worst frame takes {:.1} ms", milliseconds(worst.0));
    let figure = |name: &str| run.figure(&format!("FUNCTION pageloom_tick {name}"));
    (reel.parts, figure("stack") + RETURN_ADDRESS, figure("most") - figure("most_wire"))
}

#[test]
fn dense_frames_on_an_atmega328p_keep_within_their_bounds_and_what_is_predicted() {
    println!("ATmega328P at 16 MHz, bus at 400 kHz, 16 bytes a call, dense reels, milliseconds:");
    let measured: Vec<(PlayerParts, u64, u64)> =
        SHOWS.iter().map(|(name, most)| measure(name, compile_densely, *most)).collect();
    for beam in [false, true] {
        let parts = PlayerParts { dense: true, beam, ..PlayerParts::default() };
        let stack = measured.iter().filter(|of| of.0 == parts).map(|of| of.1).max().expect("there are such shows");
        println!("stack, beam {beam}: {stack}");
        require_near("stack", row("ATmega328P").stack_with(parts).0, stack as f64);
    }
}

/// Films of the bench, and what their worst frame but the first may take, bus included, in milliseconds.
const FILMS: [(&str, f64); 4] =
    [("bench/film-wire", 80.0), ("bench/film-bodies", 50.0), ("bench/film-land", 100.0), ("bench/film-fire", 150.0)];
/// At 16 MHz two milliseconds.
const MOST_FILM_CALL_CYCLES: u64 = 32_000;

#[test]
fn films_on_an_atmega328p_keep_within_their_bounds_and_what_is_predicted() {
    println!("ATmega328P at 16 MHz, bus at 400 kHz, 16 bytes a call, films, milliseconds:");
    let measured = FILMS.map(|(name, most)| measure(name, compile_as_film, most));
    let parts = PlayerParts { dense: true, film: true, ..PlayerParts::NONE };
    assert_eq!(measured.map(|of| of.0), [parts; 4]);
    let stack = measured.map(|of| of.1).into_iter().fold(0, u64::max);
    require_near("stack", row("ATmega328P").stack_with(parts).0, stack as f64);
    let longest = measured.map(|of| of.2).into_iter().fold(0, u64::max);
    println!("  longest call beyond the wire: {longest} cycles");
    assert!(longest <= MOST_FILM_CALL_CYCLES, "{longest} cycles");
}

#[test]
fn a_lean_beam_on_an_atmega328p_keeps_within_its_bounds_and_what_is_predicted() {
    println!("ATmega328P at 16 MHz, bus at 400 kHz, 16 bytes a call, lean reels with a beam, milliseconds:");
    let parts = PlayerParts { beam: true, ..PlayerParts::default() };
    let measured = TURNING.map(|(name, most)| measure(name, compile_lean, most));
    assert_eq!(measured.map(|of| of.0), [parts; 2]);
    let stack = measured.map(|of| of.1).into_iter().fold(0, u64::max);
    require_near("stack", row("ATmega328P").stack_with(parts).0, stack as f64);
}

#[test]
fn lean_noise_on_an_atmega328p_keeps_within_its_bounds_and_what_is_predicted() {
    println!("ATmega328P at 16 MHz, bus at 400 kHz, 16 bytes a call, a lean reel with noise, milliseconds:");
    let measured = measure("bench/grains", compile_lean, 40.0);
    assert!(measured.0.grains && measured.0.areas_alone);
}

#[test]
fn a_lean_roll_on_an_atmega328p_keeps_within_its_bounds_and_what_is_predicted() {
    println!("ATmega328P at 16 MHz, bus at 400 kHz, 16 bytes a call, a lean reel with scrolling lines, milliseconds:");
    let measured = measure("bench/boot-128x64", compile_lean, 25.0);
    assert_eq!(measured.0, PlayerParts { rolls: true, ..PlayerParts::default() });
}

#[test]
fn lean_frames_on_an_atmega328p_leave_half_of_the_time() {
    println!("ATmega328P at 16 MHz, bus at 400 kHz, 16 bytes a call, lean reels, milliseconds:");
    for name in ["boot", "alert", "marquee", "gauges", "pages", "noise"] {
        measure(&format!("bench/{name}"), compile_lean, HALF_A_FRAME_MILLISECONDS);
    }
    measure("helm", compile_lean, HALF_A_FRAME_MILLISECONDS);
}

#[test]
fn the_dense_player_takes_the_code_and_state_that_are_predicted() {
    let panel = find("0.42in-72x40-ssd1306").expect("a panel of the table");
    let folder = workshop("measured-dense-size");
    let (whole, object) = (folder.join("whole.c"), folder.join("whole.o"));
    let player = root().join("src/player");
    let text = "#define PAGELOOM_COLUMNS 72\n#define PAGELOOM_PAGES 5\n#include \"player.c\"\n";
    let with_state = format!("{text}pageloom_player player;\n");
    let include = PathBuf::from(format!("-I{}", player.display()));
    for (part, compiler, sizer, options) in [
        ("ATmega328P", "avr-gcc", "avr-size", "-mmcu=atmega328p"),
        ("Cortex-M3", "arm-none-eabi-gcc", "arm-none-eabi-size", "-mcpu=cortex-m3 -mthumb"),
    ] {
        let strict = "-Os -std=c99 -Wall -Wextra -Werror -pedantic -c -o";
        let dense = PlayerParts { dense: true, ..PlayerParts::NONE };
        for (parts, define) in [
            (dense, "-DPAGELOOM_DENSE"),
            (PlayerParts { beam: true, ..dense }, "-DPAGELOOM_DENSE -DPAGELOOM_BEAM"),
            (PlayerParts { film: true, ..dense }, "-DPAGELOOM_FILM"),
            (PlayerParts { areas: 3, ..dense }, "-DPAGELOOM_DENSE -DPAGELOOM_AREAS=3"),
            (PlayerParts { areas: 3, film: true, ..dense }, "-DPAGELOOM_FILM -DPAGELOOM_AREAS=3"),
            (PlayerParts { areas: 3, live: 2, ..dense }, "-DPAGELOOM_DENSE -DPAGELOOM_AREAS=3 -DPAGELOOM_LIVE=2"),
        ] {
            let row = row(part);
            let compiled = |text: &str| {
                std::fs::write(&whole, text).expect("the folder takes a file");
                compile(compiler, &format!("{options} {define} {strict}"), &[&object, &whole, &include]);
            };
            println!("{part}{define}:");
            compiled(text);
            require_near("code", row.flash_with(parts).0, sizes(sizer, &object).0 as f64);
            compiled(&with_state);
            let predicted = row.state_with(parts).0 + row.picture_ram(parts, panel).0;
            require_near("state", predicted, size_of(&object, "player") as f64);
        }
    }
}
