//! `--quick`: the same pictures in less time, told as such, and nothing of a full build is touched.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

const NOISE: &str = "marquee";

/// A dense show, in a folder of its own.
fn dense_show() -> tempfile::TempDir {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().expect("a folder");
    let mut script = std::fs::read_to_string(root.join("scenes/bench/marquee.ron")).expect("a show");
    for (here, there) in [("Show(", "Show(profile: Dense, "), ("ram_left: 900", "ram_left: 1_200")] {
        assert!(script.contains(here), "{here}");
        script = script.replacen(here, there, 1);
    }
    let script = script.replace("\"../../", &format!("\"{}/", root.display()));
    std::fs::write(folder.path().join("noise.ron"), script).expect("written");
    folder
}

/// Runs the program, which must end well; what it said, both ways.
fn said(folder: &Path, arguments: &[&str]) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    let output = program.current_dir(folder).args(arguments).output().expect("the program runs");
    let words = [output.stdout, output.stderr].map(|bytes| String::from_utf8(bytes).expect("text")).concat();
    assert!(output.status.success(), "{arguments:?}: {words}");
    words
}

/// The files of a show below `out` with what they hold.
fn files(folder: &Path, show: &str) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(folder.join("out").join(show)).expect("written").flatten();
    let file = |entry: std::fs::DirEntry| {
        (entry.file_name().to_string_lossy().into_owned(), std::fs::read(entry.path()).expect("a file"))
    };
    entries.map(file).collect()
}

/// The bytes of the reel and the findings that a build's figures tell.
fn figures(json: &[u8]) -> (u64, String) {
    let json: serde_json::Value = serde_json::from_slice(json).expect("JSON");
    (json["reel"]["bytes"].as_u64().expect("a number"), json["findings"].to_string())
}

/// The pictures of a GIF in turn, each once: how long each stands differs between the two profiles by what their players take.
fn pictures(gif: &[u8]) -> Vec<Vec<u8>> {
    let decoder = image::codecs::gif::GifDecoder::new(std::io::Cursor::new(gif)).expect("a GIF");
    let frames = image::AnimationDecoder::into_frames(decoder).collect_frames().expect("frames");
    let mut pictures: Vec<Vec<u8>> = frames.into_iter().map(|frame| frame.into_buffer().into_raw()).collect();
    pictures.dedup();
    pictures
}

#[test]
fn a_quick_build_says_so_shows_the_same_and_leaves_a_full_one_alone() {
    let folder = dense_show();
    let whole = said(folder.path(), &["build", "noise.ron"]);
    assert!(!whole.contains("quick"), "{whole}");
    let full = files(folder.path(), NOISE);
    let words = said(folder.path(), &["build", "noise.ron", "--quick"]);
    assert!(
        words.contains("quick build: no preview, filmstrip or firmware")
            && words.contains("quick build with a lean reel"),
        "{words}"
    );
    assert!(words.contains("every pixel as drawn"), "{words}");
    let mut both = files(folder.path(), NOISE);
    let quick = ["json", "html"].map(|ending| both.remove(&format!("{NOISE}-quick.{ending}")).expect("written"));
    assert!(both == full, "a quick build changes nothing of a full one: {:?}", both.keys());
    let ((small, _), (large, findings)) = (figures(&full[&format!("{NOISE}.json")]), figures(&quick[0]));
    assert!(large != small, "a lean reel of {large} B in place of a dense one of {small} B");
    assert!(findings.contains("were not checked"), "{findings}");
    assert!(String::from_utf8_lossy(&quick[1]).contains("were not checked"), "the report tells it too");
}

#[test]
fn a_quick_preview_has_the_same_pictures_and_no_filmstrip() {
    let folder = dense_show();
    let words = said(folder.path(), &["preview", "noise.ron", "--quick"]);
    assert!(words.contains("quick build with a lean reel"), "{words}");
    let quick = files(folder.path(), NOISE);
    said(folder.path(), &["preview", "noise.ron"]);
    let (full, gif) = (files(folder.path(), NOISE), format!("{NOISE}.gif"));
    assert_eq!(quick.keys().collect::<Vec<_>>(), [&gif]);
    assert!(pictures(&quick[&gif]) == pictures(&full[&gif]), "other pictures");
    assert!(full.contains_key(&format!("{NOISE}.png")));
}

#[test]
fn a_quick_build_of_a_lean_show_has_its_own_reel_and_is_held_to_its_limits() {
    let folder = tempfile::tempdir().expect("a folder");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/scenes/helm.ron");
    let words = said(folder.path(), &["build", script, "--quick"]);
    assert!(!words.contains("quick build with a lean reel"), "it is the reel of a full build: {words}");
    said(folder.path(), &["build", script]);
    let files = files(folder.path(), "helm");
    assert_eq!(figures(&files["helm-quick.json"]).0, figures(&files["helm.json"]).0);
}
