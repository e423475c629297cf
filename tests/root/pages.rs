//! The pages that people read: links lead somewhere, scripts are read without a fault, the walk's commands run as written, and no
//! page, message or help text uses a word that this project does not use.

use pageloom::diag::{Findings, render};
use pageloom::show::load;
use pageloom::source::{Disk, Files, FilesInMemory, ReadError, Reader};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Words that readers of the trade did not understand or had to read twice; the right column says what to write.
const NOT_USED: &[(&str, &str)] = &[
    ("reckon", "compute, calculate"),
    ("reckoned", "computed"),
    ("reckons", "computes"),
    ("reckoning", "calculation"),
    ("told", "stored, reported, shown"),
    ("mend", "fix"),
    ("mended", "fixed"),
    ("two-wire", "I²C"),
    ("glass", "display, panel"),
    ("glasses", "displays, panels"),
    ("foresight", "prefetch"),
    ("foreseen", "predicted"),
    ("outlook", "cost-to-go"),
    ("footage", "scene frames"),
    ("may stand", "can be used"),
    ("stands for", "is replaced by, means"),
    ("must be given", "required"),
    ("takes itself", "includes itself"),
    ("no word for", "unknown value"),
    ("at hand", "current"),
    ("anew", "again"),
    ("so many", "this number of, a number of"),
    ("pasted in", "inlined"),
    ("for ever", "without end"),
];

/// The pages of the project.
fn pages() -> Vec<PathBuf> {
    let mut pages = vec![PathBuf::from("README.md"), PathBuf::from("DEVELOPERS.md")];
    pages.extend(["scenes", "examples"].into_iter().flat_map(|folder| files(folder, &["md"])));
    pages.sort();
    pages
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// The anchors of a page's headings, as the renderers of this format make them.
fn anchors(page: &str) -> Vec<String> {
    let kept = |letter: &char| letter.is_alphanumeric() || *letter == ' ' || *letter == '-' || *letter == '_';
    let anchor = |line: &str| {
        let title: String = line.trim_start_matches('#').trim().to_lowercase().chars().filter(kept).collect();
        title.replace(' ', "-")
    };
    page.lines().filter(|line| line.starts_with('#')).map(anchor).collect()
}

/// Names and units that a general dictionary does not have; words with digits are left out anyway.
const TERMS: &[&str] = &[
    "AVCC", "AVR", "BDF", "COM", "FPGA", "GND", "LiveText", "Penner", "QEMU", "InOut", "MOSI", "README's", "RES",
    "SCK", "SCL", "ScanLine", "VCOMH", "SDA", "SPI", "Spi", "VCC", "WCAG", "bringup", "hal", "kΩ", "nF", "pF",
    "pageloom", "ron", "rs", "simavr", "spi", "tmux", "µF",
];

/// The words of a page, without scripts, names of the code and addresses.
fn prose(page: &str) -> String {
    let without_blocks: String = page.split("```").step_by(2).collect();
    let without_names: String = without_blocks.split('`').step_by(2).collect();
    let mut parts = without_names.split("](");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| text + " " + part.split_once(')').map_or("", |(_, rest)| rest))
}

/// The spelling is that of hunspell's British dictionary.
#[test]
fn the_pages_are_spelled_as_a_dictionary_spells_them() {
    let mut wrong = Vec::new();
    for page in pages() {
        let mut checker = Command::new("hunspell")
            .args(["-d", "en_GB", "-i", "utf-8", "-l"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("hunspell with its dictionary: apt-get install hunspell hunspell-en-gb");
        let words = prose(&text(&page)).replace("<br>", " ").replace("<!--", " ");
        checker.stdin.take().expect("a pipe").write_all(words.as_bytes()).expect("written");
        let unknown = String::from_utf8(checker.wait_with_output().expect("its output").stdout).expect("UTF-8");
        let odd = |word: &&str| !TERMS.contains(word) && !word.contains(|letter: char| letter.is_ascii_digit());
        wrong.extend(unknown.lines().filter(odd).map(|word| format!("{}: {word}", page.display())));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The page of the reel's format is made from the table of instructions.
#[test]
fn the_page_of_the_format_is_that_of_the_table() {
    const PAGE: &str = "src/reel/FORMAT.md";
    let made = pageloom::reel::format_page();
    if std::env::var_os("PAGELOOM_BLESS").is_some() {
        fs::write(PAGE, &made).expect("a writable folder");
    }
    assert!(fs::read_to_string(PAGE).ok().as_deref() == Some(made.as_str()), "PAGELOOM_BLESS=1 rewrites {PAGE}");
}

#[test]
fn every_link_of_the_pages_leads_somewhere() {
    let (mut seen, mut broken) = (0, Vec::new());
    for page in pages() {
        let words = text(&page);
        for link in words.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            if link.starts_with("http") {
                continue;
            }
            seen += 1;
            let (file, anchor) = link.split_once('#').unwrap_or((link, ""));
            let target = if file.is_empty() { page.clone() } else { page.parent().expect("a folder").join(file) };
            let there = target.exists() && (anchor.is_empty() || anchors(&text(&target)).iter().any(|it| it == anchor));
            if !there {
                broken.push(format!("{}: {link}", page.display()));
            }
        }
    }
    assert!(seen > 100 && broken.is_empty(), "{seen} links; broken: {broken:#?}");
}

/// The blocks fenced as a language, in order.
fn blocks<'a>(page: &'a str, language: &str) -> Vec<&'a str> {
    let fence = format!("```{language}\n");
    page.split(&fence).skip(1).map(|rest| rest.split("\n```").next().unwrap_or_default()).collect()
}

struct Beside(FilesInMemory);

impl Files for Beside {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        self.0.read(path, limit).or_else(|_| Disk.read(path, limit))
    }
}

