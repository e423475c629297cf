//! The examples as they ship: built with warnings as errors and run, with pictures that are whole whenever a frame is done,
//! inputs that bounce, lamps that fade, cues that reach the sound module, and a waveform within the bus specification.

use super::cortex_m3;
use super::shows::{self, TestShow};
use super::simulator::{Event, PLAYER, Run, build_avr, build_example, simulate};
use super::tools::{root, workshop};

/// What is watched of the player, whose fields stand in player.h one behind the other: scene, triggers raised, phase.
pub const WATCHED: &str = "-W player+8 -W player+12 -W player+15";
const SCENE: u8 = 0;
const RAISED: u8 = 1;
pub const PHASE: u8 = 2;
const LAMP: u8 = 3;
/// The phases in which a frame is whole (player.c).
const WHOLE: [u8; 2] = [3, 4];
pub const FAULT: u8 = 5;

/// A scene as it was seen: how many of its pictures were whole, and how many of these had text in a field.
#[derive(Debug, Default)]
pub struct Seen {
    pub scene: usize,
    pub whole: usize,
    pub live: usize,
}

pub fn scenes(seen: &[Seen]) -> Vec<usize> {
    seen.iter().map(|seen| seen.scene).collect()
}

/// Requires that each frame, when it is whole, is one of its scene, with or without text in its fields; the scenes in the order
/// seen.
pub fn whole_pictures(show: &TestShow, run: &Run) -> Vec<Seen> {
    let (mut display, mut scene) = (show.display_on_the_bus(), show.start);
    let mut all = vec![Seen { scene, ..Seen::default() }];
    for &(cycle, event) in &run.events {
        match event {
            Event::Start(address, true) => drop(display.start(address)),
            Event::Byte(byte, true) => drop(display.write(byte)),
            Event::Stop | Event::Abandoned => display.stop(),
            Event::Present(true) => display = show.display_on_the_bus().with_noise(cycle),
            Event::Watch(SCENE, entered) => {
                scene = usize::from(entered);
                all.push(Seen { scene, ..Seen::default() });
            }
            Event::Watch(PHASE, phase) if WHOLE.contains(&phase) => {
                let picture = display.as_mounted(&show.mounting);
                let live = show.scenes[scene].live.contains(&picture);
                let known = live || show.scenes[scene].frames.contains(&picture);
                assert!(known, "{}: at cycle {cycle} scene {scene} shows\n{picture}", show.name);
                let seen = all.last_mut().expect("there is a first");
                seen.whole += 1;
                seen.live += usize::from(live);
            }
            _ => {}
        }
    }
    // A refused byte leaves a command without its parameter; nothing else may be wrong.
    let abandoned = run.events.iter().any(|(_, event)| *event == Event::Abandoned);
    let refused = abandoned || run.figure("BUS refused") > 0;
    assert!(refused || display.faults().is_empty(), "{:?}", display.faults());
    all
}

pub fn watched(run: &Run, number: u8) -> Vec<u8> {
    let values = run.events.iter().filter_map(|(_, event)| match event {
        Event::Watch(which, value) if *which == number => Some(*value),
        _ => None,
    });
    values.collect()
}

/// Inputs that close a contact to ground, which bounces for four milliseconds, at a time in milliseconds.
fn press(pin: &str, milliseconds: u64, cycles_a_millisecond: u64) -> String {
    let bounces = [(0, 0), (1, 1), (2, 0), (3, 1), (4, 0)];
    let at =
        |(after, level): (u64, u8)| format!("-i c{}:{pin}={level} ", (milliseconds + after) * cycles_a_millisecond);
    bounces.map(at).concat()
}

#[test]
fn the_atmega328p_example_fades_lamps_hears_its_inputs_and_tells_the_sound_module() {
    let show = shows::helm();
    let firmware = build_example("atmega328p", &show, "helm", "-mmcu=atmega328p -DF_CPU=16000000UL");
    let idle = "-i c0:D2=1 -i c0:D3=0 -i c0:D4=1 ";
    let options = format!("-e -x 32000000 {WATCHED} -W @47 -p pageloom_tick {idle}{}", press("D2", 700, 16_000));
    let run = simulate(&firmware, &options).good();
    let seen = whole_pictures(&show, &run);
    assert_eq!(scenes(&seen), [0, 3], "boot, then the alert");
    assert!(seen[0].whole > 3 && seen[1].whole > 0, "{seen:?}");
    assert_eq!(watched(&run, RAISED), [1], "a contact that bounces counts once");
    let lamp = watched(&run, LAMP); // OCR0A
    assert!(lamp.len() > 50 && lamp.is_sorted(), "{lamp:?}");
    let said: Vec<u8> = run.events.iter().filter_map(|(_, event)| serial(*event)).collect();
    assert_eq!(said, *b"PAPC", "chirp, then klaxon");
    assert!(run.figure("FUNCTION pageloom_tick most") <= 9_600, "0.6 ms at 16 MHz");
}

