//! The example of two displays on one bus: each shows whole pictures of its own show, and the switch brings another one without
//! a picture of the former.

use super::shows::{self, TestShow};
use super::simulator::{Event, PLAYER, Run, build_avr, simulate};
use super::tools::{root, workshop};
use pageloom::emulator::Emulator;
use std::path::PathBuf;

/// The phases of both players (player.h), in the order of the displays' addresses.
const PHASES: &str = "-W left+15 -W right+15";
const WHOLE: [u8; 2] = [3, 4];
const ADDRESSES: [u8; 2] = [0x3C, 0x3D];

fn firmware(shows: &[&TestShow]) -> PathBuf {
    let folder = workshop("example-two-displays");
    shows::write_sources(&shows.iter().map(|show| show.firmware(show.name)).collect::<Vec<_>>(), &folder);
    let [bus, here] = ["examples/atmega328p", "examples/two-displays"].map(|path| root().join(path));
    let mut sources = vec![here.join("main.c"), bus.join("bus.c"), folder.join(PLAYER)];
    sources.extend(shows.iter().map(|show| folder.join(format!("{}.c", show.name))));
    let options = format!("-mmcu=atmega328p -DF_CPU=16000000UL -I{}", bus.display());
    build_avr(&folder, &options, &sources)
}

/// Follows a run: for each display the names of the shows whose whole pictures it showed while it was on, in turn.
fn seen<'a>(run: &Run, shows: [&[&'a TestShow]; 2]) -> [Vec<&'a str>; 2] {
    let mut displays = shows.map(|shows| Emulator::new(&shows[0].panel));
    let (mut at, mut seen) = (0, [vec![], vec![]]);
    for (cycle, event) in &run.events {
        match *event {
            Event::Start(address, true) => {
                at = ADDRESSES.iter().position(|known| *known == address).expect("one of the two");
                // Each emulator stands for one display and answers at the panel's own address.
                displays[at].start(ADDRESSES[0]);
            }
            Event::Byte(byte, true) => drop(displays[at].write(byte)),
            Event::Stop => displays[at].stop(),
            Event::Watch(number, phase) if WHOLE.contains(&phase) && displays[usize::from(number)].is_on() => {
                let number = usize::from(number);
                let picture = displays[number].as_mounted(&shows[number][0].mounting);
                let of =
                    shows[number].iter().find(|show| show.scenes.iter().any(|scene| scene.frames.contains(&picture)));
                let of = of.unwrap_or_else(|| panic!("at cycle {cycle} display {number} shows\n{picture}"));
                if seen[number].last() != Some(&of.name) {
                    seen[number].push(of.name);
                }
            }
            _ => {}
        }
    }
    displays.iter().for_each(|display| assert_eq!(display.faults(), []));
    seen
}

#[test]
fn two_displays_show_their_own_and_a_switch_brings_another_show() {
    let [depth, range, engine] = ["depth", "range", "engine"].map(shows::of_two_displays);
    let firmware = firmware(&[&depth, &range, &engine]);
    let at = |milliseconds: u64| milliseconds * 16_000;
    let inputs = format!("-i c0:D2=1 -i c0:D3=1 -i c{}:D3=0 -i c{}:D2=0 -i c{}:D3=1", at(900), at(1_000), at(1_800));
    let run = simulate(&firmware, &format!("-e -A 0x3D -x 48000000 {PHASES} {inputs}")).good();
    let [left, right] = seen(&run, [&[&depth, &range], &[&engine]]);
    assert_eq!(left, ["depth", "range", "depth"]);
    assert_eq!(right, ["engine"]);
}

#[path = "../../../examples/two_displays.rs"]
#[allow(dead_code, reason = "its main function is for the command line")]
mod in_rust;

#[test]
fn two_displays_in_rust_show_their_own() {
    let productions = in_rust::shows();
    let shows = [shows::of_two_displays("depth"), shows::of_two_displays("engine")];
    let displays = [0, 1].map(|number: usize| {
        let panel = productions[number].show.panel();
        (ADDRESSES[number], Emulator::new(panel).at_address(ADDRESSES[number]))
    });
    let reels = [0, 1].map(|number: usize| productions[number].reel().bytes.as_slice());
    // The engine runs at full power from 1.2 s on, for a second.
    let wires = in_rust::play(reels, in_rust::Wires { displays }, 1_900, 1_200);
    let pictures = wires.displays.each_ref().map(|(_, display)| display.as_mounted(&shows[0].mounting));
    assert_eq!(pictures[0], shows[0].scenes[0].frames[19]);
    assert!(shows[1].scenes[1].frames.contains(&pictures[1]), "{}", pictures[1]);
    wires.displays.iter().for_each(|(_, display)| assert_eq!(display.faults(), []));
}
