//! Several shows in one firmware: built together or one after the other, the player there once; clashes that are told, and the
//! compiler stopped where the player lacks something.

use std::path::Path;
use std::process::Command;

const PLAIN: &str = r#"layers: [Border()]"#;
const BEAM: &str = r#"layers: [Sweep(at: Centre, radius: 18, seconds_a_turn: 12, trail_degrees: 120)]"#;

/// A show of one scene on a part with little flash, so that a beam is generated and not stored.
fn script(folder: &Path, file: &str, name: &str, more: &str, layers: &str) {
    let text = format!(
        r#"Show(name: "{name}", frame_rate: 20, panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000), microcontroller: Part(name: "ATmega328P", flash_left: 7_000),
            start: "only", {more} scenes: [Scene(name: "only", seconds: 12, then: Repeat, {layers})])"#
    );
    std::fs::write(folder.join(file), text).expect("written");
}

/// Runs the program; its words, and whether all was well.
fn pageloom(folder: &Path, arguments: &str) -> (bool, String) {
    let ran =
        Command::new(env!("CARGO_BIN_EXE_pageloom")).current_dir(folder).args(arguments.split_whitespace()).output();
    let ran = ran.expect("the program runs");
    (ran.status.success(), String::from_utf8_lossy(&ran.stderr).into_owned() + &String::from_utf8_lossy(&ran.stdout))
}

fn read(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Compiles C files with warnings as errors; what the compiler said if it refused.
fn compiles(folder: &Path, files: &str) -> Result<(), String> {
    let strict = "-std=c99 -Wall -Wextra -Werror -pedantic -c";
    let ran = Command::new("gcc").current_dir(folder).args(format!("{strict} {files}").split_whitespace()).output();
    let ran = ran.expect("gcc is needed for this test");
    if ran.status.success() { Ok(()) } else { Err(String::from_utf8_lossy(&ran.stderr).into_owned()) }
}

fn scripts() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    script(folder.path(), "plain.ron", "plain", "", PLAIN);
    script(folder.path(), "beam.ron", "beam", "", BEAM);
    script(folder.path(), "copy.ron", "copy", "profile: Dense,", BEAM);
    folder
}

#[test]
fn shows_built_together_and_one_after_the_other_come_to_the_same() {
    let folder = scripts();
    let path = folder.path();
    let (good, words) = pageloom(path, "build plain.ron beam.ron");
    assert!(good, "{words}");
    let together = path.join("out/plain-beam");
    assert!(compiles(&together, "plain.c beam.c pageloom_player.c").is_ok());
    for (show, told) in [("plain", ""), ("beam", "also supports the shows built into this folder before: plain")] {
        let (good, words) = pageloom(path, &format!("build {show}.ron --out later"));
        assert!(good && words.contains(told), "{words}");
    }
    for name in [
        "pageloom_config.h",
        "pageloom_config.rs",
        "pageloom_player.c",
        "pageloom_player.h",
        "pageloom_player.rs",
        "plain.c",
        "beam.h",
    ] {
        assert_eq!(read(&path.join("later"), name), read(&together, name), "{name}");
    }
    // What is gone from the folder is not served any more.
    std::fs::remove_file(path.join("later/beam.h")).expect("it was there");
    assert!(pageloom(path, "build plain.ron --out later").0);
    assert!(!read(&path.join("later"), "pageloom_config.h").contains("\n#define PAGELOOM_BEAM"));
}

#[test]
fn a_show_that_the_player_is_not_built_for_stops_the_compiler_with_what_to_do() {
    let folder = scripts();
    let path = folder.path();
    for show in ["plain", "beam", "copy"] {
        let (good, words) = pageloom(path, &format!("build {show}.ron --out {show}"));
        assert!(good, "{words}");
    }
    for (show, config, words) in [
        ("beam", "plain", "The show beam has a turning beam"),
        ("copy", "plain", "The show copy needs a picture copy"),
        ("plain", "copy", "The show plain plays without a picture copy"),
    ] {
        let tried = path.join(format!("{show}-by-{config}"));
        std::fs::create_dir(&tried).expect("made");
        for (from, file) in [
            (show, "pageloom_player.h"),
            (show, &format!("{show}.c")),
            (show, &format!("{show}.h")),
            (config, "pageloom_config.h"),
        ] {
            std::fs::copy(path.join(from).join(file), tried.join(file)).expect("copied");
        }
        let refused = compiles(&tried, &format!("{show}.c")).expect_err("the player lacks something");
        let all = format!(
            "{words}, but this player is not built for it. Build all shows of this firmware together: pageloom build {show}.ron OTHER.ron"
        );
        assert!(refused.contains(&all), "{refused}");
    }
}

#[test]
fn what_cannot_be_in_one_firmware_is_told_and_nothing_is_written() {
    let folder = scripts();
    let path = folder.path();
    script(path, "again.ron", "Beam", "", PLAIN);
    script(path, "taken.ron", "pageloom-player", "", PLAIN);
    let wide = r#"Show(name: "wide", frame_rate: 20, panel: "0.96in-128x64-ssd1306", bus: I2c(clock: 400_000), microcontroller: "ATmega328P",
        profile: Dense, start: "only", scenes: [Scene(name: "only", seconds: 1, layers: [Border()])])"#;
    std::fs::write(path.join("wide.ron"), wide).expect("written");
    std::fs::create_dir(path.join("own")).expect("made");
    std::fs::write(path.join("own/pageloom_config.h"), "#define PAGELOOM_BEAM\n").expect("written");
    for (arguments, words) in [
        ("build beam.ron again.ron --out new", "the shows `beam` and `Beam` would both be written to beam.c and .h"),
        ("build taken.ron --out new", "would overwrite the files pageloom_player.c and .h"),
        ("build plain.ron absent.ron --out new", "there is no file absent.ron"),
        ("build copy.ron wide.ron --out new", "a firmware has only one picture copy"),
        ("build plain.ron --out own", "was not written by this version of pageloom"),
    ] {
        let (good, told) = pageloom(path, arguments);
        assert!(!good && told.contains(words), "{arguments}:\n{told}");
        assert!(!path.join("new").exists() && !path.join("own/plain.c").exists(), "{arguments} wrote something");
    }
}
