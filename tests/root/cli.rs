//! The program as a person runs it: what it writes, what it says, how it ends.

use std::path::Path;
use std::process::{Command, Output};

fn pageloom(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pageloom")).current_dir(folder).args(arguments).output().expect("the program runs")
}

fn said(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.code().unwrap_or(-1), text(&output.stdout), text(&output.stderr))
}

#[test]
fn wrong_usage_ends_with_2_and_help_with_0() {
    let folder = tempfile::tempdir().expect("a folder");
    assert_eq!(said(&pageloom(folder.path(), &["nonsense"])).0, 2);
    assert_eq!(said(&pageloom(folder.path(), &["sheet", "new", "f.ron", "--cell", "big"])).0, 2);
    let (code, help, _) = said(&pageloom(folder.path(), &["--help"]));
    assert_eq!(code, 0);
    assert!(help.contains("sheet"), "{help}");
}

#[test]
fn a_sheet_is_laid_out_extended_and_never_written_over_unasked() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |arguments: &[&str]| said(&pageloom(folder.path(), arguments));
    let (code, words, faults) = run(&["sheet", "new", "deck.ron", "--cell", "4x6", "--for", "A-F"]);
    assert_eq!((code, faults.as_str()), (0, ""), "{words}");
    let ron = || std::fs::read_to_string(folder.path().join("deck.ron")).expect("written");
    assert!(words.contains("deck.png") && ron().contains("\"ABCDEF\""), "{words}");
    let (code, _, faults) = run(&["sheet", "new", "deck.ron", "--for", "X"]);
    assert_eq!(code, 1);
    assert!(faults.contains("deck.ron already exists") && faults.contains("--replace"), "{faults}");
    let before = ron();
    assert_eq!(run(&["sheet", "extend", "deck.ron", "--for", "A-F 0-9"]).0, 0);
    assert!(ron().contains("\"012345\"") && before != ron(), "{}", ron());
    let (code, words, _) = run(&["sheet", "extend", "deck.ron", "--for", "A"]);
    assert!(code == 0 && words.contains("already"), "{words}");
    let (code, _, faults) = run(&["sheet", "extend", "none.ron", "--for", "A"]);
    assert!(code == 1 && faults.contains("there is no file none.ron"), "{faults}");
}

#[test]
fn panels_names_every_row_and_numbers_its_source() {
    let folder = tempfile::tempdir().expect("a folder");
    let (code, words, _) = said(&pageloom(folder.path(), &["panels"]));
    assert_eq!(code, 0);
    for panel in pageloom::panel::panels() {
        assert!(words.contains(&*panel.name), "{words}");
    }
    let (_, words, _) = said(&pageloom(folder.path(), &["panels", "sh1106"]));
    assert!(words.contains("1.3in") && !words.contains("0.49in") && words.contains("[1]"), "{words}");
    let (_, words, _) = said(&pageloom(folder.path(), &["panels", "84x48"]));
    assert!(words.contains("0.350×0.410") && words.contains("within 30 ms"), "{words}");
}

#[test]
fn the_demo_is_built_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/scenes/helm.ron");
    let (code, words, faults) = said(&pageloom(folder.path(), &["build", script]));
    assert_eq!(code, 0, "{faults}");
    assert!(words.contains("every pixel as drawn"), "{words}");
    for ending in ["gif", "png", "c", "h", "rs", "json"] {
        assert!(folder.path().join("out/helm/helm").with_extension(ending).exists(), "{ending}\n{words}");
    }
}

#[test]
fn a_preview_follows_a_list_of_triggers_and_tells_its_course() {
    let folder = tempfile::tempdir().expect("a folder");
    let root = env!("CARGO_MANIFEST_DIR");
    let run = |events: &str| {
        let (show, events) = (format!("{root}/scenes/helm.ron"), format!("{root}/tests/cases/events/{events}.ron"));
        said(&pageloom(folder.path(), &["preview", &show, "--events", &events]))
    };
    let (code, words, faults) = run("alert");
    assert_eq!(code, 0, "{faults}");
    let course: Vec<&str> = words.lines().take_while(|line| !line.starts_with("wrote")).map(str::trim).collect();
    assert_eq!(course[4..6], ["11.00 s  trigger leak, scene leak, cue klaxon", "15.00 s  cue klaxon"], "{words}");
    assert_eq!(course[7..9], ["20.00 s  trigger wake, scene sonar, cue ping", "24.00 s  cue ping"], "{words}");
    assert_eq!(course.last(), Some(&"30.00 s  end"));
    assert!(folder.path().join("out/helm/helm-events.gif").exists());
    let (code, words, faults) = run("unknown-field");
    assert!(code == 1 && words.is_empty() && faults.contains("Events has no field `name`"), "{words}{faults}");
    let (code, _, faults) = run("wrong");
    assert_eq!(code, 1);
    assert!(faults.contains("no trigger `leek`") && faults.contains("did you mean `leak`?"), "{faults}");
    assert!(faults.contains("wrong.ron:5:21") && faults.contains("from 0 to 600"), "{faults}");
    assert!(faults.contains("this trigger comes at 31 s, after the end of the preview at 30 s"), "{faults}");
}

