//! The readers of scripts, event lists and pictures under mutation, each input within two seconds of processor time and 512 MiB,
//! which the shell's `ulimit` enforces on a process of its own. Whatever they are given, they answer with findings or with a
//! show. Inputs that once broke something stay in `tests/cases`.
//!
//! `PAGELOOM_FUZZ_SECONDS=600` goes on for so long with each reader; an input that breaks is left in `target/fuzz`.

use super::chance::{Chance, seeds};
use super::fuzz;
use super::grown::{grown, script_of};
use pageloom::diag::{Findings, Place, render};
use pageloom::preview::Events;
use pageloom::show::load;
use pageloom::source::{Disk, Files, FilesInMemory, ReadError, Reader};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Seconds of processor time and KiB of memory for one input, and for a few of them that a process tries one after another.
const SECONDS: u32 = 2;
const KIBIBYTES: u32 = 512 << 10;
/// Inputs that one process tries; if it ends before their end, each of them is tried alone.
const TOGETHER: u64 = 25;
/// What a process of its own is to try: a reader, and a range of seeds.
const ORDER: &str = "PAGELOOM_FUZZ_ORDER";

/// Files in memory before those on disk.
pub struct Beside(pub FilesInMemory);

impl Files for Beside {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        self.0.read(path, limit).or_else(|_| Disk.read(path, limit))
    }
}

/// The names of files and what is in them; the first is the one that is read.
pub type Input = Vec<(String, Vec<u8>)>;

/// A reader: how an input comes of a seed, and how it is read.
struct Reading {
    name: &'static str,
    input: fn(&mut Chance) -> Input,
    read: fn(&Input),
}

const READINGS: &[Reading] = &[
    Reading { name: "script", input: script, read: read_script },
    Reading { name: "events", input: events, read: read_events },
    Reading { name: "picture", input: picture, read: read_picture },
    Reading { name: "bdf", input: fuzz::bdf, read: fuzz::read_bdf },
    Reading { name: "sheet", input: fuzz::sheet_input, read: fuzz::read_sheet },
];

/// Every script of the project, the broken ones among them.
fn scripts() -> Vec<PathBuf> {
    let folders = ["scenes", "tests/cases/good", "tests/cases/bad", "tests/cases/layers", "tests/cases/flashing"];
    let entries = folders.iter().flat_map(|folder| std::fs::read_dir(folder).expect("a folder of scripts"));
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.expect("an entry").path()).collect();
    paths.retain(|path| path.extension().is_some_and(|end| end == "ron"));
    paths.sort();
    paths
}

