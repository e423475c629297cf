//! The page of layers, scenes/layers.md, and the gallery of scenes/README.md: both are generated from the tables that read the
//! scripts, with a picture of each example; `PAGELOOM_BLESS=1` rewrites them.

use pageloom::budget::{budgets, choose, compile};
use pageloom::diag::{Findings, Severity, render};
use pageloom::font::Font;
use pageloom::preview::{Events, Look, Shown, check_scenes, filmstrip, rehearse_events};
use pageloom::reel::Options;
use pageloom::render::draw;
use pageloom::show::{COMMON, Ease, FieldRow, KINDS, Kind, Mode, Show, load};
use pageloom::source::{Disk, Files, FilesInMemory, ReadError, Reader};
use pageloom::units::Nanoseconds;
use std::fs;
use std::path::Path;

const START: &str = "scenes/README.md";
const LAYERS: &str = "scenes/layers.md";
const PICTURES: &str = "scenes/manual";
const MARK: &str = "<!-- made by tests/root/manual.rs from here on -->\n";
/// Pictures of an example, and frames from one to the next at ten a second.
const STILLS: u32 = 6;
const STEP: u32 = 7;

struct Beside(FilesInMemory);

impl Files for Beside {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        self.0.read(path, limit).or_else(|_| Disk.read(path, limit))
    }
}

/// A layer that has no ink of its own, or takes ink away, is shown over a picture.
fn below(kind: &Kind) -> &'static str {
    let takes = kind.mode == Mode::Erase || kind.name == "Glitch";
    if takes {
        r#"Picture(picture: "lamp", at: Left, dither: Ordered), Text(text: "LAMP 3", font: "small", at: Right),"#
    } else {
        ""
    }
}

fn show(kind: &Kind) -> Show {
    let script = format!(
        r#"Show(name: "manual", frame_rate: 10, start: "only", panel: "0.42in-72x40-ssd1306",
            bus: I2c(clock: 400_000), microcontroller: "ATmega328P",
            fonts: {{"small": Shipped("cleat"), "large": Shipped("binnacle")}},
            pictures: {{"fern": "fern.png", "lamp": "lamp.png"}},
            scenes: [Scene(name: "only", seconds: 20, layers: [{} {}])])"#,
        below(kind),
        kind.example
    );
    let files = Beside(FilesInMemory::default().with("scenes/manual.ron", script));
    let mut reader = Reader::new(&files);
    let mut findings = Findings::default();
    let show = load(&mut reader, Path::new("scenes/manual.ron"), &mut findings);
    show.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)))
}

/// How long a picture of the manual stands.
fn stays(show: &Show) -> Nanoseconds {
    Nanoseconds(show.frame_rate().period().0 * u64::from(STEP))
}

fn picture(kind: &Kind) -> Vec<u8> {
    let show = show(kind);
    let still = |number: u32| Shown {
        picture: draw(&show, &show.scenes()[0], number * STEP),
        frames: STEP,
        stays: stays(&show),
        contrast: u8::MAX,
        changing: None,
        on: true,
        scene: kind.name.to_owned(),
    };
    let shown: Vec<Shown> = (0..STILLS).map(still).collect();
    filmstrip(&shown, &Look::plain([0xf0, 0xf6, 0xff], 2), &Font::shipped("thole"), &[]).expect("a PNG")
}

/// What the controller does to the display as a whole: title, words, a scene's fields.
const EFFECTS: [(&str, &str, &str); 3] = [
    (
        "Fade",
        "A moving contrast uses the contrast command of the controller: two bytes per frame. Brightness differs from panel to panel, and most still glow a little at contrast 0.",
        "contrast: Ramp(from: 255, to: 0, seconds: 3.5)",
    ),
    (
        "Inversion",
        "A rectangle over the whole view with `mode: Invert`. The compiler detects the inversion and sends one command instead of a picture. An inverted display is very bright: keep it slow.",
        "blink",
    ),
    (
        "Off",
        "`Off(from: …, until: …)` switches the display off for a time; `off: true` for the whole scene. While it is off it keeps its picture, draws almost no current, does not age, and receives no data. Layers and cues continue. The next scene switches it on again. `After(\"layer\")` can replace a number of seconds.",
        "off: [Off(from: 1, until: 2.5), Off(from: 3.4)]",
    ),
];

fn effect_scene(field: &str) -> String {
    let over = if field == "blink" {
        "\n    Rectangle(at: Centre, size: Full, fill: true, mode: Invert, blink: Blink(on: 0.7, off: 0.7)),"
    } else {
        ""
    };
    let field = if field == "blink" { String::new() } else { format!(" {field},") };
    format!(
        "Scene(name: \"dive\", seconds: 5,{field} layers: [\n    Text(text: \"DIVE 12\", font: \"large\", at: Centre(0, -5)),\n    \
         Bar(at: Centre(0, 8), size: (50, 6), value: Ramp(from: 0, to: 1, seconds: 4)),{over}\n])"
    )
}

/// What the display shows, played by the shipped player into the controller model.
fn effect_picture(field: &str) -> Vec<u8> {
    let script = format!(
        r#"Show(name: "manual", frame_rate: 10, start: "dive", panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000),
            microcontroller: "ATmega328P", fonts: {{"large": Shipped("binnacle")}}, scenes: [{}])"#,
        effect_scene(field)
    );
    let files = FilesInMemory::default().with("manual.ron", script);
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let show = load(&mut reader, Path::new("manual.ron"), &mut findings);
    let show = show.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)));
    let frames = pageloom::render::render(&show);
    let reel = compile(&show, &frames, &mut findings).expect("a reel");
    let events = Events { frames: STILLS * STEP, ..Events::default() };
    let played = rehearse_events(&show, &reel, &frames, &events, &mut findings).expect("played as drawn");
    let still =
        |number: u32| Shown { frames: STEP, stays: stays(&show), ..played.shown[(number * STEP) as usize].clone() };
    let shown: Vec<Shown> = (0..STILLS).map(still).collect();
    let look = Look::of(show.panel(), show.mounting(), Some(2));
    filmstrip(&shown, &look, &Font::shipped("thole"), &[]).expect("a PNG")
}

