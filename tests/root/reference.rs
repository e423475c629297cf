//! The reference held against the readers: which fields there are, which of them are required, their ranges, and the examples.

use pageloom::diag::{Finding, Findings, Place, render};
use pageloom::font::Font;
use pageloom::preview::Events;
use pageloom::show::{Construction, KINDS, Show, construction, construction_names, constructions, load};
use pageloom::source::{Disk, Files, FilesInMemory, ReadError, Reader};
use std::path::Path;

/// Files in memory before those on disk.
struct Beside(FilesInMemory);

impl Files for Beside {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        self.0.read(path, limit).or_else(|_| Disk.read(path, limit))
    }
}

const SCENES: &str =
    r#"[Scene(name: "boot", dark: true, cues: [Cue(name: "chirp")]), Scene(name: "alert", dark: true)]"#;
const CELL: &str = "cell: Cell(milliampere_hours: 500)";

/// A show with something in a field of its own.
fn show_with(field: &str, value: &str) -> String {
    let usual = [
        ("name", "\"reference\""),
        ("panel", "\"0.42in-72x40-ssd1306\""),
        ("bus", "I2c(clock: 400_000)"),
        ("microcontroller", "\"ATmega328P\""),
        ("frame_rate", "20"),
        ("start", "\"boot\""),
        ("fonts", r#"{"small": Shipped("cleat"), "large": Shipped("binnacle")}"#),
        ("pictures", r#"{"fern": "fern.png", "lamp": "lamp.png"}"#),
        ("cues", r#"["chirp"]"#),
        ("triggers", r#"{"leak": Go("alert")}"#),
        ("scenes", SCENES),
    ];
    let kept = usual.iter().filter(|(name, _)| *name != field).map(|(name, value)| format!("{name}: {value}, "));
    format!("Show({}{field}: {value})", kept.collect::<String>())
}

/// A show whose first scene has something among its fields.
fn scene_with(fields: &str) -> String {
    let scene = format!(r#"[Scene(name: "boot", seconds: 4, {fields}), Scene(name: "alert", dark: true)]"#);
    show_with("scenes", &scene)
}

/// The script in which a construct stands where it may.
fn script(name: &str, text: &str) -> String {
    let layer = |layer: String| scene_with(&format!("layers: [{layer}]"));
    match name {
        "Show" => text.to_owned(),
        "Go" | "Back" | "Ignore" => show_with("triggers", &format!("{{\"leak\": {text}}}")),
        "Set" | "Count" | "By" => {
            let (does, contrast) = if name == "By" { ("Set(\"light\", \"night\")", text) } else { (text, "200") };
            let modes = r#"modes: {"light": ["day", "night"]}"#;
            show_with("triggers", &format!("{{\"leak\": {does}}}, {modes}")).replacen(
                "dark: true",
                &format!("dark: true, contrast: {contrast}"),
                1,
            )
        }
        "Hold" | "Repeat" => scene_with(&format!("dark: true, then: {text}")),
        "After" => {
            let log = r#"Typed(name: "log", text: "HELM", font: "small", at: Centre, letters_a_second: 10)"#;
            layer(format!("{log}, Border(from: {text})"))
        }
        "Centre" => layer(text.to_owned()),
        "Percent" => layer(format!("Rectangle(at: Centre, size: ({text}, 8))")),
        "Shipped" => show_with("fonts", &format!("{{\"small\": {text}}}")),
        "File" => layer(format!("Text(text: {text}, font: \"small\", at: Centre)")),
        "Include" => show_with("scenes", &format!("[{text}, Scene(name: \"boot\", dark: true)]")),
        "Template" | "Given" | "Needed" | "Use" => {
            let gauge = construction("Template").expect("known").example;
            let used = construction("Use").expect("known").example;
            assert!(gauge.contains(text) || used == text, "{text}");
            layer(used.to_owned()).replacen("Show(", &format!("Show(templates: {{\"gauge\": {gauge}}}, "), 1)
        }
        "Panel" => show_with("panel", text),
        "Mounting" => show_with("mounting", text),
        "I2c" | "Spi" => show_with("bus", text),
        "Part" => show_with("microcontroller", text),
        "Power" => show_with("power", text),
        "Trigger" => show_with("triggers", &format!("{{\"leak\": {text}}}")),
        "Below" | "Above" => {
            let live = |name: &str| {
                format!(
                    "Circle(at: Centre, radius: Live(name: \"{name}\", from: 0, to: 400, steps: 9, low: 1, high: 9))"
                )
            };
            let scene = format!(
                "[Scene(name: \"boot\", seconds: 4, layers: [{}, {}]), Scene(name: \"alert\", dark: true)]",
                live("cell"),
                live("depth")
            );
            show_with("scenes", &format!("{scene}, thresholds: [{text}]"))
                .replace(r#""leak": Go"#, r#""low": Ignore, "deep": Go"#)
        }
        "Lamp" => show_with("lamps", &format!("{{\"beacon\": {text}}}")),
        "Photo" => show_with("photos", &format!("[{text}]")),
        "Frames" => show_with("pictures", &format!("{{\"lamp\": {text}}}")),
        "Millimetres" | "Pixels" => show_with("mounting", &format!("Mounting(opening: {text})")),
        "Device" => show_with("bus", &format!("I2c(clock: 400_000, others: [{text}])")),
        "Cell" => show_with("power", &format!("Power(cell: {text})")),
        "Linear" | "Switching" => show_with("power", &format!("Power({CELL}, regulator: {text})")),
        "Draw" => show_with("power", &format!("Power({CELL}, microcontroller: {text})")),
        "Load" => show_with("power", &format!("Power({CELL}, loads: [{text}])")),
        "Scene" => show_with("scenes", &format!("[{text}, Scene(name: \"alert\", dark: true)]")),
        "Cue" => scene_with(&format!("dark: true, cues: [{text}]")),
        "Off" => scene_with(&format!("off: [{text}]")),
        "Field" => scene_with(&format!("fields: [{text}]")),
        "Blink" => layer(format!("Border(blink: {text})")),
        "Window" | "Disc" => layer(format!("Border(clip: {text})")),
        "Echo" => layer(format!("Sweep(at: Centre, radius: 18, echoes: [{text}])")),
        "Ramp" | "Swing" | "Random" | "Keys" | "Live" | "InOut" => layer(format!("Circle(at: Centre, radius: {text})")),
        "Sine" | "Square" | "Triangle" | "Saw" | "Beat" | "Wander" | "Data" => {
            layer(format!("Chart(at: Centre, size: (40, 20), signal: {text})"))
        }
        _ if KINDS.iter().any(|kind| kind.name == name) => layer(text.to_owned()),
        _ => panic!("where does {name} stand?"),
    }
}

/// What is found in a construct, and whether it was read.
fn read(name: &str, text: &str) -> (Vec<Finding>, bool, String) {
    let mut sheet = std::io::Cursor::new(Vec::new());
    // Eight cells in two rows, as the font file's example has them; nothing is drawn in them yet.
    image::RgbaImage::new(24, 10).write_to(&mut sheet, image::ImageFormat::Png).expect("memory can be written");
    let memory = FilesInMemory::default()
        .with("scenes/tide.csv", "level\n1\n2\n")
        .with("scenes/small.png", sheet.into_inner())
        .with("scenes/log.txt", "HELM\n")
        .with("scenes/alert.ron", "[Scene(name: \"alert\", dark: true)]")
        .with(
            "scenes/made",
            match name {
                "Font" | "Events" => text.to_owned(),
                "Value" => format!("Events(triggers: [], live: [{text}])"),
                _ => script(name, text),
            },
        );
    let files = Beside(memory);
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let path = Path::new("scenes/made");
    let read = match name {
        "Font" => Font::load(&mut reader, path, Place::Nowhere, &mut findings).is_some(),
        "Events" | "Value" => Events::load(&mut reader, path, &plain_show(), &mut findings).is_some(),
        _ => load(&mut reader, path, &mut findings).is_some(),
    };
    let told = render(&findings, &reader.sources, false);
    (findings.iter().cloned().collect(), read, told)
}

fn plain_show() -> Show {
    let level = "Bar(at: Centre, size: (40, 5), value: Live(name: \"level\", from: 0, to: 100, steps: 9))";
    let files = Beside(FilesInMemory::default().with("scenes/made", scene_with(&format!("layers: [{level}]"))));
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let show = load(&mut reader, Path::new("scenes/made"), &mut findings);
    show.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)))
}

fn all() -> Vec<Construction> {
    construction_names().into_iter().map(|name| construction(name).expect("a construct of this name")).collect()
}

/// The constructs with fields. Templates are read where they are used, which the tests of templates check.
fn with_fields() -> impl Iterator<Item = Construction> {
    all().into_iter().filter(|construct| !construct.fields.is_empty() && !["Template", "Use"].contains(&construct.name))
}

/// The words that a text holds.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_ascii_alphanumeric())
}

/// Each capitalised word in quotes in the sources of the readers, which is what they look for in a script, is explained.
#[test]
fn no_reader_knows_a_word_that_the_reference_lacks() {
    /// Read from scripts nowhere: a part of a sentence, or a number's name.
    const OTHERS: &[&str] = &["NaN", "None"];
    let mut known: std::collections::BTreeSet<String> = OTHERS.iter().map(|word| (*word).to_owned()).collect();
    for Construction { name, about, example, fields } in all() {
        let texts = [name, about, example].into_iter().map(str::to_owned);
        let rows = fields
            .iter()
            .flat_map(|row| [row.form.to_owned(), row.meaning.to_owned(), row.usual.clone().unwrap_or_default()]);
        for text in texts.chain(rows) {
            known.extend(words(&text).map(str::to_owned));
        }
    }
    // Easings are made of a curve and its slow end.
    let ends = ["In", "Out", "InOut"];
    let explained = |word: &str| {
        known.contains(word) || ends.iter().any(|end| word.strip_suffix(end).is_some_and(|curve| known.contains(curve)))
    };
    let mut seen = 0;
    for path in reader_sources() {
        let source = std::fs::read_to_string(&path).expect("a source");
        let code = source.split("#[cfg(test)]").next().unwrap_or_default();
        for line in code.lines().filter(|line| !line.trim_start().starts_with("//")) {
            for word in line.split('"').skip(1).step_by(2).filter(|word| is_name(word)) {
                assert!(explained(word), "{word} of {} is not in src/show/reference", path.display());
                seen += 1;
            }
        }
    }
    assert!(seen > 150, "only {seen} words");
}

fn is_name(word: &str) -> bool {
    let mut letters = word.chars();
    letters.next().is_some_and(|first| first.is_ascii_uppercase())
        && word.chars().all(|letter| letter.is_ascii_alphanumeric())
        && letters.any(|letter| letter.is_ascii_lowercase())
}

/// The files that look for names in scripts, font files and lists of events.
fn reader_sources() -> Vec<std::path::PathBuf> {
    let mut files: Vec<std::path::PathBuf> =
        ["src/show/load.rs", "src/font/describe.rs", "src/font/row.rs", "src/preview/events.rs"].map(Into::into).into();
    for folder in ["src/show/read", "src/show/expand", "src/show/layers"] {
        let entries = std::fs::read_dir(folder).expect("a folder");
        files.extend(entries.map(|entry| entry.expect("readable").path()));
    }
    files
}

/// The reader lists its fields when it meets one that it does not know.
#[test]
fn the_fields_are_those_that_the_readers_take() {
    for Construction { name, example, fields, .. } in with_fields() {
        let text = example.replacen(&format!("{name}("), &format!("{name}(zzz: 0, "), 1);
        let (findings, _, told) = read(name, &text);
        let unknown = findings.iter().find(|finding| finding.message == format!("{name} has no field `zzz`"));
        let unknown = unknown.unwrap_or_else(|| panic!("{name} takes any field:\n{told}"));
        let list = unknown.hints[0].strip_prefix("the fields are: ").expect("a list of the fields");
        let mut taken: Vec<&str> = list.split(", ").collect();
        let mut known: Vec<&str> = fields.iter().map(|row| row.name).collect();
        taken.sort_unstable();
        known.sort_unstable();
        taken.dedup();
        assert_eq!(known, taken, "{name}");
    }
}

#[test]
fn fields_without_a_default_are_those_that_the_readers_require() {
    for Construction { name, fields, .. } in with_fields() {
        let (findings, ..) = read(name, &format!("{name}(zzz: 0)"));
        for row in &fields {
            let message = format!("the field `{}` of {name} is required", row.name);
            let required = findings.iter().any(|finding| finding.message == message);
            assert_eq!(required, row.usual.is_none(), "{} of {name}", row.name);
        }
    }
}

#[test]
fn ranges_are_those_that_the_readers_name() {
    let mut seen = 0;
    for Construction { name, fields, .. } in constructions() {
        for row in &fields {
            let Some((lowest, highest)) = row.range else { continue };
            let rest = match name {
                "Events" => ", triggers: []",
                "Value" => r#", name: "level", value: 4"#,
                _ => "",
            };
            let (findings, _, told) = read(name, &format!("{name}({}: 1e9{rest})", row.name));
            let range = format!("from {lowest} to {highest}");
            let field = format!("`{}`", row.name);
            let named = findings.iter().any(|it| it.message.contains(&field) && it.message.contains(&range));
            assert!(named, "{} of {name}: {range}\n{told}", row.name);
            seen += 1;
        }
    }
    assert!(seen > 40, "{seen} ranges");
}

#[test]
fn every_example_is_read_without_a_fault() {
    for Construction { name, example, .. } in constructions() {
        let (_, read, told) = read(name, example);
        assert!(read, "{name}:\n{told}");
    }
}

const PAGE: &str = "scenes/reference.md";

fn page() -> String {
    let mut text = String::from(
        "# Reference\n\nEverything that a script, a font file or an event list can contain, with all fields. `pageloom help-on NAME` prints \
         the same in the terminal. This page is generated, and a test checks it against the program. The layers have their own page: \
         [Layers](layers.md).\n",
    );
    for Construction { name, about, example, fields } in constructions() {
        text.push_str(&format!("\n## {name}\n\n{about}\n\n```ron\n{example}\n```\n"));
        text.push_str(if fields.is_empty() {
            ""
        } else {
            "\n| field | value | default | meaning |\n| --- | --- | --- | --- |\n"
        });
        for row in fields {
            let range = row.range.map_or(String::new(), |(lowest, highest)| format!(", {lowest} to {highest}"));
            let default = row.usual.unwrap_or_else(|| "required".to_owned());
            text.push_str(&format!("| `{}` | {}{range} | {default} | {} |\n", row.name, row.form, row.meaning));
        }
    }
    text
}

#[test]
fn the_page_of_the_manual_says_the_same() {
    let made = page();
    if std::env::var_os("PAGELOOM_BLESS").is_some() {
        std::fs::write(PAGE, &made).expect("a writable folder");
    }
    let there = std::fs::read_to_string(PAGE).expect("the page");
    assert!(there == made, "PAGELOOM_BLESS=1 rewrites {PAGE}");
}
