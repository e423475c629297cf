//! The same input gives the same bytes wherever it lies, and a build that fails leaves what was there whole.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn build(folder: &Path, script: &str, more: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    command.current_dir(folder).args(["build", script, "--out", "made"]).args(more).output().expect("the program runs")
}

/// A folder with a small show and its font, in a place of its own.
fn workplace() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["cleat.ron", "cleat.png"] {
        std::fs::copy(Path::new("fonts").join(name), folder.path().join(name)).expect("copied");
    }
    write_show(folder.path(), "READY");
    folder
}

fn write_show(folder: &Path, text: &str) {
    let script = format!(
        r#"Show(
    name: "lamp", panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000),
    microcontroller: Part(name: "ATmega328P", flash_left: 8_000, ram_left: 300), frame_rate: 20,
    fonts: {{"small": "cleat.ron"}}, triggers: {{"knock": Go("knocked")}}, start: "rest",
    scenes: [
        Scene(name: "rest", seconds: 3, then: Repeat, layers: [
            Typed(text: "{text}", font: "small", at: Centre, letters_a_second: 4),
            Sweep(at: Left(12, 0), radius: 11, seconds_a_turn: 3, trail_degrees: 90),
        ]),
        Scene(name: "knocked", seconds: 1, then: Go("rest"), layers: [
            Circle(at: Centre, radius: Ramp(from: 1, to: 19, seconds: 1)),
        ]),
    ],
)
"#
    );
    std::fs::write(folder.join("lamp.ron"), script).expect("written");
}

fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let entries = std::fs::read_dir(folder.join("made")).expect("the output").map(|entry| entry.expect("readable"));
    entries.map(|entry| (entry.file_name().into(), std::fs::read(entry.path()).expect("a file"))).collect()
}

#[test]
fn the_same_show_gives_the_same_bytes_everywhere() {
    let (one, two) = (workplace(), workplace());
    let first = build(one.path(), "lamp.ron", &[]);
    assert!(first.status.success(), "{}", String::from_utf8_lossy(&first.stderr));
    let absolute = two.path().join("lamp.ron").display().to_string();
    assert!(build(two.path(), &absolute, &[]).status.success());
    let (first, second) = (files(one.path()), files(two.path()));
    assert!(first.len() >= 6, "{:?}", first.keys());
    assert!(first == second, "one of {:?} differs", first.keys());
    for (name, bytes) in &second {
        let found = bytes.windows(absolute.len()).any(|window| window == absolute.as_bytes());
        assert!(!found, "{} holds the path of this machine", name.display());
    }
}

#[test]
fn a_failed_build_leaves_the_former_output_whole() {
    let folder = workplace();
    assert!(build(folder.path(), "lamp.ron", &[]).status.success());
    let before = files(folder.path());
    write_show(folder.path(), "½");
    let failed = build(folder.path(), "lamp.ron", &[]);
    assert_eq!(failed.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&failed.stderr).contains("no glyph for `½`"));
    assert!(files(folder.path()) == before);
    // A warning is no fault, unless it is asked to be one.
    write_show(folder.path(), "");
    assert_eq!(build(folder.path(), "lamp.ron", &["--strict"]).status.code(), Some(1));
    assert!(files(folder.path()) == before);
    assert_eq!(build(folder.path(), "lamp.ron", &[]).status.code(), Some(0));
    assert!(files(folder.path()) != before);
}
