//! A show like the demo on every panel that is no SSD1306 or its kin: the whole build, whose rehearsal holds the shipped player on the
//! controller model against the drawn frames, upright and on its side; and the emitted C and Rust, compiled and run.

use super::drivers::send;
use pageloom::build::{BuildOptions, Built, build};
use pageloom::diag::Findings;
use pageloom::emulator::Emulator;
use pageloom::panel::{Family, Panel, panels};
use pageloom::render::render;
use pageloom::show::load;
use pageloom::source::{FilesInMemory, Reader};
use std::path::Path;
use std::process::Command;

/// Text that types and rolls, a sweep with a trail, bars, noise, inversion, a fade, a contrast that follows a live value, and a display that
/// goes off.
fn script(panel: &Panel, turn: &str, coder: &str) -> String {
    let bus = if panel.controller.highest_i2c_clock.is_some() {
        "I2c(clock: 400_000, write_limit: 32, per_call: 32)"
    } else {
        "Spi(clock: 4_000_000)"
    };
    let (low, high) = (panel.drive.contrast / 2, panel.drive.contrast);
    format!(
        r#"Show(
    name: "lamp-room", panel: "{name}", bus: {bus}, mounting: Mounting(turn: {turn}), profile: {coder},
    microcontroller: Part(name: "ATmega2560", flash_left: 200_000, ram_left: 7_000),
    frame_rate: 10, fonts: {{"small": Shipped("cleat")}}, triggers: {{"call": Go("alarm")}}, start: "log",
    scenes: [
        Scene(name: "log", seconds: 4, then: Go("sweep"), contrast: Ramp(from: {low}, to: {high}, seconds: 1), layers: [
            Roll(text: ["OIL 40", "LENS OK", "WIND NW", "FOG 0", "MAINS ON", "ALL WELL"], font: "small", at: TopLeft(0, 0),
                size: (32, 27), line_gap: 1, rows_a_second: 10),
            Bar(at: BottomRight(-1, -1), size: (20, 5), value: Ramp(from: 0, to: 1, seconds: 3)),
        ]),
        Scene(name: "sweep", seconds: 4, then: Go("log"),
            contrast: Live(name: "light", from: 0, to: 10, steps: 10, start: 10, low: {low}, high: {high}), layers: [
            Sweep(at: Centre, radius: 13, seconds_a_turn: 2, trail_degrees: 90),
            Typed(text: "BEAM", font: "small", at: TopLeft(1, 1), letters_a_second: 4),
        ]),
        Scene(name: "alarm", seconds: 2, then: Go("log"), off: [Off(from: 1.5, until: 1.8)], layers: [
            Noise(at: Centre, size: (28, 16), share: 0.3, times_a_second: 5, seed: 3),
            Rectangle(at: Centre, size: (400, 400), fill: true, mode: Invert, blink: Blink(on: 0.5, off: 0.5)),
        ]),
    ],
)"#,
        name = panel.name,
    )
}

fn others() -> impl Iterator<Item = &'static Panel> {
    use Family::{Sh1106, Ssd1306, Ssd1306b, Ssd1309, Ssd1315};
    panels().iter().filter(|panel| !matches!(panel.controller.family, Ssd1306 | Ssd1306b | Ssd1309 | Ssd1315 | Sh1106))
}

/// A build that must come to a firmware.
fn built(panel: &Panel, turn: &str, coder: &str) -> Built {
    let files = FilesInMemory::default().with("show.ron", script(panel, turn, coder));
    let built = build("show.ron", &BuildOptions { files: &files, ..BuildOptions::default() });
    assert!(!built.findings.any_error() && built.production.is_some(), "{} {turn}:\n{}", panel.name, built.words());
    built
}

#[test]
fn a_show_like_the_demo_is_shown_as_drawn_on_every_other_panel() {
    for panel in others() {
        built(panel, "Upright", "Lean");
        built(panel, "Left", "Lean");
    }
}

#[test]
fn a_picture_copy_is_shown_as_drawn_on_a_panel_of_each_shape() {
    for name in ["1.3in-64x128-sh1107", "1.5in-84x48-pcd8544", "lcd-128x64-st7567a"] {
        built(others().find(|panel| panel.name == name).expect("a row"), "Upright", "Dense");
    }
}

/// The contrast of a frame: that of the ramp, or of the live value as the harness set it, held within its limits.
fn contrast(panel: &Panel, frame: u16) -> u8 {
    let (low, high) = (f64::from(panel.drive.contrast / 2), f64::from(panel.drive.contrast));
    let share = if frame < 40 { f64::from(frame) / 10.0 } else { f64::from(frame % 12) / 10.0 };
    (low + (high - low) * share.min(1.0)).round() as u8
}

/// Holds what a player sent, as the harness wrote it down, against the frames drawn.
fn assert_shown(panel: &Panel, sent: &str, who: &str) {
    let files = FilesInMemory::default().with("show.ron", script(panel, "Upright", "Lean"));
    let show = load(&mut Reader::new(&files), Path::new("show.ron"), &mut Findings::default()).expect("a show");
    let frames = render(&show);
    let mut wanted = frames[0].iter().chain(&frames[1]);
    let (mut display, mut frame) = (Emulator::new(panel), 0);
    for line in sent.lines() {
        if line != "frame" {
            send(&mut display, line);
            continue;
        }
        let (seen, wanted) = (display.as_mounted(show.mounting()), wanted.next().expect("80 frames"));
        assert!(seen == *wanted, "{who}, {}:\n{seen}\nwanted:\n{wanted}", panel.name);
        assert_eq!(display.contrast(), contrast(panel, frame), "{who}, {}, frame {frame}", panel.name);
        frame += 1;
    }
    assert_eq!(display.faults(), [], "{who}, {}", panel.name);
    assert!(wanted.next().is_none(), "{who}, {}: frames are missing", panel.name);
}

#[test]
fn emitted_c_and_rust_show_every_frame_on_a_panel_of_each_family() {
    let mut families = Vec::new();
    for panel in others().filter(|panel| {
        let is_new = !families.contains(&panel.controller.family);
        families.push(panel.controller.family);
        is_new
    }) {
        let folder = tempfile::tempdir().expect("a folder");
        let built = built(panel, "Upright", "Lean");
        let firmware = built.files().expect("files").iter().filter(|file| file.firmware);
        firmware.for_each(|file| std::fs::write(folder.path().join(&file.path), &file.bytes).expect("written"));
        for (name, text) in
            [("glass.c", include_str!("harness/glass.c")), ("glass.rs", include_str!("harness/glass.rs"))]
        {
            std::fs::write(folder.path().join(name), text).expect("written");
        }
        let run = |tool: &str, arguments: &str| {
            let output = Command::new(tool).current_dir(folder.path()).args(arguments.split_whitespace()).output();
            let output = output.unwrap_or_else(|why| panic!("{tool} is needed for this test: {why}"));
            assert!(output.status.success(), "{tool}: {}", String::from_utf8_lossy(&output.stderr));
            String::from_utf8(output.stdout).expect("text")
        };
        run("gcc", "-std=c99 -Wall -Wextra -Werror -pedantic -O1 glass.c lamp_room.c pageloom_player.c -o in_c");
        assert_shown(panel, &run("./in_c", ""), "C");
        run("rustc", "--edition 2021 -C opt-level=1 glass.rs -o in_rust");
        assert_shown(panel, &run("./in_rust", ""), "Rust");
    }
}
