//! The shape of the source: who may import whom, who may print and read, how long files and functions may be.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The stages in the order of the flow; those of one rank in [`APART`] do not import each other.
const RANKS: &[&[&str]] = &[
    &["units", "whole", "diag", "panel"],
    &["source"],
    &["font"],
    &["drawing"],
    &["show"],
    &["player"],
    &["render"],
    &["reel"],
    &["emulator"],
    &["budget"],
    &["emit", "preview", "report"],
    &["replay"],
    &["build"],
    &["cli"],
];
const APART: &[&str] = &["emit", "preview", "report"];

const MOST_LINES: usize = 500;
const MEDIAN_LINES: usize = 200;
const LONGEST_FUNCTION: usize = 80;

/// A source file: its stage, its path from the project's root, and its lines, those of its tests apart.
struct File {
    stage: String,
    path: String,
    lines: usize,
    code: Vec<String>,
}

fn files(folder: &Path, endings: &[&str], found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            files(&path, endings, found);
        } else if path.extension().is_some_and(|extension| endings.iter().any(|ending| extension == *ending)) {
            found.push(path);
        }
    }
    found.sort();
}

fn read(below: &str) -> Vec<File> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = Vec::new();
    files(&root.join(below), &["rs"], &mut paths);
    let file = |path: &PathBuf| {
        let text = fs::read_to_string(path).expect("text");
        let path = path.strip_prefix(root).expect("below the root").to_string_lossy().replace('\\', "/");
        let stage = path.split('/').nth(1).unwrap_or_default().trim_end_matches(".rs").to_owned();
        let tests_from =
            if path.contains("tests") { Some(0) } else { text.lines().position(|line| line == "#[cfg(test)]") };
        // `#[cfg(test)] mod tests;` in a list of modules ends nothing.
        let tests_from = tests_from.filter(|at| text.lines().nth(at + 1).is_none_or(|next| !next.ends_with(';')));
        let code = text.lines().take(tests_from.unwrap_or(usize::MAX)).map(str::to_owned).collect();
        File { stage, path, lines: text.lines().count(), code }
    };
    paths.iter().map(file).collect()
}

fn rank(stage: &str) -> Option<usize> {
    RANKS.iter().position(|rank| rank.contains(&stage))
}

/// A line without its comment and without what stands in quotes.
fn bare(line: &str) -> String {
    let code = line.split("//").next().unwrap_or_default();
    code.split('"').step_by(2).collect::<Vec<_>>().join("\"\"")
}

/// The stages that a line names as `crate::stage`.
fn imported(line: &str) -> Vec<String> {
    let stages = bare(line);
    let name = |rest: &str| rest.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect();
    stages.split("crate::").skip(1).map(name).collect()
}