fn line(row: &FieldRow) -> String {
    let range = row.range.map_or(String::new(), |(lowest, highest)| format!(", {lowest} to {highest}"));
    let usual = row.usual.as_ref().map_or("required".to_owned(), |usual| format!("`{usual}`"));
    format!("| `{}` | {}{range} | {usual} | {} |\n", row.name, row.form, row.meaning)
}

fn page(kind: &Kind) -> String {
    let name = kind.name;
    let lower = name.to_lowercase();
    let usual_mode = if kind.mode == Mode::Erase { " By default it darkens pixels (`mode: Erase`)." } else { "" };
    let about = kind.about.trim();
    let example = kind.example;
    let rows: String = (kind.rows)().iter().map(line).collect();
    format!(
        "### {name}\n\n{about}{usual_mode}\n\n![{name}](manual/{lower}.png)\n\n```ron\n{example}\n```\n\n\
         | field | value | default | meaning |\n| --- | --- | --- | --- |\n{rows}\n"
    )
}

fn page_of_layers() -> String {
    let mut text = String::from(
        "# Layers\n\nEverything that can be drawn. This page is generated from the program. [Writing scripts](scripts.md) explains positions \
         and moving numbers.\n\n## Fields of all layers\n\n| field | value | default | meaning |\n| --- | --- | --- | --- |\n",
    );
    for (name, form, meaning, usual) in COMMON {
        text.push_str(&format!("| `{name}` | {form} | {usual} | {meaning} |\n"));
    }
    let words: Vec<String> = Ease::WORDS.iter().map(|(word, _)| format!("`{word}`")).collect();
    text.push_str(&format!("\nValues of `ease`: {}.\n\n## The whole display\n\n", words.join(", ")));
    for (title, words, field) in EFFECTS {
        let (picture, scene) = (title.to_lowercase(), effect_scene(field));
        text.push_str(&format!(
            "### {title}\n\n{words}\n\n![{title}](manual/{picture}.png)\n\n```ron\n{scene}\n```\n\n"
        ));
    }
    text.push_str("## The layers\n\n");
    text.extend(KINDS.iter().map(page));
    text
}

/// Each effect and layer as a picture that leads to its words.
fn gallery() -> String {
    let names = EFFECTS.iter().map(|effect| effect.0).chain(KINDS.iter().map(|kind| kind.name));
    let entry = |name: &str| {
        let lower = name.to_lowercase();
        format!("**{name}**<br>[![{name}](manual/{lower}.png)](layers.md#{lower})\n\n")
    };
    names.map(entry).collect()
}

/// Writes a page where that is asked for; whether it differs from what is there otherwise.
fn differs(path: &str, bytes: &[u8]) -> bool {
    if std::env::var_os("PAGELOOM_BLESS").is_some() {
        fs::write(path, bytes).expect("a writable folder");
    }
    fs::read(path).ok().as_deref() != Some(bytes)
}

#[test]
fn the_manual_shows_every_layer_as_it_is() {
    let start = fs::read_to_string(START).expect("the start page");
    let (head, _) = start.split_once(MARK).expect("the mark in the start page");
    let mut files = vec![
        (LAYERS.to_owned(), page_of_layers().into_bytes()),
        (START.to_owned(), format!("{head}{MARK}\n{}", gallery()).into_bytes()),
    ];
    let effects = EFFECTS.iter().map(|(title, _, field)| (*title, effect_picture(field)));
    let pictures = KINDS.iter().map(|kind| (kind.name, picture(kind))).chain(effects);
    files.extend(pictures.map(|(name, bytes)| (format!("{PICTURES}/{}.png", name.to_lowercase()), bytes)));
    let differing: Vec<&str> =
        files.iter().filter(|(path, bytes)| differs(path, bytes)).map(|(path, _)| path.as_str()).collect();
    assert!(differing.is_empty(), "PAGELOOM_BLESS=1 rewrites {}", differing.join(", "));
}

/// Each show is read, drawn, compiled, played by the shipped player into the controller model, and measured.
#[test]
fn every_show_of_the_folder_plays_as_drawn_and_keeps_every_budget() {
    let mut read = 0;
    for entry in fs::read_dir("scenes").expect("the folder").flatten() {
        let path = entry.path();
        if path.extension().is_none_or(|end| end != "ron") {
            continue;
        }
        let mut reader = Reader::new(&Disk);
        let mut findings = Findings::default();
        let show = load(&mut reader, &path, &mut findings);
        assert_eq!(findings.count(Severity::Warning), 0, "{}", render(&findings, &reader.sources, false));
        if let Some(show) = &show {
            let frames = pageloom::render::render(show);
            let choice = choose(Options::default(), show, &frames, &mut findings).expect("a reel");
            assert!(check_scenes(show, &choice.fitted.reel, &frames, &mut findings), "{}", path.display());
            budgets(show, &choice, &frames, None, &mut findings);
        }
        let told = render(&findings, &reader.sources, false);
        assert!(
            show.is_some() && !findings.any_error() && findings.count(Severity::Warning) == 0,
            "{}: {told}",
            path.display()
        );
        read += 1;
    }
    assert!(read >= 5, "{read} shows");
}