/// A show around the fields of a block; the block's own fields replace those given here.
fn show_around(block: &str) -> String {
    let usual = [
        ("name", "\"page\""),
        ("panel", "\"0.42in-72x40-ssd1306\""),
        ("bus", "I2c(clock: 400_000)"),
        ("microcontroller", "\"ATmega328P\""),
        ("frame_rate", "20"),
        ("start", "\"boot\""),
        ("fonts", r#"{"small": Shipped("cleat"), "large": Shipped("binnacle")}"#),
        ("scenes", r#"[Scene(name: "boot", dark: true, seconds: 1)]"#),
    ];
    let given = |name: &str| block.lines().any(|line| line.starts_with(&format!("{name}:")));
    let rest = usual.iter().filter(|(name, _)| !given(name)).map(|(name, value)| format!("{name}: {value},\n"));
    format!("Show(\n{}{block}\n)", rest.collect::<String>())
}

#[test]
fn the_scripts_of_the_page_on_scripts_are_read_without_a_fault() {
    let page = text(Path::new("scenes/scripts.md"));
    let scripts = blocks(&page, "ron");
    assert!(scripts.len() >= 5, "{}", scripts.len());
    for block in scripts {
        let script = if block.starts_with("Show(") { block.to_owned() } else { show_around(block) };
        let files = Beside(FilesInMemory::default().with("scenes/page.ron", script));
        let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
        let show = load(&mut reader, Path::new("scenes/page.ron"), &mut findings);
        assert!(show.is_some(), "{block}\n{}", render(&findings, &reader.sources, false));
    }
}

/// The words of a command as a shell splits them; the pages quote with `"` only.
fn words(line: &str) -> Vec<String> {
    let parts = line.split('"').enumerate();
    let words = parts.flat_map(|(number, part)| match number % 2 {
        0 => part.split_whitespace().map(str::to_owned).collect(),
        _ => vec![part.to_owned()],
    });
    words.collect()
}

fn run(folder: &Path, arguments: &[String]) {
    let ran = Command::new(env!("CARGO_BIN_EXE_pageloom")).current_dir(folder).args(arguments).output();
    let ran = ran.expect("the program runs");
    assert!(ran.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&ran.stderr));
}

/// Takes a page as written: `sh` blocks are run, a `ron` block is saved under the name that the words before it give.
fn walk(page: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut runs, mut saved) = (0, 0);
    for (before, block) in page.split("\n```").collect::<Vec<_>>().windows(2).map(|pair| (pair[0], pair[1])) {
        if let Some(script) = block.strip_prefix("ron\n") {
            let name = before.rsplit("as `").next().and_then(|rest| rest.split('`').next()).expect("a file name");
            fs::write(folder.path().join(name), script).expect("written");
            saved += 1;
        }
        for line in block.strip_prefix("sh\n").unwrap_or_default().lines() {
            let arguments = words(line.strip_prefix("pageloom ").expect("a command of pageloom"));
            if arguments.iter().any(|word| word == "--play") {
                continue; // it needs a terminal
            }
            run(folder.path(), &arguments);
            runs += 1;
        }
    }
    assert!(runs >= 2 && saved >= 1, "{runs} commands, {saved} files");
    folder
}

#[test]
fn the_walk_to_a_glued_hull_can_be_taken_as_written() {
    walk(&text(Path::new("scenes/walk.md")));
}

#[test]
fn the_walk_of_the_readme_can_be_taken_as_written() {
    let page = text(Path::new("README.md"));
    let folder = walk(&page);
    let header =
        ["beacon.h", "pageloom_player.h"].map(|name| text(&folder.path().join("out/beacon").join(name))).concat();
    for name in blocks(&page, "c")[0].split(|letter: char| !letter.is_alphanumeric() && letter != '_') {
        if ["BEACON_", "PAGELOOM_", "pageloom_"].iter().any(|start| name.starts_with(start)) {
            assert!(header.contains(name), "the header has no {name}");
        }
    }
    run(folder.path(), &["sheet", "new", "other.ron", "--cell", "3x5", "--for", "A-Z 0-9 -"].map(str::to_owned));
}