fn told(faults: Vec<String>) {
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn a_stage_imports_only_from_stages_before_it() {
    let mut faults = Vec::new();
    for file in read("src").iter().filter(|file| !["lib", "main"].contains(&file.stage.as_str())) {
        let own = rank(&file.stage).unwrap_or_else(|| panic!("{} belongs to no known stage", file.path));
        for (number, line) in (1..).zip(&file.code) {
            for stage in imported(line) {
                let theirs = rank(&stage).unwrap_or_else(|| panic!("{}:{number} imports unknown {stage}", file.path));
                let apart =
                    stage != file.stage && APART.contains(&stage.as_str()) && APART.contains(&file.stage.as_str());
                if theirs > own || apart {
                    faults.push(format!("{}:{number}: {} must not import {stage}", file.path, file.stage));
                }
            }
        }
    }
    told(faults);
}

#[test]
fn only_the_command_line_prints_and_only_source_reads() {
    let mut faults = Vec::new();
    for file in read("src") {
        for (number, line) in (1..).zip(&file.code) {
            let code = bare(line);
            let has = |words: &[&str]| words.iter().any(|word| code.contains(word));
            let prints = has(&["print!", "println!", "dbg!", "stdout()", "stderr()", "process::exit"]);
            if prints && file.stage != "cli" {
                faults.push(format!("{}:{number}: only cli prints", file.path));
            }
            let files = has(&["std::fs", "fs::", "File::"]);
            if files && !["cli", "source"].contains(&file.stage.as_str())
                || has(&["fs::read"]) && file.stage != "source"
            {
                faults.push(format!("{}:{number}: only source reads and only cli writes", file.path));
            }
        }
    }
    told(faults);
}

/// Calls that end the program; each needs a comment above it that proves it cannot happen.
#[test]
fn nothing_panics() {
    const ENDING: &[&str] =
        &[".unwrap()", ".expect(", "panic!(", "todo!(", "unimplemented!(", "unreachable!(", "assert!("];
    let mut faults = Vec::new();
    for file in read("src") {
        let mut before = "";
        for (number, line) in (1..).zip(&file.code) {
            let code = bare(line);
            if ENDING.iter().any(|word| code.contains(word)) && !before.trim_start().starts_with("//") {
                faults.push(format!("{}:{number}: `{}` without a proof above it", file.path, line.trim()));
            }
            before = line;
        }
    }
    told(faults);
}

#[test]
fn files_are_short_and_open_with_what_they_are_about() {
    let mut all = read("src");
    all.extend(read("tests"));
    let mut faults = Vec::new();
    for file in &all {
        if file.lines > MOST_LINES {
            faults.push(format!("{} has {} lines; the most is {MOST_LINES}", file.path, file.lines));
        }
    }
    for file in read("src") {
        // The player ships as the body of a module, where an inner comment cannot stand.
        let stays = ["src/player/mod.rs", "src/player/any.rs", "src/player/silent.rs"].contains(&file.path.as_str());
        let ships = file.path.starts_with("src/player/") && !stays;
        let opening = if ships { "// " } else { "//! " };
        let tests = file.path.ends_with("tests.rs");
        if !tests && !file.code.first().is_some_and(|line| line.starts_with(opening)) {
            faults.push(format!("{} does not open with a sentence on what it is about", file.path));
        }
    }
    let mut sizes: Vec<usize> = all.iter().map(|file| file.lines).collect();
    sizes.sort_unstable();
    let median = sizes[sizes.len() / 2];
    if median > MEDIAN_LINES {
        faults.push(format!("the median file has {median} lines; the most is {MEDIAN_LINES}"));
    }
    told(faults);
}

#[test]
fn files_in_c_are_short_and_open_with_what_they_are_about() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = Vec::new();
    for below in ["src", "tests", "examples"] {
        files(&root.join(below), &["c", "h"], &mut paths);
    }
    let mut faults = Vec::new();
    for path in &paths {
        let (text, name) = (fs::read_to_string(path).expect("text"), path.strip_prefix(root).expect("below the root"));
        let (lines, name) = (text.lines().count(), name.to_string_lossy().replace('\\', "/"));
        if lines > MOST_LINES {
            faults.push(format!("{name} has {lines} lines; the most is {MOST_LINES}"));
        }
        if !text.starts_with("/*") {
            faults.push(format!("{name} does not open with a comment on what it is about"));
        }
    }
    assert!(!paths.is_empty(), "no C was found");
    told(faults);
}

#[test]
fn functions_are_short() {
    let mut faults = Vec::new();
    for file in read("src") {
        // Where an indentation's function began; a line of the indentation and `}` alone ends it.
        let mut open: BTreeMap<usize, (usize, String)> = BTreeMap::new();
        for (number, line) in (1..).zip(&file.code) {
            let indentation = line.len() - line.trim_start().len();
            let begins = bare(line).split_whitespace().any(|word| word == "fn");
            if begins && !line.trim_end().ends_with(';') {
                open.insert(indentation, (number, line.trim().to_owned()));
            } else if line.trim_start() == "}"
                && let Some((from, head)) = open.remove(&indentation)
                && number - from > LONGEST_FUNCTION
            {
                faults.push(format!("{}:{from}: {} lines: {head}", file.path, number - from));
            }
        }
    }
    told(faults);
}

/// The name of the type that a line declares.
fn declared(line: &str) -> Option<&str> {
    let line = line.trim_start();
    let line = line.strip_prefix("pub(crate) ").or_else(|| line.strip_prefix("pub(super) ")).unwrap_or(line);
    let line = line.strip_prefix("pub ").unwrap_or(line);
    let rest = ["struct ", "enum ", "trait "].iter().find_map(|word| line.strip_prefix(word))?;
    // Two braces are those of a text that becomes a source of the firmware.
    let name = rest.split(|letter: char| !letter.is_alphanumeric()).next()?;
    (!rest.contains("{{") && name.starts_with(|first: char| first.is_ascii_uppercase())).then_some(name)
}

#[test]
fn each_type_has_a_name_of_its_own() {
    assert_eq!(declared("    pub(crate) struct Kept<'a> {"), Some("Kept"));
    assert_eq!(declared("             pub struct CueTime {{"), None);
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for file in read("src") {
        for (number, line) in file.code.iter().enumerate() {
            if let Some(name) = declared(line) {
                places.entry(name.to_owned()).or_default().push(format!("{}:{}", file.path, number + 1));
            }
        }
    }
    let shared = places.iter().filter(|(_, places)| places.len() > 1);
    told(shared.map(|(name, places)| format!("{name} is the name of several types: {}", places.join(", "))).collect());
}
