//! Each kind of layer drawn: `tests/cases/layers/NAME.ron` must give the pictures of `NAME.txt`; `PAGELOOM_BLESS=1`
//! rewrites them. Then every number of every kind beyond its range, which must be told by the name of its field.

use pageloom::diag::{FileId, Findings, Sources, render};
use pageloom::render::draw;
use pageloom::show::{KINDS, Kind, Show, load};
use pageloom::source::{Disk, Files, FilesInMemory, Node, ReadError, Reader, Shape, parse};
use std::fs;
use std::path::{Path, PathBuf};

const FOLDER: &str = "tests/cases/layers";

/// A show held in memory whose other files lie on the disk.
struct Beside(FilesInMemory);

impl Files for Beside {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        self.0.read(path, limit).or_else(|_| Disk.read(path, limit))
    }
}

/// A show of one scene on a display of this size, ten frames a second.
fn show(layers: &str, (width, height): (u32, u32)) -> Result<Show, String> {
    const LEAST_MULTIPLEX: u32 = 16;
    let multiplex = height.max(LEAST_MULTIPLEX);
    let script = format!(
        r#"Show(
            name: "case", frame_rate: 10, start: "only",
            panel: Panel(controller: "SSD1306", size: ({width}, {height}), pitch: (0.1, 0.1),
                dot: (0.09, 0.09), multiplex: {multiplex}),
            bus: I2c(clock: 400_000), microcontroller: "ATmega328P",
            fonts: {{"small": Shipped("cleat"), "large": Shipped("binnacle")}},
            pictures: {{"strip": "strip.png", "grey": "grey.png", "wink": "wink.gif"}},
            scenes: [Scene(name: "only", seconds: 20, layers: [{layers}])],
        )"#
    );
    let path = Path::new(FOLDER).join("case.ron");
    let files = Beside(FilesInMemory::default().with(&path, script));
    let mut reader = Reader::new(&files);
    let mut findings = Findings::default();
    let show = load(&mut reader, &path, &mut findings);
    show.ok_or_else(|| render(&findings, &reader.sources, false))
}

/// The numbers behind `// word` at the head of a case.
fn numbers(case: &str, word: &str) -> Vec<f64> {
    let line = case.lines().find_map(|line| line.strip_prefix(&format!("// {word} ")));
    let line = line.unwrap_or_else(|| panic!("a case needs `// {word} …`:\n{case}"));
    line.split_whitespace().map(|number| number.parse().expect("a number")).collect()
}

fn pictures(case: &str) -> String {
    let size = numbers(case, "size");
    let show = show(case, (size[0] as u32, size[1] as u32)).unwrap_or_else(|told| panic!("{told}"));
    let mut told = String::new();
    for seconds in numbers(case, "at") {
        let frame = (seconds * 10.0).round() as u32;
        told.push_str(&format!("at {seconds} s\n{}", draw(&show, &show.scenes()[0], frame)));
    }
    told
}

fn cases() -> Vec<PathBuf> {
    let entries = fs::read_dir(FOLDER).expect("the folder of cases");
    let mut found: Vec<PathBuf> = entries.map(|entry| entry.expect("readable").path()).collect();
    found.retain(|path| path.extension().is_some_and(|end| end == "ron"));
    found.sort();
    found
}

#[test]
fn every_layer_is_drawn_as_expected() {
    let bless = std::env::var_os("PAGELOOM_BLESS").is_some();
    let mut differing = Vec::new();
    for case in cases() {
        let drawn = pictures(&fs::read_to_string(&case).expect("text"));
        let expected = case.with_extension("txt");
        if bless {
            fs::write(&expected, &drawn).expect("a writable folder");
        } else if fs::read_to_string(&expected).ok().as_ref() != Some(&drawn) {
            differing.push(format!("{}\n{drawn}", case.display()));
        }
    }
    assert!(differing.is_empty(), "PAGELOOM_BLESS=1 accepts:\n{}", differing.join("\n"));
}

