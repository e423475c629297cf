//! Shows drawn by lot, whose layers and places nobody tuned anything to.

use pageloom::diag::Findings;
use pageloom::show::{Show, load};
use pageloom::source::{Disk, Files, FilesInMemory, Reader};
use std::path::Path;

/// Panels that a random show may have, with their sizes.
const PANELS: [(&str, u32, u32); 4] = [
    ("0.42in-72x40-ssd1306", 72, 40),
    ("0.91in-128x32-ssd1306", 128, 32),
    ("0.96in-128x64-ssd1306", 128, 64),
    ("1.3in-128x64-sh1106", 128, 64),
];
const WORDS: [&str; 8] = ["ALPHA 1", "TRIM OK", "7.4 V", "HULL", "STATION", "DEPTH 44", "LOG", "NO. 9"];

/// A linear congruential generator with the constants of Knuth's MMIX.
pub struct Lot(u64);

impl Lot {
    /// The lots of a seed.
    pub fn new(seed: u64) -> Self {
        let mut lot = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66);
        lot.below(2);
        lot
    }
    /// A number from 0 to `end` less one.
    pub fn below(&mut self, end: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % u64::from(end.max(1))) as u32
    }
}

/// A layer that moves or stays, for a panel of this size.
fn layer(lot: &mut Lot, (width, height): (u32, u32)) -> String {
    let (x, y) = (lot.below(width * 2 / 3), lot.below(height * 2 / 3));
    let word = WORDS[lot.below(8) as usize];
    let radius = 6 + lot.below(height / 2 - 6);
    let speed = 4 + lot.below(16);
    let seconds = 1 + lot.below(3);
    match lot.below(16) {
        0 => format!("Text(text: \"{word}\", font: \"small\", at: ({x}, {y}), blink: Blink(on: 0.4, off: 0.3))"),
        1 => format!("Typed(text: \"{word}\", font: \"small\", at: ({x}, {y}), letters_a_second: {speed})"),
        2 => format!(
            "Roll(text: [\"{word}\", \"CELLS 7.4V\", \"HULL 44 BAR\", \"READY\"], font: \"small\", at: Top, size: ({width}, {}), \
             rows_a_second: {speed})",
            height - lot.below(height / 2)
        ),
        3 => format!(
            "Marquee(text: \"ALL {word} STATIONS\", font: \"small\", at: (0, {y}), width: {width}, columns_a_second: {speed})"
        ),
        4 => format!(
            "Counter(value: Ramp(from: 0, to: 318, seconds: {seconds}), digits: 4, font: \"large\", at: ({x}, {y}))"
        ),
        5 => format!("Line(start: (0, {y}), end: (Ramp(from: 0, to: {}, seconds: {seconds}), {x}))", width - 1),
        6 => format!("Border(stroke: 2, dash: 4, gap: 4, pixels_a_second: {speed})"),
        7 => format!("Stripes(at: (0, {y}), size: ({width}, 9), width: 5, pixels_a_second: {speed})"),
        8 => format!("Bar(at: ({x}, {y}), size: (24, 5), value: Ramp(from: 0, to: 1, seconds: {seconds}))"),
        9 => format!(
            "Dial(at: Centre, radius: {radius}, value: Swing(from: 0.1, to: 0.9, seconds: {seconds}), ticks: 7)"
        ),
        10 => format!(
            "Chart(at: Centre, size: (40, 20), signal: Beat(seconds: 1.2), columns_a_second: {speed}, filled: true)"
        ),
        11 | 12 => format!("Sweep(at: Centre, radius: {radius}, seconds_a_turn: {}, trail_degrees: 90)", seconds + 1),
        13 => format!("Stars(count: 30, pixels_a_second: {speed}, towards: Left, seed: {x})"),
        14 => format!("Noise(share: 0.3, times_a_second: 10, seed: {x})"),
        _ => format!("Iris(at: Centre, radius: Ramp(from: 0, to: {radius}, seconds: {seconds}))"),
    }
}

/// A show of one scene with one to three layers, and one sentence on what it is.
pub fn random_show(seed: u64, bus: &str, frame_rate: u32) -> (Show, String) {
    let mut lot = Lot::new(seed);
    let (panel, width, height) = PANELS[lot.below(4) as usize];
    let layers: Vec<String> = (0..=lot.below(3)).map(|_| layer(&mut lot, (width, height))).collect();
    let script = format!(
        "Show(name: \"random\", panel: \"{panel}\", bus: {bus},\n\
         microcontroller: Part(name: \"ATmega328P\", flash_left: 30_000, ram_left: 1_900), frame_rate: {frame_rate},\n\
         fonts: {{\"small\": Shipped(\"cleat\"), \"large\": Shipped(\"thole\")}}, start: \"all\",\n\
         scenes: [Scene(name: \"all\", seconds: 2, then: Repeat, layers: [\n    {},\n])])",
        layers.join(",\n    ")
    );
    (load_script(&script), format!("{panel}: {}", layers.join(", ")))
}

fn load_script(script: &str) -> Show {
    let (files, mut findings) = (FilesInMemory::default().with("show.ron", script.to_owned()), Findings::default());
    let files: &dyn Files = &files;
    let show = load(&mut Reader::new(files), Path::new("show.ron"), &mut findings);
    show.unwrap_or_else(|| panic!("{script}\n{findings:?}"))
}

/// A show of the project's scenes.
pub fn project_show(path: &str) -> Show {
    let mut findings = Findings::default();
    let show = load(&mut Reader::new(&Disk), &super::tools::root().join("scenes").join(path), &mut findings);
    show.unwrap_or_else(|| panic!("{path} has faults: {findings:?}"))
}
