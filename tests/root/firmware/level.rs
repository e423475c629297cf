//! Examples with live values: the level that follows a button on the simulated part, and the depth gauge in Rust.

use super::shows::write_sources;
use super::simulator::{Event, build_avr, simulate};
use super::tools::{root, run, workshop};
use pageloom::budget::{budgets, choose};
use pageloom::diag::Findings;
use pageloom::emit::Firmware;
use pageloom::emulator::Emulator;
use pageloom::reel::{Options, Reel};
use pageloom::render::{draw_in_state, render};
use pageloom::show::{LiveState, Show, load};
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
    let wanted = draw_in_state(&show, &show.scenes()[0], 0, &LiveState::at_steps(vec![50, 0]));
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
        let wanted = draw_in_state(&show, &show.scenes()[scene], 0, &LiveState::at_steps(vec![step])).to_string();
        assert_eq!(seen[at].1, wanted, "second {at}");
    }
}

/// A frame of the run below: whether the show begins with it, the live value that is set, and to what.
type SetFrame = (bool, usize, i16);

/// The budget's times of a step and of the farthest jump against the cycles of the same frames on the simulated part.
#[test]
fn the_times_in_the_budget_are_those_of_the_part() {
    ["examples/atmega328p-level/tank.ron", "scenes/cookbook/17-depth-log.ron"].into_iter().for_each(require_times);
}

fn require_times(script: &str) {
    // As for frames with areas in general; see tests/root/firmware/timing.rs.
    const NEAR: (f64, f64) = (0.92, 1.20);
    const CYCLES_A_MILLISECOND: f64 = 16_000.0;
    let show = loaded(script);
    let (frames, mut findings) = (render(&show), Findings::default());
    let options = Options { quickly: true, ..Options::default() };
    let choice = choose(options, &show, &frames, &mut findings).expect("a reel");
    let budgets = budgets(&show, &choice, &frames, None, &mut findings);
    let figures = || budgets.iter().flat_map(|budget| &budget.figures);
    let mut played: Vec<SetFrame> = Vec::new();
    for (number, live) in show.live().iter().enumerate() {
        let steps = (0..=live.steps).chain((0..live.steps).rev()).chain([live.steps, 0]);
        played.extend(steps.enumerate().map(|(at, step)| (at == 0, number, live.value_at(step))));
    }
    let times = times_of(&show, &choice.fitted.reel, &played);
    for (number, live) in show.live().iter().enumerate() {
        let own = |(frame, _): &(&SetFrame, &u64)| frame.1 == number;
        let times: Vec<u64> = played.iter().zip(&times).filter(own).map(|(_, time)| *time).collect();
        // The first frame sets the display up, and the last two go from end to end.
        let (steps, jumps) = times[1..].split_at(times.len() - 3);
        for (name, times) in [("a step", steps), ("farthest jump", jumps)] {
            let name = format!("{name} of {}", live.name);
            let figure = figures().find(|figure| figure.name == name).unwrap_or_else(|| panic!("no {name}"));
            let measured = *times.iter().max().expect("frames") as f64 / CYCLES_A_MILLISECOND;
            println!("{name}: predicted {:.3} ms, measured {measured:.3} ms", figure.value);
            assert!((NEAR.0..NEAR.1).contains(&(figure.value / measured)), "{name}");
        }
    }
}

/// The cycles that each of these frames takes on the simulated part, calls of the player alone.
fn times_of(show: &Show, reel: &Reel, played: &[SetFrame]) -> Vec<u64> {
    let folder = workshop(&format!("live-times-{}", show.name()));
    let firmware = Firmware { name: "helm".into(), reel: reel.bytes.clone(), parts: reel.parts, ..Firmware::default() };
    write_sources(&[firmware], &folder);
    let row = |(begins, live, value): &SetFrame| format!("{{{}, {live}, {value}}},\n", u8::from(*begins));
    std::fs::write(folder.join("values.h"), played.iter().map(row).collect::<String>()).expect("written");
    let example = root().join("examples/atmega328p");
    let test = root().join("tests/firmware/live_times.c");
    let sources = [test, example.join("bus.c"), folder.join("helm.c"), folder.join("pageloom_player.c")];
    let period = 1000 / show.frame_rate().frames_per_second();
    let options = format!(
        "-mmcu=atmega328p -DF_CPU=16000000UL -DPER_CALL={} -DPERIOD={period} -I{}",
        show.bus().per_call,
        example.display()
    );
    let run = simulate(&build_avr(&folder, &options, &sources), "-g 3E -c -e -p pageloom_tick").good();
    let mut times: Vec<u64> = Vec::new();
    for (_, event) in &run.events {
        match (event, times.last_mut()) {
            (Event::Mark(..), _) => times.push(0),
            (Event::Call(cycles, _), Some(time)) => *time += u64::from(*cycles),
            _ => {}
        }
    }
    assert_eq!(times.len(), played.len());
    times
}
