//! A Cortex-M3 in QEMU plays the demo on the example's bus, moved by hand on the emulated lines; QEMU's own log of that bus
//! is what is compared. QEMU counts instructions, no cycles.

use super::shows;
use super::simulator::{Event, PLAYER, Run, read_line};
use super::tools::{Ran, compile, root, run, workshop};
use super::watch::{Position, require_the_show, sights};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

/// The machine, and a memory at the display's address, which takes any byte; the debugger's console and the log of the bus
/// both go to standard error, in the order of what happened.
const QEMU: &str = "-M mps2-an385 -display none -monitor none -serial null -icount shift=0,sleep=off \
                    -semihosting-config enable=on,target=native -device at24c-eeprom,address=0x3c,rom-size=256 \
                    -trace i2c_event -trace i2c_send -kernel";

/// The compiler's options; `-ffreestanding`, since there is no operating system.
pub const OPTIONS: &str = "-mcpu=cortex-m3 -mthumb -std=gnu99 -Os -Wall -Wextra -Werror -ffreestanding \
                           -ffunction-sections -fdata-sections -nostdlib -Wl,--gc-sections";

/// Builds a firmware of the example's files and others.
pub fn build(folder: &Path, sources: &[PathBuf], defines: &str) -> PathBuf {
    build_with(folder, sources, &["bus.c", "board.c", "startup.c"], defines)
}

/// The same with some of the example's files alone.
pub fn build_with(folder: &Path, sources: &[PathBuf], of_example: &[&str], defines: &str) -> PathBuf {
    let (firmware, example) = (folder.join("firmware.elf"), root().join("examples/cortex-m3"));
    let mut paths = vec![firmware.clone()];
    paths.extend(sources.iter().cloned());
    paths.extend(of_example.iter().map(|file| example.join(file)));
    paths.push("-lgcc".into());
    let includes = format!("-I{} -I{}", folder.display(), example.display());
    let script = format!("-T {}", example.join("memory.ld").display());
    let paths: Vec<&Path> = paths.iter().map(PathBuf::as_path).collect();
    compile("arm-none-eabi-gcc", &format!("{OPTIONS} {includes} {script} {defines} -o"), &paths);
    firmware
}

/// Plays a firmware until it asks to end.
pub fn play(firmware: &Path) -> Run {
    let mut arguments: Vec<&OsStr> = QEMU.split_whitespace().map(OsStr::new).collect();
    arguments.push(firmware.as_os_str());
    let Ran { err, code, .. } = run("qemu-system-arm", &arguments, "");
    let mut played = Run { code: code.unwrap_or(-1), ..Run::default() };
    for line in err.lines() {
        match bus_event(line) {
            Some(event) => played.events.push((0, event)),
            None if line.starts_with("0 ") || line.starts_with("RAM ") => read_line(line, &mut played),
            None => panic!("QEMU says: {line}"),
        }
    }
    played.good()
}

/// A line of QEMU's log, such as `i2c_send send(addr:0x3c) data:0x40`.
fn bus_event(line: &str) -> Option<Event> {
    let number = |mark: &str| {
        let digits = line.split_once(mark)?.1.get(..2)?;
        u8::from_str_radix(digits, 16).ok()
    };
    let (kind, rest) = line.split_once(' ')?;
    match (kind, rest.split('(').next()?) {
        ("i2c_send", _) => Some(Event::Byte(number("data:0x")?, true)),
        ("i2c_event", "start" | "start_send") => Some(Event::Start(number("addr:0x")?, true)),
        ("i2c_event", "finish") => Some(Event::Stop),
        _ => None,
    }
}

/// The demo's firmware for the test, with further definitions.
fn demo(name: &str, defines: &str) -> Run {
    let (show, folder) = (shows::helm(), workshop(name));
    show.write_c(&folder, "helm");
    play(&build(
        &folder,
        &[root().join("tests/firmware/cortex_m3.c"), folder.join("helm.c"), folder.join(PLAYER)],
        defines,
    ))
}

#[test]
fn the_demo_is_seen_frame_by_frame() {
    let (show, run) = (shows::helm(), demo("m3", ""));
    let (sights, display) = sights(&show, &run);
    assert_eq!(display.faults(), []);
    let seen = require_the_show(&show, &sights);
    for scene in [0, 1, 2] {
        for frame in 0..show.scenes[scene].frames.len() {
            assert!(seen.contains(&Position { scene, frame }), "frame {frame} of scene {scene} was not seen");
        }
    }
}

#[test]
fn triggers_lead_to_whole_pictures() {
    let (show, run) = (shows::helm(), demo("m3-triggers", "-DTRIGGERS"));
    let (sights, display) = sights(&show, &run);
    assert_eq!(display.faults(), []);
    let seen = require_the_show(&show, &sights);
    // Boot and sonar, alert and sleep; the depth page comes after twelve seconds of sonar without a trigger.
    for scene in [0, 1, 3, 4] {
        assert!(seen.iter().any(|position| position.scene == scene), "scene {scene} was never seen");
    }
}

/// State of the player and stack of one call, for the row of this part.
pub fn memory() -> (u64, u64) {
    let run = demo("m3-memory", "-DSTACK");
    (run.figure("RAM state"), run.figure("RAM stack"))
}