#[test]
fn a_still_shows_a_moment_of_the_preview_and_none_after_its_end() {
    let folder = tempfile::tempdir().expect("a folder");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/scenes/helm.ron");
    let run = |more: &[&str]| {
        said(&pageloom(folder.path(), &[&["preview", "--quick", script, "--scale", "4", "--photo"], more].concat()))
    };
    let still = folder.path().join("out/helm/helm-photo.png");
    let (code, _, faults) = run(&["12"]);
    assert_eq!(code, 0, "{faults}");
    let new = image::open(&still).expect("a picture").to_luma8();
    let (code, _, faults) = run(&["12", "--hours", "5000"]);
    assert_eq!(code, 0, "{faults}");
    let old = image::open(&still).expect("a picture").to_luma8();
    assert_eq!(new.dimensions(), old.dimensions());
    let light = |picture: &image::GrayImage| picture.pixels().map(|pixel| u64::from(pixel.0[0])).sum::<u64>();
    assert!(light(&old) < light(&new), "a worn display is darker");
    let (code, words, faults) = run(&["1200"]);
    assert!(code == 1 && words.is_empty() && faults.contains("it ends at 60.00 s"), "{faults}");
    let (code, _, faults) = run(&["-1"]);
    assert_eq!(code, 2, "{faults}");
}

/// How many pixels of a picture are bright; of a GIF, of its first frame.
fn bright(path: &Path) -> usize {
    image::open(path).expect("a picture").to_luma8().pixels().filter(|pixel| pixel.0[0] > 150).count()
}

#[test]
fn a_preview_begins_where_it_is_told_and_that_of_the_readme_with_the_title() {
    let folder = tempfile::tempdir().expect("a folder");
    let root = env!("CARGO_MANIFEST_DIR");
    let show = format!("{root}/scenes/helm.ron");
    let run =
        |from: &str| said(&pageloom(folder.path(), &["preview", "--quick", &show, "--scale", "4", "--from", from]));
    let made = folder.path().join("out/helm/helm.gif");
    let (code, _, faults) = run("0");
    assert_eq!(code, 0, "{faults}");
    let at_once = bright(&made);
    let (code, _, faults) = run("1.2");
    assert_eq!(code, 0, "{faults}");
    let with_title = bright(&made);
    assert!(with_title > 4 * at_once, "{with_title} after {at_once}");
    assert_eq!(bright(&Path::new(root).join("scenes/gallery/helm.gif")), with_title);
    let (code, words, faults) = run("61");
    assert!(code == 1 && words.is_empty() && faults.contains("the preview is only 60 s long"), "{faults}");
}

#[test]
fn a_show_is_checked_without_writing_and_parts_of_it_are_emitted() {
    let folder = tempfile::tempdir().expect("a folder");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/scenes/helm.ron");
    let run = |arguments: &[&str]| said(&pageloom(folder.path(), arguments));
    let (code, words, faults) = run(&["check", "--explain", script]);
    // Small letters are what the demo is about: notes say how small, and nothing else is found.
    assert!(code == 0 && !faults.contains("warning") && !faults.contains("error"), "{faults}{words}");
    assert!(faults.contains("readable with normal vision"), "{faults}");
    assert!(words.contains("UM10204") && words.contains("flash in total"), "{words}");
    assert!(words.contains("flash is used by"), "{words}");
    assert!(!folder.path().join("out").exists());
    let (code, words, _) = run(&["emit", "frames", script, "--scene", "sonar", "--every", "100", "--language", "rust"]);
    assert!(code == 0 && words.contains("out/helm/helm-frames.rs"), "{words}");
    let arrays = std::fs::read_to_string(folder.path().join("out/helm/helm-frames.rs")).expect("written");
    assert_eq!(arrays.matches(": [u8; 360]").count(), 3, "12 s at 20 a second, each hundredth");
    let (code, _, faults) = run(&["emit", "frames", script, "--scene", "sonr"]);
    assert!(code == 1 && faults.contains("did you mean `sonar`?"), "{faults}");
    assert_eq!(run(&["emit", "hex", script, "--address", "0x7000"]).0, 0);
    let hex = std::fs::read_to_string(folder.path().join("out/helm/helm.hex")).expect("written");
    assert!(hex.starts_with(":10700000") && hex.ends_with(":00000001FF\n"), "Intel HEX, revision A of 1988");
}