/// D/C and chip select on the pins of the example, no other device in sight.
pub const ON_SPI: &str = "-d B1,B2 -i c0:D2=1 ";

#[test]
fn the_spi_example_plays_its_show_over_the_peripheral_and_takes_its_button() {
    let show = shows::lightship();
    let firmware = build_example("atmega328p-spi", &show, "lightship", "-mmcu=atmega328p -DF_CPU=16000000UL");
    let press = press("D2", 1500, 16_000);
    let run = simulate(&firmware, &format!("{ON_SPI} -e -x 64000000 {WATCHED} -p pageloom_tick {press}")).good();
    let seen = whole_pictures(&show, &run);
    assert_eq!(scenes(&seen), [0, 1, 0], "chart, the squall, and back");
    assert!(seen[0].whole > 20 && seen[1].whole > 0, "{seen:?}");
    assert_eq!(watched(&run, RAISED), [1]);
    let (cycles, bytes) = (run.figure("FUNCTION pageloom_tick cycles"), run.figure("FUNCTION pageloom_tick bytes"));
    println!("ATmega328P, SPI at 8 MHz: {} cycles a byte, {} whole frames", cycles / bytes, seen[0].whole);
}

fn serial(event: Event) -> Option<u8> {
    if let Event::Serial(byte) = event { Some(byte) } else { None }
}

/// UM10204 Rev 7.0 Table 11, fast mode, in nanoseconds; the last is one period of 400 kHz.
const MINIMA: [(&str, f64); 7] = [
    ("tHD;STA", 600.0),
    ("tLOW", 1300.0),
    ("tHIGH", 600.0),
    ("tSU;DAT", 100.0),
    ("tSU;STO", 600.0),
    ("tBUF", 1300.0),
    ("period", 2500.0),
];
/// The part's own oscillator may be a tenth fast (ATtiny85 data sheet, calibrated at the factory).
const FASTEST_CYCLE_NANOSECONDS: f64 = 125.0 / 1.1;
pub const ATTINY85: &str = "-m attiny85 -f 8000000 -b B0,B2@36 -e -i c0:B3=1 ";

#[test]
fn the_attiny85_example_keeps_the_times_of_the_bus_and_plays_its_show() {
    let show = shows::beacon();
    let firmware = build_example("attiny85", &show, "beacon", "-mmcu=attiny85 -DF_CPU=8000000UL");
    let call = press("B3", 1100, 8_000);
    let watched_too = format!("{WATCHED} -W @4E"); // OCR1A
    let run = simulate(&firmware, &format!("{ATTINY85} -x 16000000 {watched_too} -p pageloom_tick {call}")).good();
    println!("ATtiny85 at 8 MHz, bus moved by hand, shortest times in ns if its clock is a tenth fast (minimum):");
    for (name, least) in MINIMA {
        let time = run.figure(&format!("WAVE {name}")) as f64 * FASTEST_CYCLE_NANOSECONDS;
        println!("  {name} {time:.0} ({least})");
        assert!(time >= least, "{name} is {time:.0} ns, at least {least} are asked for");
    }
    let (cycles, bytes) = (run.figure("FUNCTION pageloom_tick cycles"), run.figure("FUNCTION pageloom_tick bytes"));
    println!(
        "  {} cycles a byte with the bus, longest call {}",
        cycles / bytes,
        run.figure("FUNCTION pageloom_tick most")
    );
    let seen = whole_pictures(&show, &run);
    assert_eq!(scenes(&seen), [0, 1], "watch, then the call");
    assert_eq!(watched(&run, RAISED), [1]);
    assert!(seen[0].live > 5 && seen[1].live == 0, "the sensor's number stands in the first scene: {seen:?}");
    // By hand: the lamp dies away as 255 × (1 − sin(π/2 × t / 1.6 s)), R. Penner's easing out of a sine; the call begins it anew
    // after 1 s, at 255 × (1 − 0.831) = 43.
    let lamp = watched(&run, LAMP);
    let anew = lamp.iter().rposition(|level| *level == 255).expect("it is full at each cue");
    let (first, second) = lamp.split_at(anew);
    assert!(first[0] == 255 && (30..=50).contains(&first[anew - 1]), "{first:?}");
    assert!([first, second].iter().all(|levels| levels.is_sorted_by(|one, next| one > next)), "{lamp:?}");
}

