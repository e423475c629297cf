//! What the bring-up show looks like when a setting is wrong, by the controller model: the pictures of
//! `examples/bringup/`; `PAGELOOM_BLESS=1` draws them anew.

use super::shows::{TestScene, TestShow, bringup, compiled};
use super::tools::root;
use pageloom::emulator::Emulator;
use pageloom::panel::{Mounting, Panel, Supply};
use pageloom::player::{Player, Status};
use pageloom::render::Bitmap;

/// A setting that may be wrong, and how: the name of its picture, and what is changed in the panel's row.
type Mistake = (&'static str, fn(&mut Panel));

const MISTAKES: &[Mistake] = &[
    ("right", |_| {}),
    ("first-column-0", |panel| panel.wiring.first_column = 0),
    ("first-column-2-too-high", |panel| panel.wiring.first_column += 2),
    ("multiplex-32", |panel| panel.wiring.multiplex = 32),
    ("segments-reversed", |panel| panel.wiring.segments_reversed ^= true),
    ("commons-reversed", |panel| panel.wiring.commons_reversed ^= true),
    ("both-reversed", |panel| {
        panel.wiring.segments_reversed ^= true;
        panel.wiring.commons_reversed ^= true;
    }),
    ("com-pins-02", |panel| panel.wiring.common_pins = 0x02),
    ("com-pins-32", |panel| panel.wiring.common_pins = 0x32),
    ("display-offset-8", |panel| panel.wiring.display_offset = 8),
    ("pump-off", |panel| panel.drive.supply = Supply::External),
];

/// The first scene of the bring-up show, made for `panel`.
fn edges(show: TestShow, panel: Panel) -> TestShow {
    let TestShow { mounting, write_limit, scenes, .. } = show;
    let first: Vec<TestScene> = scenes.into_iter().take(1).collect();
    compiled("edges", panel, mounting, write_limit, first)
}

/// What the real display shows of it.
fn seen(glass: &Panel, mounting: &Mounting, reel: &[u8]) -> Bitmap {
    let (mut display, mut player) = (Emulator::new(glass), Player::new(reel));
    while player.tick(&mut display, 0, 255) != Status::Idle {}
    display.as_mounted(mounting)
}

fn picture(mistake: fn(&mut Panel)) -> Bitmap {
    let show = bringup();
    let (glass, mounting, mut panel) = (show.panel.clone(), show.mounting, show.panel.clone());
    mistake(&mut panel);
    seen(&glass, &mounting, &edges(show, panel).reel)
}

/// Pixels of a PNG to one of the display, and of these how many shine.
const PITCH: u32 = 4;
const DOT: u32 = 3;
const LIT: [u8; 3] = [0xE8, 0xF2, 0xFF];
const DARK: [u8; 3] = [0x10, 0x14, 0x18];

fn drawn(picture: &Bitmap) -> image::RgbImage {
    image::RgbImage::from_fn(picture.width() * PITCH, picture.height() * PITCH, |x, y| {
        let dot = x % PITCH < DOT && y % PITCH < DOT;
        let lit = dot && picture.get((x / PITCH) as i32, (y / PITCH) as i32);
        image::Rgb(if lit { LIT } else { DARK })
    })
}

#[test]
fn each_wrong_setting_looks_as_its_picture_says() {
    let folder = root().join("examples/bringup");
    let bless = std::env::var_os("PAGELOOM_BLESS").is_some();
    let mut differing = Vec::new();
    for (name, mistake) in MISTAKES {
        let (path, wanted) = (folder.join(format!("{name}.png")), drawn(&picture(*mistake)));
        if bless {
            wanted.save(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        }
        let there = image::open(&path).map(|picture| picture.into_rgb8()).ok();
        if there.as_ref() != Some(&wanted) {
            differing.push(*name);
        }
    }
    assert!(differing.is_empty(), "PAGELOOM_BLESS=1 accepts: {differing:?}");
}

#[test]
fn every_wrong_setting_can_be_told_from_the_right_one_and_from_the_others() {
    let pictures: Vec<(&str, Bitmap)> = MISTAKES.iter().map(|(name, mistake)| (*name, picture(*mistake))).collect();
    assert_eq!(pictures[0].1, bringup().scenes[0].frames[0], "the right settings show what was drawn");
    for (at, (name, seen)) in pictures.iter().enumerate() {
        for (other, looks) in &pictures[..at] {
            assert!(seen != looks, "{name} looks like {other}");
        }
    }
}

/// The set-up counts a larger multiplex in when rows are reversed, so such a row costs light but moves nothing.
#[test]
fn a_larger_multiplex_moves_nothing() {
    assert_eq!(picture(|panel| panel.wiring.multiplex = 64), picture(|_| {}));
}

#[test]
fn the_table_of_the_readme_shows_every_picture() {
    let text = std::fs::read_to_string(root().join("examples/bringup/README.md")).expect("the table is there");
    for (name, _) in MISTAKES {
        assert!(text.contains(&format!("({name}.png)")), "README does not show {name}.png");
    }
}
