//! GIF and PNG output decoded by Pillow, an imaging library outside the project, frame by frame and delay by delay.

use pageloom::font::Font;
use pageloom::preview::{Look, Shown, filmstrip, gif};
use pageloom::render::Bitmap;
use pageloom::units::{FrameRate, Nanoseconds};
use std::process::Command;

const PITCH: u32 = 3;
/// The display begins three of its own pixels inside the picture.
const MARGIN: u32 = 3 * PITCH;

/// What Pillow reads from a picture whose display of `width` × `height` pixels has its first dot at (left, top).
fn pillow(name: &str, bytes: &[u8], (left, top): (u32, u32), (width, height): (u32, u32)) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).expect("written");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/root/pillow.py");
    let numbers = [PITCH, left, top, width, height].map(|number| number.to_string());
    let output = Command::new("python3").arg(script).arg(&path).args(numbers).output();
    let output = output.expect("python3 is needed for this test");
    let faults = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "Pillow for python3 is needed for this test: {faults}");
    String::from_utf8(output.stdout).expect("text")
}

fn rate() -> FrameRate {
    FrameRate::new(30).expect("a rate")
}

/// Pictures that change in many places, in one pixel, and not at all; held for varied times, with the display off once.
fn show() -> Vec<Shown> {
    let mut seed = 1u32;
    let mut next = || {
        // A linear congruential generator with the constants of Numerical Recipes.
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        seed >> 16
    };
    let mut picture = Bitmap::new(24, 16);
    let mut shown = Vec::new();
    for number in 0..40u32 {
        for _ in 0..[0, 1, 90][number as usize % 3] {
            let (x, y) = (next() as i32 % 24, next() as i32 % 16);
            picture.set(x, y, !picture.get(x, y));
        }
        let contrast = if number < 20 { 255 } else { 40 };
        let scene = format!("scene {}", number / 15);
        let frames = number % 4 + 1;
        let stays = Nanoseconds(rate().period().0 * u64::from(frames));
        shown.push(Shown {
            picture: picture.clone(),
            frames,
            stays,
            contrast,
            on: number != 33,
            scene,
            changing: None,
        });
    }
    shown
}

fn drawn(shown: &Shown) -> String {
    if shown.on { shown.picture.to_string() } else { Bitmap::new(24, 16).to_string() }
}

#[test]
fn the_gif_shows_each_picture_for_its_time() {
    let bytes = gif(&show(), &Look::plain([255; 3], PITCH)).expect("a GIF");
    let mut expected = format!("GIF {} {} loop 0\n", 30 * PITCH, 22 * PITCH);
    let (mut frames, mut told) = (0, 0);
    let mut runs: Vec<(Shown, u32)> = Vec::new();
    for shown in show() {
        match runs.last_mut() {
            Some((last, frames)) if last.looks_like(&shown) => *frames += shown.frames,
            _ => runs.push((shown.clone(), shown.frames)),
        }
    }
    for (shown, held) in &runs {
        frames += held;
        // The time at which the picture ends, in hundredths, rounded; all delays are multiples of 10 ms.
        let end = (f64::from(frames) * 100.0 / 30.0).round() as u32;
        expected.push_str(&format!("delay {}\n{}", (end - told) * 10, drawn(shown)));
        told = end;
    }
    assert!(runs.len() > 25, "{} pictures", runs.len());
    assert_eq!(pillow("show.gif", &bytes, (MARGIN, MARGIN), (24, 16)), expected);
}

#[test]
fn the_filmstrip_begins_with_the_first_picture_and_has_the_next_ones_beside_it() {
    let (look, font) = (Look::plain([255; 3], PITCH), Font::shipped("thole"));
    let shown = show();
    let bytes = filmstrip(&shown, &look, &font, &[]).expect("a PNG");
    let top = 12 + 2 * font.height() + 6 + MARGIN;
    for (place, number) in [(0, 0), (1, 1), (2, 2)] {
        let left = 12 + place * (30 * PITCH + 12) + MARGIN;
        let text = pillow("show.png", &bytes, (left, top), (24, 16));
        let (head, picture) = text.split_once("delay None\n").expect("one frame");
        assert!(head.starts_with(&format!("PNG {}", 12 + 6 * (30 * PITCH + 12))), "{head}");
        assert_eq!(picture, drawn(&shown[number]), "place {place}");
    }
}
