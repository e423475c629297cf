//! Examples with live values: the level that follows a button on the simulated part, and the depth gauge in Rust.

use super::simulator::{Event, build_avr, simulate};
use super::tools::{root, run, workshop};
use pageloom::diag::Findings;
use pageloom::emulator::Emulator;
use pageloom::render::draw_at_steps;
use pageloom::show::{Show, load};
use pageloom::source::{Disk, Reader};
use std::path::Path;

fn loaded(script: &str) -> Show {
    load(&mut Reader::new(&Disk), Path::new(script), &mut Findings::default()).expect("a show")
}

/// 255 steps of 12 ms take 3.06 s; then the level and the lamp are full, and the cell is at its lowest, since the converter of the
/// simulated part, whose inputs stand open, gives the reading of a full supply.
#[test]
fn the_level_follows_the_button() {
    const CYCLES_A_MILLISECOND: u64 = 16_000;
    let folder = workshop("example-level");
    let script = root().join("examples/atmega328p-level/tank.ron");
    let arguments = ["build".as_ref(), script.as_os_str(), "--out".as_ref(), folder.as_os_str()];
    run(env!("CARGO_BIN_EXE_pageloom"), &arguments, "").good("pageloom build");
    let (level, example) = (root().join("examples/atmega328p-level"), root().join("examples/atmega328p"));
    let sources =
        [level.join("main.c"), example.join("bus.c"), folder.join("tank.c"), folder.join("pageloom_player.c")];
    let options = format!("-mmcu=atmega328p -DF_CPU=16000000UL -I{}", example.display());
    let firmware = build_avr(&folder, &options, &sources);
    let (press, end) = (100 * CYCLES_A_MILLISECOND, 3_400 * CYCLES_A_MILLISECOND);
    let run = simulate(&firmware, &format!("-i c0:D2=1 -i c{press}:D2=0 -e -x {end} -W @47 -p pageloom_tick")).good();
    let show = loaded("examples/atmega328p-level/tank.ron");
    let mut display = Emulator::new(show.panel());
    let mut lamp = Vec::new();
    for (_, event) in &run.events {
        match *event {
            Event::Start(address, true) => drop(display.start(address)),
            Event::Byte(byte, true) => drop(display.write(byte)),
            Event::Stop | Event::Abandoned => display.stop(),
            Event::Watch(_, level) => lamp.push(level),
            _ => {}
        }
    }
    assert!(lamp.is_sorted() && lamp.last() == Some(&254), "255 × 255 / 256 is 254: {lamp:?}");
    assert_eq!(display.faults(), []);
    let wanted = draw_at_steps(&show, &show.scenes()[0], 0, &[50, 0]);
    assert_eq!(display.as_mounted(show.mounting()).to_string(), wanted.to_string());
}

#[path = "../../../examples/depth_gauge.rs"]
#[allow(dead_code, reason = "its main function is for the command line")]
mod depth_gauge;

/// By hand: 12 m are 120 of 400 decimetres, step 24 of 80; 26 m raise the warning, 24 m leave it, 22 m end it. The bar shows the depth.
#[test]
fn the_depth_gauge_warns_by_itself() {
    let seen = depth_gauge::dive(&[0, 12, 26, 24, 22]);
    assert_eq!(seen.iter().map(|seen| seen.0).collect::<Vec<_>>(), [0, 0, 1, 1, 0]);
    let show = loaded("examples/depth_gauge.ron");
    for (at, scene, step) in [(1, 0, 24), (3, 1, 48), (4, 0, 44)] {
        let wanted = draw_at_steps(&show, &show.scenes()[scene], 0, &[step]).to_string();
        assert_eq!(seen[at].1, wanted, "second {at}");
    }
}
