//! How much more a scene costs than the sum of its layers, and how much a layer's place matters: each moving layer of the manual's
//! examples with each of a set of companions, on three panels, lean and dense; then each layer moved by one pixel.
//! Each pair also with the player's code counted once, as the compiler weighs it: parts that pay in no single scene pay in shows of many.
//! Flash is what is short: it is that of README's first show. RAM is that of the demo; for dense reels it is enough for a picture copy of
//! 128×64.
//! `SUPERPOSITION_QUICK=1 cargo bench --bench superposition` takes one panel and lean reels alone; `-- NAME` layers of that name.

use pageloom::budget::compile;
use pageloom::diag::Findings;
use pageloom::panel::{PlayerParts, player_costs};
use pageloom::reel::LONGEST_REEL;
use pageloom::render::{Bitmap, layer_ink, render};
use pageloom::show::{KINDS, Kind, Mode, Show, load};
use pageloom::source::{Disk, Files, FilesInMemory, ReadError, Reader};
use rayon::prelude::*;
use std::path::Path;

/// Panels of 72×40, 128×32 and 128×64 pixels.
const PANELS: [&str; 3] = ["0.42in-72x40-ssd1306", "0.91in-128x32-ssd1306", "0.96in-128x64-ssd1306"];
const PROFILES: [&str; 2] = ["Lean", "Dense"];
/// The part whose code is counted.
const PART: &str = "ATmega328P";
const QUICK: &str = "SUPERPOSITION_QUICK";

struct Beside(FilesInMemory);

impl Files for Beside {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        self.0.read(path, limit).or_else(|_| Disk.read(path, limit))
    }
}

fn script(panel: &str, profile: &str, layers: &str) -> String {
    let ram = if profile == "Dense" { 1_700 } else { 900 };
    format!(
        r#"Show(name: "pair", frame_rate: 10, start: "only", panel: "{panel}", profile: {profile},
            bus: I2c(clock: 400_000, write_limit: 32), microcontroller: Part(name: "ATmega328P", flash_left: 8_000, ram_left: {ram}),
            fonts: {{"small": Shipped("cleat"), "large": Shipped("binnacle")}},
            pictures: {{"fern": "fern.png", "lamp": "lamp.png"}},
            scenes: [Scene(name: "only", seconds: 20, layers: [{layers}])])"#
    )
}

fn drawn(panel: &str, profile: &str, layers: &str) -> (Show, Vec<Vec<Bitmap>>) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/scenes/pair.ron");
    let files = Beside(FilesInMemory::default().with(path, script(panel, profile, layers)));
    let mut findings = Findings::default();
    let show = load(&mut Reader::new(&files), Path::new(path), &mut findings);
    let show = show.unwrap_or_else(|| panic!("{layers}: {findings:?}"));
    let frames = render(&show);
    (show, frames)
}

/// What a scene takes of flash.
#[derive(Clone, Copy)]
struct Flash {
    reel: usize,
    /// Bytes that every reel of the panel has.
    head: usize,
    parts: PlayerParts,
}

impl Flash {
    fn of(panel: &str, profile: &str, layers: &str) -> Self {
        let (show, frames) = drawn(panel, profile, layers);
        // One beyond the player's reach counts as just beyond it.
        let beyond = Self { reel: LONGEST_REEL + 1, head: 0, parts: PlayerParts::NONE };
        compile(&show, &frames, &mut Findings::default()).map_or(beyond, |reel| {
            let head = reel.layout.header_bytes + reel.layout.set_up_bytes;
            Self { reel: reel.bytes.len(), head, parts: reel.parts }
        })
    }

    /// Both beside one another, with each part of the player once.
    fn with(self, other: Self) -> Self {
        let (one, more) = (self.parts, other.parts);
        let parts = PlayerParts {
            dense: one.dense || more.dense,
            film: one.film || more.film,
            beam: one.beam || more.beam,
            changes: one.changes || more.changes,
            grains: one.grains || more.grains,
            rolls: one.rolls || more.rolls,
            rounds: one.rounds || more.rounds,
            live: 0,
            history: 0,
            dims: false,
            areas: one.areas.max(more.areas),
            areas_alone: one.areas_alone && more.areas_alone,
        };
        Self { reel: self.reel + other.reel - self.head, head: self.head, parts }
    }

    /// The reel and the player's code.
    fn all(self) -> usize {
        let player = player_costs().iter().find(|row| row.part == PART).expect("a row for the part");
        self.reel + player.flash_with(self.parts).0 as usize
    }
}

/// A layer that has no ink of its own, or takes ink away, stands over a picture.
fn below(kind: &Kind) -> &'static str {
    let takes = kind.mode == Mode::Erase || kind.name == "Glitch";
    if takes { r#"Picture(picture: "lamp", at: Left, dither: Ordered), "# } else { "" }
}

/// The layer of a kind's example, if it moves, and the first row of the view that has its ink.
fn moving(panel: &str, kind: &Kind) -> Option<(String, i32)> {
    let layers = format!("{}{},", below(kind), kind.example);
    let (show, frames) = drawn(panel, "Lean", &layers);
    if frames[0].windows(2).all(|pair| pair[0] == pair[1]) {
        return None;
    }
    let scene = &show.scenes()[0];
    let inks = (0..scene.frames.0).filter_map(|frame| layer_ink(&show, scene.layers.last()?, frame));
    let top = inks.flat_map(|ink| ink.inside.lit_pixels().map(|(_, y)| y).min()).min();
    Some((layers, top.unwrap_or(0)))
}

