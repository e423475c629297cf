//! The board without a server: requests as they are written, steps as they are taken back, and which files may be written.

use super::journal::{Journal, JournalStep};
use super::safety::real;
use super::*;
use crate::drawing::Action;

#[test]
fn requests_are_read_as_the_page_writes_them() {
    let read = |text: &str| Request::read(text.as_bytes());
    assert_eq!(read(r#"{"page":"a","undo":null}"#), Some(Request { page: "a".into(), deed: Deed::Undo }));
    assert_eq!(read(r#"{"page":"a","redo":null}"#), Some(Request { page: "a".into(), deed: Deed::Redo }));
    let drawn = read(r#"{"page":"a","do":{"sheet":"s","stroke":3,"action":{"draw":{"set":[[1,2]],"clear":[]}}}}"#);
    let action = Action::Draw { set: vec![(1, 2)], clear: Vec::new() };
    let expected = Request { page: "a".into(), deed: Deed::Do { sheet: "s".into(), stroke: 3, action } };
    assert_eq!(drawn, Some(expected));
    for wrong in ["", "{}", r#"{"page":"a"}"#, r#"{"page":"a","do":{}}"#, r#"{"undo":null}"#] {
        assert_eq!(read(wrong), None, "{wrong}");
    }
    let long = format!(r#"{{"page":"{}","undo":null}}"#, "a".repeat(65));
    assert_eq!(read(&long), None);
}

fn step(stroke: u64) -> JournalStep {
    let part = Part::Pixel { at: (1, 1), before: [0; 4], after: [1; 4] };
    JournalStep { sheet: "s".into(), stroke, parts: vec![part] }
}

#[test]
fn a_stroke_is_one_step_and_each_page_has_its_own() {
    let mut journal = Journal::default();
    journal.done("a", step(1));
    journal.done("a", step(1));
    journal.done("b", step(1));
    journal.done("a", step(2));
    assert_eq!(journal.last_done("a").map(|step| step.stroke), Some(2));
    journal.undo("a");
    assert_eq!(journal.last_done("a").map(|step| step.parts.len()), Some(2));
    assert_eq!(journal.last_undone("a").map(|step| step.stroke), Some(2));
    journal.redo("a");
    assert_eq!(journal.last_done("a").map(|step| step.stroke), Some(2));
    journal.undo("a");
    journal.done("a", step(3));
    assert_eq!(journal.last_undone("a"), None, "a new change ends what could be redone");
    assert_eq!(journal.last_done("b").map(|step| step.parts.len()), Some(1));
    (0..100).for_each(|page| journal.done(&page.to_string(), step(1)));
    assert_eq!(journal.last_done("a"), None, "a page that did nothing for long is forgotten");
}

#[cfg(unix)]
#[test]
fn links_are_followed_within_the_folder_of_the_show_alone() {
    use std::os::unix::fs::symlink;
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    for name in ["scenes", "fonts", "elsewhere"] {
        std::fs::create_dir(at(name)).expect("a folder");
        std::fs::write(at(name).join("a.png"), name).expect("written");
    }
    let scenes = at("scenes");
    symlink(at("elsewhere/a.png"), at("scenes/out.png")).expect("a link");
    symlink("a.png", at("scenes/in.png")).expect("a link");
    symlink(at("elsewhere"), at("scenes/away")).expect("a link");
    symlink(at("elsewhere/a.png"), at("fonts/out.png")).expect("a link");
    symlink(at("scenes"), at("door")).expect("a link");
    let inside = |name: &str| real(&scenes, &scenes.join(name));
    assert_eq!(inside("a.png"), Ok(at("scenes/a.png").canonicalize().expect("there")));
    assert_eq!(inside("in.png"), inside("a.png"), "a link within");
    assert_eq!(
        inside("../fonts/a.png"),
        Ok(at("fonts/a.png").canonicalize().expect("there")),
        "named beside the folder"
    );
    assert_eq!(real(&at("door"), &at("door").join("a.png")), inside("a.png"), "a link to the whole show");
    for wrong in ["out.png", "away/a.png", "../fonts/out.png", "absent.png", "../fonts"] {
        assert!(inside(wrong).is_err(), "{wrong}");
    }
}

#[test]
fn tokens_differ_and_are_compared_whole() {
    let board = || Board::new(WatchedFile::Show("a.ron".into()), false).expect("random numbers");
    let (one, other) = (board(), board());
    assert!(one.is_own(one.token()) && !one.is_own(other.token()) && !one.is_own("") && one.token().len() == 32);
}
