//! Random and mutated shows through the whole way, from the script to what the panel shows: each is built, and shows what was
//! drawn, or is refused with a finding; none ends the program or is called a fault of ours. Shows that once broke something stay
//! in `tests/cases/shows`.

use super::chance::{Chance, NUMBERS, seeds};
use super::readers::Beside;
use pageloom::budget::{budgets, choose};
use pageloom::diag::{Findings, render as told};
use pageloom::panel::panels;
use pageloom::preview::{check_scenes, rehearse};
use pageloom::reel::{Options, every_dense_reel};
use pageloom::render::render;
use pageloom::show::{KINDS, load};
use pageloom::source::{FilesInMemory, Reader};
use std::path::Path;
use std::time::{Duration, Instant};

/// Where a script is taken to be, beside the pictures and fonts of the demo.
const PLACE: &str = "scenes/tried.ron";

/// Builds a show; whether something came of it.
fn build(script: &str) -> bool {
    let files = Beside(FilesInMemory::default().with(PLACE, script));
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let made = load(&mut reader, Path::new(PLACE), &mut findings).and_then(|show| {
        let frames = render(&show);
        let options = Options { quickly: true, done: &|_| {} };
        let choice = choose(options, &show, &frames, &mut findings)?;
        budgets(&show, &choice, &frames, None, &mut findings);
        let reel = &choice.fitted.reel;
        let same = check_scenes(&show, reel, &frames, &mut findings);
        rehearse(&show, reel, &frames, &mut findings).filter(|_| same)
    });
    let words = told(&findings, &reader.sources, false);
    assert!(!words.contains("bug in pageloom"), "{words}");
    assert!(made.is_some() || findings.any_error(), "nothing came of it and nothing was said");
    made.is_some()
}

/// Tries shows; one that ends the test is left in `target/fuzz`.
fn try_shows(kind: &str, count: u64, act: fn(&str) -> bool, script: impl Fn(&mut Chance) -> String) {
    let (mut tried, mut built, mut longest) = (0, 0, (Duration::ZERO, 0));
    for seed in seeds(count) {
        let script = script(&mut Chance::of(seed));
        let from = Instant::now();
        match std::panic::catch_unwind(|| act(&script)) {
            Ok(was_built) => built += u32::from(was_built),
            Err(why) => {
                std::fs::create_dir_all("target/fuzz").expect("a folder");
                std::fs::write(format!("target/fuzz/{kind}-{seed}.ron"), script).expect("written");
                std::panic::resume_unwind(why);
            }
        }
        longest = longest.max((from.elapsed(), seed));
        tried += 1;
    }
    assert!(built > 0);
    println!("{kind}: {tried} shows, {built} built; the longest took {:?}, seed {}", longest.0, longest.1);
}

/// The text with one of its numbers replaced: by an awkward one, or by one near it.
fn with_number(text: &str, chance: &mut Chance) -> String {
    let is_digit = |at: usize| text.as_bytes().get(at).is_some_and(u8::is_ascii_digit);
    let starts: Vec<usize> = (0..text.len()).filter(|at| is_digit(*at) && (*at == 0 || !is_digit(at - 1))).collect();
    let Some(start) = starts.get(chance.below(starts.len())).copied() else { return text.to_owned() };
    let end = (start..text.len()).find(|at| !is_digit(*at)).unwrap_or(text.len());
    let new = match (chance.below(3), text[start..end].parse::<u32>()) {
        (0, Ok(number)) => (number + chance.below(5) as u32).saturating_sub(2).to_string(),
        (1, Ok(number)) => chance.below(2 * number as usize + 1).to_string(),
        _ => chance.pick(NUMBERS).to_owned(),
    };
    format!("{}{new}{}", &text[..start], &text[end..])
}

/// A show on any panel, of scenes with a few layers of any kind, as their examples have them but for a number here and there.
fn random(chance: &mut Chance) -> String {
    let panel = &panels()[chance.below(panels().len())];
    let turn = chance.pick(&["Upright", "Half", "Left", "Right"]).to_owned();
    let write_limit = 16 + chance.below(64);
    let names = ["one", "two", "three"];
    let scenes: String = (0..=chance.below(3)).map(|number| scene(names[number], chance)).collect();
    format!(
        "Show(\n    name: \"tried\", start: \"one\", panel: \"{}\", mounting: Mounting(turn: {turn}),\n    bus: I2c(clock: 400_000, \
         write_limit: {write_limit}),\n    microcontroller: \"ATmega328P\", frame_rate: {},\n    fonts: {{\"small\": \
         Shipped(\"cleat\"), \"large\": Shipped(\"binnacle\")}},\n    pictures: {{\"fern\": \"fern.png\", \"lamp\": \"lamp.png\"}},\n    \
         triggers: {{\"bell\": Go(\"one\")}},\n    scenes: [\n{scenes}    ],\n)\n",
        panel.name,
        4 + chance.below(21),
    )
}