#[test]
fn every_kind_of_layer_has_a_case() {
    let all: String = cases().iter().map(|case| fs::read_to_string(case).expect("text")).collect();
    let missing: Vec<&str> =
        KINDS.iter().map(|kind| kind.name).filter(|name| !all.contains(&format!("{name}("))).collect();
    assert!(missing.is_empty(), "no case draws {}", missing.join(", "));
}

/// The example of a kind with a field set to a value.
fn with_field(example: &str, field: &str, value: &str) -> String {
    let file: FileId = Sources::default().add("example", example);
    let node = parse(example, file, &mut Findings::default()).expect("an example reads as RON");
    let Node { shape: Shape::Record(Some(name), fields), .. } = node else { panic!("{example}") };
    match fields.iter().find(|(known, ..)| known == field) {
        Some((.., old)) => format!("{}{value}{}", &example[..old.span.start], &example[old.span.end..]),
        None => example.replacen(&format!("{name}("), &format!("{name}({field}: {value}, "), 1),
    }
}

/// The example of a kind as the cases can draw it; the manual's pictures are not here.
fn example(kind: &Kind) -> String {
    kind.example.replace("\"lamp\"", "\"grey\"").replace("\"fern\"", "\"strip\"")
}

#[test]
fn every_number_at_an_end_of_its_range_is_drawn() {
    let mut drawn = 0;
    for kind in KINDS {
        for row in (kind.rows)() {
            let Some((lowest, highest)) = row.range else { continue };
            for end in [lowest, highest] {
                let value =
                    if row.form.contains("(width, height)") { format!("({end}, {end})") } else { end.to_string() };
                // Some ends do not go together with the rest of an example, which is told; all others must be drawn.
                let Ok(show) = show(&with_field(&example(kind), row.name, &value), (72, 40)) else { continue };
                for frame in [0, 7, 150] {
                    let picture = draw(&show, &show.scenes()[0], frame);
                    assert_eq!((picture.width(), picture.height()), (72, 40));
                }
                drawn += 1;
            }
        }
    }
    assert!(drawn > 110, "only {drawn} drawn");
}

#[test]
fn too_many_layers_are_told_and_a_layer_wholly_outside_draws_nothing() {
    let many = "Line(start: (0, 0), end: (9, 9)),".repeat(3000);
    let told = show(&many, (72, 40)).expect_err("too many layers");
    assert!(told.contains("3000 layers") && told.contains("limit is 500"), "{told}");
    let outside = r#"Circle(at: (-900, 0), radius: 9), Rectangle(at: (0, 1500), size: (3, 3)), Rectangle(at: Top, size: (0, 0)),
        Group(x: 2000, layers: [Text(text: "A", font: "small", at: Centre)])"#;
    let show = show(outside, (72, 40)).expect("a show");
    assert_eq!(draw(&show, &show.scenes()[0], 3).lit(), 0);
    let mut deep = "Line(start: (0, 0), end: (9, 9))".to_owned();
    (0..6).for_each(|_| deep = format!("Group(layers: [{deep}])"));
    assert!(self::show(&deep, (72, 40)).expect_err("too deep").contains("levels deep"));
}

#[test]
fn every_number_beyond_its_range_is_told_by_its_field() {
    let mut tried = 0;
    for kind in KINDS {
        let example = example(kind);
        assert!(show(&example, (72, 40)).is_ok(), "{}: {}", kind.name, show(&example, (72, 40)).unwrap_err());
        for row in (kind.rows)() {
            let Some((lowest, highest)) = row.range else { continue };
            for beyond in [lowest - 1.0, highest + 1.0] {
                let value =
                    if row.form.contains("(width, height)") { format!("({beyond}, 5)") } else { beyond.to_string() };
                let told = show(&with_field(&example, row.name, &value), (72, 40)).err().unwrap_or_default();
                let told_by_name =
                    told.contains(&format!("`{}` must be", row.name)) || told.contains("`width` must be");
                assert!(told_by_name, "{} with {}: {value} gave: {told}", kind.name, row.name);
                tried += 1;
            }
        }
    }
    assert!(tried > 120, "only {tried} values tried");
}
