//! What the bring-up show looks like when a setting is wrong, by the controller model: the pictures of
//! `examples/bringup/`; `PAGELOOM_BLESS=1` draws them anew.

use super::shows::{TestScene, TestShow, bringup, bringup_of, compiled};
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

/// The same for displays of other families: the show of `examples/bringup`, and what may be wrong with its panel.
const FAMILIES: &[(&str, &[Mistake])] = &[
    (
        "portrait",
        &[
            ("right", |_| {}),
            ("columns-32", |panel| {
                (panel.wiring.first_column, panel.wiring.multiplex, panel.wiring.display_offset) = (32, 128, 0x60);
            }),
            ("display-offset-0", |panel| panel.wiring.display_offset = 0),
            ("segments-reversed", |panel| panel.wiring.segments_reversed ^= true),
            ("commons-reversed", |panel| panel.wiring.commons_reversed ^= true),
        ],
    ),
    (
        "wide",
        &[
            ("right", |_| {}),
            ("first-column-0", |panel| panel.wiring.first_column = 0),
            ("first-column-2", |panel| panel.wiring.first_column = 2),
        ],
    ),
    (
        "lcd",
        &[
            ("right", |_| {}),
            ("first-column-0", |panel| panel.wiring.first_column = 0),
            ("segments-reversed", |panel| panel.wiring.segments_reversed ^= true),
            ("commons-reversed", |panel| panel.wiring.commons_reversed ^= true),
            ("start-line-32", |panel| panel.wiring.start_line = 32),
        ],
    ),
    ("small-lcd", &[("right", |_| {})]),
];

/// The first scene of the bring-up show, made for `panel`.
fn edges(show: TestShow, panel: Panel) -> TestShow {
    let TestShow { mounting, write_limit, scenes, .. } = show;
    let first: Vec<TestScene> = scenes.into_iter().take(1).collect();
    compiled("edges", panel, mounting, write_limit, first)
}

/// What the real display shows of it.
fn seen(glass: &Panel, mounting: &Mounting, reel: &[u8]) -> Bitmap {
    let (mut display, mut player) = (Emulator::new(glass).at_address(reel[1]), Player::new(reel));
    while player.tick(&mut display, 0, 255) != Status::Idle {}
    display.as_mounted(mounting)
}

fn picture(mistake: fn(&mut Panel)) -> Bitmap {
    picture_of(bringup(), mistake)
}

fn picture_of(show: TestShow, mistake: fn(&mut Panel)) -> Bitmap {
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
    let usual = MISTAKES.iter().map(|(name, mistake)| (name.to_string(), picture(*mistake)));
    let of_family = |(family, mistakes): &(&'static str, &'static [Mistake])| {
        let family = *family;
        mistakes
            .iter()
            .map(move |(name, mistake)| (format!("{family}-{name}"), picture_of(bringup_of(family), *mistake)))
    };
    for (name, seen) in usual.chain(FAMILIES.iter().flat_map(of_family)) {
        let (path, wanted) = (folder.join(format!("{name}.png")), drawn(&seen));
        if bless {
            wanted.save(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        }
        let there = image::open(&path).map(|picture| picture.into_rgb8()).ok();
        if there.as_ref() != Some(&wanted) {
            differing.push(name);
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

#[test]
fn wrong_settings_of_other_families_can_be_told_apart() {
    for (family, mistakes) in FAMILIES {
        let pictures: Vec<Bitmap> =
            mistakes.iter().map(|(_, mistake)| picture_of(bringup_of(family), *mistake)).collect();
        assert_eq!(
            pictures[0],
            bringup_of(family).scenes[0].frames[0],
            "{family}: the right settings show what was drawn"
        );
        for (at, seen) in pictures.iter().enumerate() {
            assert!(pictures[..at].iter().all(|other| other != seen), "{family}: {}", mistakes[at].0);
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
    let families =
        FAMILIES.iter().flat_map(|(family, all)| all.iter().map(move |(name, _)| format!("{family}-{name}")));
    for name in MISTAKES.iter().map(|(name, _)| name.to_string()).chain(families) {
        assert!(text.contains(&format!("({name}.png)")), "README does not show {name}.png");
    }
}