/// What stands or moves beside a layer.
fn companions(layers: &str, top: i32) -> [(&'static str, String); 7] {
    [
        ("still word", format!(r#"Text(text: "HULL", font: "small", at: TopLeft(2, {top})),"#)),
        (
            "blinking",
            format!(r#"Text(text: "OK", font: "small", at: TopRight(-2, {top}), blink: Blink(on: 0.3, off: 0.4)),"#),
        ),
        ("bar", "Bar(at: BottomLeft(1, -1), size: (30, 4), value: Swing(from: 0.1, to: 0.9, seconds: 2.6)),".into()),
        (
            "marquee",
            format!(
                r#"Marquee(text: "ALL HATCHES SHUT", font: "small", at: TopLeft(0, {top}), width: 40, columns_a_second: 10),"#
            ),
        ),
        ("sweep", "Sweep(at: BottomRight(-14, -14), radius: 12, seconds_a_turn: 4),".into()),
        ("stripes", "Stripes(at: BottomLeft, size: (40, 9), width: 4, pixels_a_second: 10),".into()),
        ("shifted", format!("Group(x: 1, y: 1, layers: [{layers}]),")),
    ]
}

/// A ratio with what it is of.
type Ratio = (f64, String);

/// For each pair the ratio of the reels, and of all flash.
fn pairs(panel: &str, profile: &str, words: &[String]) -> Vec<[Ratio; 2]> {
    let wanted = |kind: &&Kind| words.is_empty() || words.iter().any(|word| kind.name.contains(word.as_str()));
    let layers: Vec<(&str, String, i32)> = KINDS
        .iter()
        .filter(wanted)
        .filter_map(|kind| moving(panel, kind).map(|(layers, top)| (kind.name, layers, top)))
        .collect();
    let ratios = |(name, layers, top): &(&str, String, i32)| {
        let alone = Flash::of(panel, profile, layers);
        let ratios = companions(layers, *top).into_iter().map(|(other, more)| {
            let companion = Flash::of(panel, profile, &more);
            let (both, sum) = (Flash::of(panel, profile, &format!("{layers} {more}")), alone.with(companion));
            let words = format!(
                "{name} with {other} on {panel}, {profile}: {} B, alone {} and {} B",
                both.reel, alone.reel, companion.reel
            );
            let ratio = |both: usize, sum: usize| (both as f64 / sum as f64, words.clone());
            [ratio(both.reel, sum.reel), ratio(both.all(), sum.all())]
        });
        ratios.collect::<Vec<[Ratio; 2]>>()
    };
    layers.par_iter().flat_map(ratios).collect()
}

/// Each layer in its place and moved by one pixel in each direction: the largest reel to the smallest.
fn moves(panel: &str, profile: &str, words: &[String]) -> Vec<Ratio> {
    let wanted = |kind: &&Kind| words.is_empty() || words.iter().any(|word| kind.name.contains(word.as_str()));
    let layers: Vec<(&str, String)> = KINDS
        .iter()
        .filter(wanted)
        .filter_map(|kind| moving(panel, kind).map(|(layers, _)| (kind.name, layers)))
        .collect();
    let ratio = |(name, layers): &(&str, String)| {
        let moved =
            |(x, y): (i32, i32)| Flash::of(panel, profile, &format!("Group(x: {x}, y: {y}, layers: [{layers}]),")).reel;
        let all: Vec<usize> = [(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)].into_iter().map(moved).collect();
        let (least, most) = (all.iter().min().copied().unwrap_or(1), all.iter().max().copied().unwrap_or(1));
        (most as f64 / least as f64, format!("{name} moved by a pixel on {panel}, {profile}: {all:?} B"))
    };
    layers.par_iter().map(ratio).collect()
}

fn mean_and_worst(ratios: &[Ratio]) -> (f64, f64) {
    let sum: f64 = ratios.iter().map(|ratio| ratio.0).sum();
    (sum / ratios.len().max(1) as f64, ratios.iter().map(|ratio| ratio.0).fold(0.0, f64::max))
}

/// How many of the worst are shown.
const SHOWN: usize = 12;

fn shown(title: &str, mut ratios: Vec<Ratio>) -> (f64, f64) {
    let (mean, worst) = mean_and_worst(&ratios);
    println!("{title}: mean {mean:.2}, worst {worst:.2}, {} of them", ratios.len());
    ratios.sort_by(|one, other| other.0.total_cmp(&one.0));
    ratios.iter().take(SHOWN).for_each(|(ratio, words)| println!("  {ratio:.2} {words}"));
    (mean, worst)
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let quick = std::env::var_os(QUICK).is_some();
    let panels = if quick { &PANELS[..1] } else { &PANELS[..] };
    let profiles = if quick { &PROFILES[..1] } else { &PROFILES[..] };
    let mut last = String::from("superposition");
    for profile in profiles {
        let pairs: Vec<[Ratio; 2]> = panels.iter().flat_map(|panel| pairs(panel, profile, &words)).collect();
        let (reels, all): (Vec<Ratio>, Vec<Ratio>) = pairs.into_iter().map(|[reel, all]| (reel, all)).unzip();
        let (mean, worst) = shown(&format!("{profile} pairs, reels to the sum of both"), reels);
        shown(&format!("{profile} pairs, reels and code to the sum of both"), all);
        let moves = panels.iter().flat_map(|panel| moves(panel, profile, &words)).collect();
        shown(&format!("{profile} one-pixel moves"), moves);
        last += &format!(" {} mean {mean:.2} worst {worst:.2}", profile.to_lowercase());
    }
    println!("{last}");
}
