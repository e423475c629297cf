//! `emit sketch` and `emit library` as they are opened: the sketch compiled around a stand-in for the environment, linked for an
//! ATmega328P and run on the simulated part, the library compiled from its folder, its manifests read.

use super::examples::{ON_SPI, PHASE, WATCHED, watched, whole_pictures};
use super::shows;
use super::simulator::{Event, Run, build_avr, simulate};
use super::tools::{compile, root, workshop};
use pageloom::emulator::Emulator;
use std::path::{Path, PathBuf};
use std::process::Command;

fn emit(arguments: &str, folder: &Path) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    let ran = command.current_dir(root()).args(arguments.split_whitespace()).arg("--out").arg(folder).output();
    let ran = ran.expect("the program runs");
    assert!(ran.status.success(), "{arguments}: {}", String::from_utf8_lossy(&ran.stderr));
}

/// Compiles a sketch as an environment does: its loop in C++ behind the environment's header, all C beside it.
fn sketch(folder: &Path, name: &str) -> PathBuf {
    let (sketch, stand_in) = (folder.join(name), root().join("tests/firmware/sketch"));
    let part = "-mmcu=atmega328p -DF_CPU=16000000UL -Os -Wall -Wextra -Wconversion -Werror";
    let includes = format!("-I{} -I{} -include environment.h", sketch.display(), stand_in.display());
    let [of_loop, of_stand_in] = ["loop.o", "stand_in.o"].map(|name| folder.join(name));
    compile(
        "avr-g++",
        &format!("{part} -std=c++11 {includes} -x c++ -c -o"),
        &[&of_loop, &sketch.join(format!("{name}.ino"))],
    );
    compile(
        "avr-g++",
        &format!("{part} -Wno-conversion -std=c++11 {includes} -c -o"),
        &[&of_stand_in, &stand_in.join("environment.cpp")],
    );
    let mut sources: Vec<PathBuf> =
        std::fs::read_dir(&sketch).expect("a folder").flatten().map(|file| file.path()).collect();
    sources.retain(|path| path.extension() == Some("c".as_ref()));
    sources.sort();
    sources.extend([of_loop, of_stand_in]);
    build_avr(&sketch, "-mmcu=atmega328p -ffunction-sections -fdata-sections -Wl,--gc-sections", &sources)
}

/// The two-wire object sends a transaction at its end, which comes just after the player says that the frame is whole: such a
/// change of phase is moved behind the transaction.
fn settled(mut run: Run) -> Run {
    const JUST_AFTER_CYCLES: u64 = 2_000;
    let mut events = Vec::new();
    let mut rest = std::mem::take(&mut run.events).into_iter().peekable();
    while let Some((cycle, event)) = rest.next() {
        let whole = matches!(event, Event::Watch(PHASE, 3 | 4));
        let follows = |next: &(u64, Event)| matches!(next.1, Event::Start(..)) && next.0 < cycle + JUST_AFTER_CYCLES;
        if whole && rest.peek().is_some_and(follows) {
            for next in rest.by_ref() {
                events.push(next);
                if next.1 == Event::Stop {
                    break;
                }
            }
        }
        events.push((cycle, event));
    }
    Run { events, ..run }
}

#[test]
fn a_sketch_plays_its_show_and_hears_its_button() {
    let (show, folder) = (shows::helm(), workshop("sketch"));
    emit("emit sketch scenes/helm.ron", &folder);
    let firmware = sketch(&folder, "helm_sketch");
    let at = |milliseconds: u64| milliseconds * 16_000;
    let press =
        format!("-i c0:D2=1 -i c{}:D2=0 -i c{}:D2=1 -i c{}:D2=0 -i c{}:D2=1", at(900), at(901), at(902), at(990));
    let run = simulate(&firmware, &format!("-e -x 32000000 {WATCHED} {press}")).good();
    let run = settled(run);
    let seen = whole_pictures(&show, &run);
    assert_eq!(seen.iter().map(|seen| seen.scene).collect::<Vec<_>>(), [0, 3], "boot, then the alert");
    assert!(seen.iter().all(|seen| seen.whole > 1), "{seen:?}");
}