fn scene(name: &str, chance: &mut Chance) -> String {
    let layer = |chance: &mut Chance| {
        let example = KINDS[chance.below(KINDS.len())].example.to_owned();
        let changes = chance.below(3);
        (0..changes).fold(example, |layer, _| with_number(&layer, chance))
    };
    let mut layers: Vec<String> = (0..=chance.below(4)).map(|_| format!("            {},\n", layer(chance))).collect();
    if chance.below(3) == 0 {
        let live = live_layer(name, chance);
        layers.insert(chance.below(layers.len() + 1), format!("            {live},\n"));
    }
    let layers = layers.concat();
    let (seconds, then) = (1 + chance.below(4), chance.pick(&["Hold", "Repeat", "Go(\"one\")"]).to_owned());
    format!("        Scene(name: \"{name}\", seconds: {seconds}, then: {then}, layers: [\n{layers}        ]),\n")
}

/// The script with a few lines, words or numbers changed, doubled, moved or taken away.
fn mutated(script: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<String> = script.lines().map(str::to_owned).collect();
    for _ in 0..=chance.below(3) {
        let (at, other) = (chance.below(lines.len()), chance.below(lines.len()));
        match chance.below(8) {
            0 => drop(lines.remove(at)),
            1 => lines.insert(other, lines[at].clone()),
            2 => lines.swap(at, other),
            3 => {
                let (word, new) = (word(&lines[at], chance), word(&lines[other], chance));
                lines[at] = lines[at].replacen(&word, &new, 1);
            }
            _ => lines[at] = with_number(&lines[at], chance),
        }
        if lines.is_empty() {
            lines.push(String::new());
        }
    }
    lines.join("\n")
}

fn word(line: &str, chance: &mut Chance) -> String {
    let words: Vec<&str> =
        line.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    words.get(chance.below(words.len())).copied().unwrap_or("Show").to_owned()
}

/// Compiles a show to dense reels and films in every way; returns whether there was one. Each shows what was drawn.
fn divide(script: &str) -> bool {
    let files = Beside(FilesInMemory::default().with(PLACE, script));
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let Some(show) = load(&mut reader, Path::new(PLACE), &mut findings) else { return false };
    let frames = render(&show);
    let reels = every_dense_reel(&show, &frames);
    for reel in &reels {
        let same = check_scenes(&show, reel, &frames, &mut findings);
        assert!(same, "{:?}: {}", reel.parts, told(&findings, &reader.sources, false));
    }
    !reels.is_empty()
}

#[test]
fn random_shows_look_as_drawn_however_they_are_divided() {
    try_shows("divided", 60, divide, random);
}

/// A layer that follows a live value.
fn live_layer(scene: &str, chance: &mut Chance) -> String {
    let place = format!(
        "at: ({}, {}), mode: {}",
        chance.below(30),
        chance.below(20),
        chance.pick(&["Paint", "Erase", "Invert"])
    );
    let value = format!(
        "Live(name: \"level {scene}\", from: 0, to: 20, steps: {}, samples: [(0, 0), (1, 20)])",
        chance.below(20) + 1
    );
    match chance.below(4) {
        0 => format!("Bar({place}, size: (20, 5), value: {value})"),
        1 => format!(
            "LiveText(name: \"call {scene}\", {place}, font: \"small\", characters: \"AB1\", width: 3, samples: [(0.5, \"A1\")])"
        ),
        2 => format!("Chart({place}, size: (20, 9), columns_a_second: 4, signal: {value})"),
        _ => format!("Rectangle(at: ({value}, 3), size: (5, 4), fill: true)"),
    }
}

#[test]
fn random_shows_are_built_as_drawn_or_refused() {
    try_shows("random", 150, build, random);
}

#[test]
fn mutated_shows_are_built_as_drawn_or_refused() {
    let scripts =
        ["scenes/bringup.ron", "scenes/cabin.ron", "tests/cases/good/fields.ron", "tests/cases/good/fields-share.ron"];
    let scripts = scripts.map(|path| std::fs::read_to_string(path).expect(path).replace("../../../fonts", "../fonts"));
    try_shows("mutated", 150, build, |chance| mutated(&scripts[chance.below(scripts.len())], chance));
}

#[test]
fn shows_that_once_broke_something_are_built_or_refused() {
    let mut paths: Vec<_> = std::fs::read_dir("tests/cases/shows").expect("the cases").flatten().collect();
    paths.sort_by_key(std::fs::DirEntry::path);
    assert!(!paths.is_empty());
    for path in paths {
        build(&std::fs::read_to_string(path.path()).expect("text"));
    }
}