/// What the adapter for I²C needs of embedded-hal, from the documentation of its version 1.0.0.
const EMBEDDED_HAL: &str = "#![no_std]\npub mod i2c {\n    pub trait ErrorType { type Error; }\n    \
    pub trait I2c: ErrorType { fn write(&mut self, address: u8, write: &[u8]) -> Result<(), Self::Error>; }\n}\n";

#[test]
fn the_rust_of_the_page_on_scripts_compiles_with_the_files_of_a_build() {
    let page = text(Path::new("scenes/scripts.md"));
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().display().to_string();
    run(Path::new("."), &["build", "scenes/helm.ron", "--out", &out].map(str::to_owned));
    let firmware = format!("#![no_std]\n#![allow(dead_code)]\n{}", blocks(&page, "rust")[0]);
    fs::write(folder.path().join("embedded_hal.rs"), EMBEDDED_HAL).expect("written");
    fs::write(folder.path().join("firmware.rs"), firmware).expect("written");
    for (file, more) in
        [("embedded_hal.rs", [].as_slice()), ("firmware.rs", &["--extern", "embedded_hal=libembedded_hal.rlib"])]
    {
        let mut rustc = Command::new("rustc");
        rustc.current_dir(folder.path()).args(["--edition", "2021", "--crate-type", "rlib", file]).args(more);
        let compiled = rustc.output().expect("rustc runs");
        assert!(compiled.status.success(), "{}", String::from_utf8_lossy(&compiled.stderr));
    }
}

/// Whether a text has the word by itself.
fn has(text: &str, word: &str) -> bool {
    let ends = |letter: Option<char>| letter.is_none_or(|letter| !letter.is_alphanumeric() && letter != '_');
    text.match_indices(word)
        .any(|(at, _)| ends(text[..at].chars().next_back()) && ends(text[at + word.len()..].chars().next()))
}

fn complain(place: &str, text: &str, found: &mut Vec<String>) {
    let lower = text.to_lowercase();
    for (word, better) in NOT_USED.iter().filter(|(word, _)| has(&lower, word)) {
        found.push(format!("{place}: `{word}`, write {better}"));
    }
}

/// All files of a folder and of those in it with one of these endings.
fn files(folder: &str, endings: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![PathBuf::from(folder)];
    while let Some(next) = open.pop() {
        for path in fs::read_dir(next).expect("a folder").flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                open.push(path);
            } else if path.extension().and_then(|end| end.to_str()).is_some_and(|end| endings.contains(&end)) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// Comments and texts of a source; names of the code are left out.
fn readable(source: &str) -> String {
    let (mut kept, mut rest) = (String::new(), source);
    while let Some(at) = rest.find(['/', '"', '\'']) {
        let (from, end) =
            (&rest[at..], |end: &str, length: usize| rest[at + length..].find(end).map(|it| it + length + end.len()));
        let length = match from.as_bytes() {
            [b'/', b'/', ..] => end("\n", 2),
            [b'/', b'*', ..] => end("*/", 2),
            [b'\'', b'"' | b'/', b'\'', ..] => Some(3),
            [b'\'', b'\\', _, b'\'', ..] => Some(4),
            [b'"', ..] => text_length(from),
            _ => Some(1),
        };
        let length = length.unwrap_or(from.len());
        kept.push_str(if length > 4 { &from[..length] } else { "" });
        kept.push(' ');
        rest = &from[length..];
    }
    kept
}

/// Bytes of a text in quotes.
fn text_length(from: &str) -> Option<usize> {
    let mut escaped = false;
    from.char_indices().skip(1).find_map(|(at, letter)| {
        let ends = letter == '"' && !escaped;
        escaped = letter == '\\' && !escaped;
        ends.then_some(at + 1)
    })
}

#[test]
fn comments_and_texts_of_a_source_are_found() {
    let kept = readable("let told = '\"'; // one\nsay(\"two \\\" three\"); /* four\nfive */ told");
    assert_eq!(kept.split_whitespace().collect::<Vec<_>>().join(" "), "// one \"two \\\" three\" /* four five */");
}

#[test]
fn pages_messages_and_sources_use_plain_words() {
    let mut found = Vec::new();
    for page in pages() {
        complain(&page.display().to_string(), &text(&page), &mut found);
    }
    for file in files("src", &["rs", "c", "h", "js", "css"]) {
        complain(&file.display().to_string(), &readable(&text(&file)), &mut found);
    }
    for file in files("tests/cases", &["err"]) {
        complain(&file.display().to_string(), &text(&file), &mut found);
    }
    assert!(found.is_empty(), "{found:#?}");
}