#[test]
fn several_shows_of_a_sketch_follow_one_another_without_a_stale_picture() {
    let folder = workshop("sketches");
    emit("emit sketch scenes/helm.ron scenes/bringup.ron", &folder);
    let firmware = sketch(&folder, "helm_bringup_sketch");
    let shows = [shows::helm(), shows::bringup()];
    let at = |milliseconds: u64| milliseconds * 16_000;
    let press = |from: u64| format!("-i c{}:D3=0 -i c{}:D3=1 ", at(from), at(from + 80));
    let inputs = format!("-i c0:D2=1 -i c0:D3=1 {}{}", press(700), press(1_600));
    let run = simulate(&firmware, &format!("-e -x 40000000 {WATCHED} {inputs}")).good();
    let run = settled(run);
    let (mut display, mut playing, mut whole) = (Emulator::new(&shows[0].panel), 0, [0, 0, 0]);
    for (_, event) in &run.events {
        match *event {
            Event::Start(address, true) => drop(display.start(address)),
            Event::Byte(byte, true) => {
                let was_on = display.is_on();
                display.write(byte);
                // Each show begins with the display switched off, which these do at no other time.
                playing += usize::from(was_on && !display.is_on());
            }
            Event::Stop => display.stop(),
            Event::Watch(PHASE, 3 | 4) if display.is_on() => {
                let (show, picture) = (&shows[playing % 2], display.as_mounted(&shows[0].mounting));
                let known =
                    show.scenes.iter().any(|scene| scene.frames.contains(&picture) || scene.live.contains(&picture));
                assert!(known, "show {playing} shows\n{picture}");
                whole[playing] += 1;
            }
            _ => {}
        }
    }
    assert!(whole.iter().all(|count| *count > 0), "{whole:?}");
    assert!(watched(&run, PHASE).len() > 20, "it played");
}

#[test]
fn a_library_compiles_from_its_folder_and_its_manifests_say_what_it_is() {
    let folder = workshop("library");
    emit("emit library scenes/helm.ron examples/attiny85/beacon.ron", &folder);
    let library = folder.join("helm_beacon_library");
    let read = |name: &str| std::fs::read_to_string(library.join(name)).expect("written");
    for name in ["helm.c", "beacon.c", "pageloom_player.c"] {
        let strict = "-std=c99 -Wall -Wextra -Wconversion -Werror -pedantic -c -o";
        compile("cc", strict, &[&folder.join("object.o"), &library.join("src").join(name)]);
    }
    let manifest: serde_json::Value = serde_json::from_str(&read("library.json")).expect("JSON");
    assert_eq!(manifest["name"], "helm_beacon_library");
    assert_eq!(manifest["headers"], serde_json::json!(["helm.h", "beacon.h"]));
    let properties = read("library.properties");
    for line in ["name=helm_beacon_library", "version=0.1.0", "includes=helm.h,beacon.h", "architectures=*"] {
        assert!(properties.lines().any(|known| known == line), "{line}:\n{properties}");
    }
}

#[test]
fn a_sketch_on_spi_plays_its_show_and_hears_its_button() {
    let (show, folder) = (shows::lightship(), workshop("sketch-spi"));
    emit("emit sketch examples/atmega328p-spi/lightship.ron", &folder);
    let firmware = sketch(&folder, "lightship_sketch");
    let at = |milliseconds: u64| milliseconds * 16_000;
    let press = format!("-i c{}:D2=0 -i c{}:D2=1", at(1_500), at(1_580));
    let run = simulate(&firmware, &format!("{ON_SPI} -e -x 64000000 {WATCHED} {press}")).good();
    let seen = whole_pictures(&show, &run);
    assert_eq!(seen.iter().map(|seen| seen.scene).take(2).collect::<Vec<_>>(), [0, 1], "chart, then the squall");
    assert!(seen.iter().take(2).all(|seen| seen.whole > 0), "{seen:?}");
}
