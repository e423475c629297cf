//! The figures that a build writes as JSON, held against their schema (JSON Schema 2020-12) by the Python library jsonschema.

use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::Command;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// What the library says of each document, a line for each fault or `good`.
fn judged(documents: &[PathBuf]) -> Vec<String> {
    let arguments = ["tests/root/schema.py", "src/emit/record.schema.json"].map(|file| Path::new(ROOT).join(file));
    let output =
        Command::new("python3").args(arguments).args(documents).output().expect("python3 is needed for this test");
    let faults = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "jsonschema for python3 is needed for this test (python3-jsonschema): {faults}");
    String::from_utf8(output.stdout).expect("text").lines().map(String::from).collect()
}

/// The document of a show, built into a folder.
fn record(folder: &Path, script: &Path) -> PathBuf {
    let name = script.file_stem().expect("a name");
    let out = folder.join(name);
    let mut program = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    // One show with all that a build searches for; a quick build has the same document.
    let quick: &[&str] = if name == "sign" { &[] } else { &["--quick"] };
    let output =
        program.arg("build").args(quick).arg(script).arg("--out").arg(&out).output().expect("the program runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut made = std::fs::read_dir(&out).expect("a folder").flatten().map(|entry| entry.path());
    made.find(|path| path.extension().is_some_and(|ending| ending == "json")).expect("a document")
}

fn shows() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(Path::new(ROOT).join("scenes")).expect("the shows are there").flatten();
    let mut shows: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    shows.retain(|path| path.extension().is_some_and(|ending| ending == "ron"));
    shows.push(Path::new(ROOT).join("tests/cases/flashing/strobe.ron"));
    shows.sort();
    shows
}

#[test]
fn the_document_of_every_show_keeps_to_the_schema() {
    let folder = tempfile::tempdir().expect("a folder");
    let documents: Vec<PathBuf> = shows().iter().map(|script| record(folder.path(), script)).collect();
    let judged = judged(&documents);
    assert!(documents.len() >= 6 && judged.iter().all(|line| line.ends_with(": good")), "{}", judged.join("\n"));
}

/// Documents that are wrong in one place each must be refused, and for that place.
#[test]
fn documents_that_are_wrong_are_refused_where_they_are_wrong() {
    let folder = tempfile::tempdir().expect("a folder");
    let good = std::fs::read_to_string(record(folder.path(), &Path::new(ROOT).join("scenes/helm.ron"))).expect("text");
    let good: Value = serde_json::from_str(&good).expect("JSON");
    let wrong = [
        ("/show", json!(""), "$.show"),
        ("/frames_a_second", json!(0), "$.frames_a_second"),
        ("/scenes", json!([]), "$.scenes"),
        ("/bus/others/0/address", json!(120), "$.bus.others[0].address"),
        ("/bus/others/0/times_a_second", json!(0), "$.bus.others[0].times_a_second"),
        ("/scenes/0/contrast", json!(256), "$.scenes[0].contrast"),
        ("/scenes/0/then", json!("later"), "$.scenes[0].then"),
        ("/scenes/0/bus_bytes/3", json!(-1), "$.scenes[0].bus_bytes[3]"),
        ("/reel/bytes", json!(70_000), "$.reel.bytes"),
        ("/triggers/1", json!("leak"), "$.triggers"),
        ("/budgets/0/figures/0/value", json!("much"), "$.budgets[0].figures[0].value"),
        ("/budgets/0/figures/0/source", json!(""), "$.budgets[0].figures[0].source"),
        ("/findings/0/severity", json!("dire"), "$.findings[0].severity"),
        ("/preview", json!({"frames": 1, "seconds": 1, "raised": [], "more": 0}), "$.preview"),
    ];
    let write = |(number, (pointer, value, _)): (usize, &(&str, Value, &str))| {
        let mut document = good.clone();
        *document.pointer_mut(pointer).unwrap_or_else(|| panic!("{pointer} is there")) = value.clone();
        let path = folder.path().join(format!("{number}.json"));
        std::fs::write(&path, document.to_string()).expect("written");
        path
    };
    let documents: Vec<PathBuf> = wrong.iter().enumerate().map(write).collect();
    let judged = judged(&documents);
    for (document, (.., place)) in documents.iter().zip(&wrong) {
        let told = format!("{}: {place}: ", document.display());
        assert!(judged.iter().any(|line| line.starts_with(&told)), "{told}\nis not in\n{}", judged.join("\n"));
    }
}