#[test]
fn the_attiny85_example_survives_refused_bytes_and_a_held_clock() {
    let show = shows::beacon();
    let firmware = build_example("attiny85", &show, "beacon", "-mmcu=attiny85 -DF_CPU=8000000UL");
    let refused: String = [1, 2, 9, 60, 300, 500].map(|byte| format!("-i b{byte}:refuse ")).concat();
    // Two that the example waits for, and two that last longer than it waits.
    let held = "-i b200:hold=900 -i b350:hold=900 -i b430:hold=8000 -i b700:hold=8000";
    let run = simulate(&firmware, &format!("{ATTINY85} -x 24000000 {WATCHED} {refused} {held}")).good();
    assert_eq!(watched(&run, PHASE).iter().filter(|phase| **phase == FAULT).count(), 8);
    assert!(whole_pictures(&show, &run).iter().any(|seen| seen.whole > 3));
}

#[test]
fn the_bring_up_firmware_shows_its_pictures_in_turn() {
    let (show, folder) = (shows::bringup(), workshop("example-bringup"));
    show.write_c(&folder, "bringup");
    let (bringup, example) = (root().join("examples/bringup"), root().join("examples/atmega328p"));
    let sources = [
        bringup.join("main.c"),
        example.join("bus.c"),
        example.join("clock.c"),
        folder.join("bringup.c"),
        folder.join(PLAYER),
    ];
    let options = format!("-mmcu=atmega328p -DF_CPU=16000000UL -I{}", example.display());
    let firmware = build_avr(&folder, &options, &sources);
    let run = simulate(&firmware, &format!("-e -x 290000000 {WATCHED}")).good();
    assert_eq!(scenes(&whole_pictures(&show, &run)), [0, 1, 2, 3, 0]);
}

#[path = "../../../examples/embedded_hal.rs"]
#[allow(dead_code, reason = "its main function is for the command line")]
mod embedded_hal;

/// The lamp's pattern by hand: 255 × (1 − sin(π/2 × t / 0.6 s)) in the first 0.6 s of the alert (R. Penner's easing out of a sine),
/// dark until 1.1 s; the alert's ninth frame, 0.45 s after its first one, stands from 0.45 to 0.5 s: 19 to 9.
#[test]
fn the_embedded_hal_example_shows_the_demo_and_lights_its_lamp() {
    let show = shows::helm();
    let tables = (show.reel.as_slice(), show.lamps[0].table.as_slice());
    for (milliseconds, pressed_at, scene, frame) in [(3000, None, 0, 60), (1000, Some(500), 3, 9)] {
        let told = embedded_hal::play(tables, milliseconds, pressed_at);
        let display = told.display.borrow();
        assert_eq!(display.faults(), []);
        assert_eq!(display.as_mounted(&show.mounting), show.scenes[scene].frames[frame], "after {milliseconds} ms");
        assert!(told.cues.borrow().contains(&0), "the first cue is told");
        let lamp = told.lamp.borrow();
        if pressed_at.is_none() {
            assert_eq!(*lamp, [0], "dark until the alert");
        } else {
            assert!(lamp[..2] == [0, 255] && lamp[1..].is_sorted_by(|one, next| one > next), "{lamp:?}");
            assert!((9..=19).contains(&lamp[lamp.len() - 1]), "{lamp:?}");
        }
    }
}

#[test]
fn the_cortex_m3_example_builds_without_a_warning() {
    let (show, folder) = (shows::helm(), workshop("example-cortex-m3"));
    show.write_c(&folder, "helm");
    cortex_m3::build(
        &folder,
        &[root().join("examples/cortex-m3/main.c"), folder.join("helm.c"), folder.join(PLAYER)],
        "",
    );
}