fn text_of(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

fn script(chance: &mut Chance) -> Input {
    let paths = scripts();
    let path = &paths[chance.below(paths.len())];
    let other = text_of(&paths[chance.below(paths.len())]);
    vec![(path.display().to_string(), script_of(&text_of(path), &other, chance).into_bytes())]
}

fn read_script(input: &Input) {
    let (path, bytes) = &input[0];
    let files = Beside(FilesInMemory::default().with(path, bytes.as_slice()));
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let show = load(&mut reader, Path::new(path), &mut findings);
    assert_eq!(show.is_none(), findings.any_error(), "a show comes of a script without errors and of no other");
    let told = render(&findings, &reader.sources, false);
    assert!(!told.contains(|letter: char| letter.is_control() && letter != '\n' && letter != '\t'), "{told:?}");
}

fn events(chance: &mut Chance) -> Input {
    let lists = ["tests/cases/events/alert.ron", "tests/cases/events/wrong.ron"].map(|path| text_of(Path::new(path)));
    let list = &lists[chance.below(lists.len())];
    vec![("events.ron".into(), grown(list, list, chance).into_bytes())]
}

fn read_events(input: &Input) {
    let (path, bytes) = &input[0];
    let files = Beside(FilesInMemory::default().with(path, bytes.as_slice()));
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let show = load(&mut reader, Path::new("scenes/helm.ron"), &mut findings).expect("a show");
    let read = Events::load(&mut reader, Path::new(path), &show, &mut findings);
    assert_eq!(read.is_none(), findings.any_error());
    render(&findings, &reader.sources, false);
}

fn picture(chance: &mut Chance) -> Input {
    let paths = [
        "tests/cases/bad/parts/palette.png",
        "tests/cases/bad/parts/frame.gif",
        "tests/cases/bad/strip.png",
        "tests/cases/layers/grey.png",
        "tests/cases/layers/wink.gif",
        "fonts/cleat.png",
    ];
    let path = paths[chance.below(paths.len())];
    let mut bytes = std::fs::read(path).unwrap_or_else(|why| panic!("{path}: {why}"));
    for _ in 0..=chance.below(8) {
        let at = chance.below(bytes.len());
        match chance.below(5) {
            0 => bytes.truncate(at.max(8)),
            1 => bytes.insert(at, chance.below(256) as u8),
            2 => bytes[at] = 0xFF,
            3 => bytes[at] = 0,
            _ => bytes[at] = chance.below(256) as u8,
        }
    }
    vec![("picture".into(), bytes)]
}

fn read_picture(input: &Input) {
    let (path, bytes) = &input[0];
    let files = FilesInMemory::default().with(path, bytes.as_slice());
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let read = reader.animation(Path::new(path), Place::Nowhere, &mut findings);
    assert_eq!(read.is_none(), findings.any_error());
}

fn input(reading: &Reading, seed: u64) -> Input {
    let mut chance = Chance::of(seed);
    (reading.input)(&mut chance)
}

/// Tries the inputs of these seeds in a process of its own.
fn tried(reading: &Reading, first: u64, end: u64) -> Output {
    let program = std::env::current_exe().expect("this program");
    let limits = format!("ulimit -t {SECONDS} -v {KIBIBYTES}; exec \"$0\" \"$@\"");
    Command::new("sh")
        .args(["-c", &limits])
        .arg(program)
        .args(["--exact", "root::readers::in_a_process_of_its_own", "--ignored", "--test-threads=1", "--quiet"])
        .env(ORDER, format!("{} {first} {end}", reading.name))
        .output()
        .expect("sh")
}

/// Not a test by itself: what [`tried`] starts.
#[test]
#[ignore = "started by the other tests of this file"]
fn in_a_process_of_its_own() {
    let order = std::env::var(ORDER).expect("an order");
    let [name, first, end] = order.split(' ').collect::<Vec<_>>()[..] else { panic!("{order}") };
    let reading = READINGS.iter().find(|reading| reading.name == name).expect("a reader");
    let number = |text: &str| text.parse::<u64>().expect("a seed");
    for seed in number(first)..number(end) {
        (reading.read)(&input(reading, seed));
    }
}

/// Tries a reader on the inputs of many seeds.
pub fn under_mutation(name: &str) {
    let reading = READINGS.iter().find(|reading| reading.name == name).expect("a reader");
    let mut count = 0;
    for batch in seeds(COUNT / TOGETHER) {
        let (first, end) = (batch * TOGETHER, (batch + 1) * TOGETHER);
        if !tried(reading, first, end).status.success() {
            for seed in first..end {
                let alone = tried(reading, seed, seed + 1);
                if !alone.status.success() {
                    let path = Path::new("target/fuzz").join(format!("{name}-{seed}"));
                    std::fs::create_dir_all(&path).expect("a folder");
                    for (file, bytes) in input(reading, seed) {
                        std::fs::write(path.join(file.replace('/', "-")), bytes).expect("written");
                    }
                    let words = String::from_utf8_lossy(&alone.stdout).into_owned();
                    panic!("{} ends with {}: {words}", path.display(), alone.status);
                }
            }
        }
        count += TOGETHER;
    }
    assert!(count > 0);
    println!("{count} inputs of the reader of {name}");
}

/// Inputs of each reader when no time is given.
const COUNT: u64 = 600;

#[test]
fn scripts_under_mutation_give_findings_or_a_show() {
    under_mutation("script");
}

#[test]
fn event_lists_under_mutation_give_findings_or_events() {
    under_mutation("events");
}

#[test]
fn pictures_under_mutation_give_findings_or_a_picture() {
    under_mutation("picture");
}

/// Scripts that grow without bounds where nothing stops them are refused within the limits of any other input.
#[test]
fn scripts_without_end_are_refused_within_the_limits() {
    let program = env!("CARGO_BIN_EXE_pageloom");
    let limits = format!("ulimit -t {SECONDS} -v {KIBIBYTES}; exec \"$0\" \"$@\"");
    for path in scripts().iter().filter(|path| path.starts_with("tests/cases/bad")) {
        let output = Command::new("sh").args(["-c", &limits, program, "check"]).arg(path).output().expect("sh");
        assert!(matches!(output.status.code(), Some(0 | 1)), "{}: {}", path.display(), output.status);
    }
}
