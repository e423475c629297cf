//! Scripts with faults: each `tests/cases/bad/NAME.ron`, and each of `tests/cases/unfit`, whose faults are found when it is planned,
//! must give the findings of `NAME.err`; `PAGELOOM_BLESS=1` rewrites them.

use pageloom::budget::compile;
use pageloom::diag::{Findings, Severity, render};
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use std::fs;
use std::path::{Path, PathBuf};

/// From the package's root, where tests run, so that no path of a machine gets into the findings.
const FOLDER: &str = "tests/cases/bad";
const UNFIT: &str = "tests/cases/unfit";

fn files(folder: &str, extension: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap_or_else(|error| panic!("{folder} cannot be read: {error}"));
    let paths = entries.map(|entry| entry.expect("a readable folder").path());
    let mut found: Vec<PathBuf> = paths.filter(|path| path.extension().is_some_and(|end| end == extension)).collect();
    found.sort();
    found
}

/// The findings of a script as text, and whether a show came of it.
fn findings(path: &Path) -> (String, bool, usize) {
    let mut reader = Reader::new(&Disk);
    let mut findings = Findings::default();
    let show = load(&mut reader, path, &mut findings);
    (render(&findings, &reader.sources, false), show.is_some(), findings.count(Severity::Error))
}

#[test]
fn every_fault_is_told_at_its_place_and_all_at_once() {
    let cases = files(FOLDER, "ron");
    assert!(cases.len() >= 10, "only {} cases in {FOLDER}", cases.len());
    let mut differing = Vec::new();
    for case in cases {
        let (told, loaded, errors) = findings(&case);
        assert!(!told.is_empty(), "{} has no fault", case.display());
        assert_eq!(
            loaded,
            errors == 0,
            "{}: a show must come of a script without errors and of no other",
            case.display()
        );
        differing.extend(differs(&case, told));
    }
    assert!(differing.is_empty(), "PAGELOOM_BLESS=1 accepts:\n{}", differing.join("\n"));
}

/// The findings of a case if they differ from the expected ones. With PAGELOOM_BLESS they become the expected ones.
fn differs(case: &Path, told: String) -> Option<String> {
    let expected = case.with_extension("err");
    if std::env::var_os("PAGELOOM_BLESS").is_some() {
        fs::write(&expected, &told).expect("a writable folder");
        return None;
    }
    (fs::read_to_string(&expected).ok().as_ref() != Some(&told)).then(|| format!("{}\n{told}", case.display()))
}

#[test]
fn what_cannot_be_made_is_told_with_what_it_would_take() {
    let mut differing = Vec::new();
    for case in files(UNFIT, "ron") {
        let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
        let show =
            load(&mut reader, &case, &mut findings).unwrap_or_else(|| panic!("{}: {findings:?}", case.display()));
        assert!(compile(&show, &pageloom::render::render(&show), &mut findings).is_none(), "{}", case.display());
        assert!(findings.iter().all(|finding| !finding.hints.is_empty()), "{}", case.display());
        differing.extend(differs(&case, render(&findings, &reader.sources, false)));
    }
    assert!(differing.is_empty(), "PAGELOOM_BLESS=1 accepts:\n{}", differing.join("\n"));
}

#[test]
fn every_expected_text_belongs_to_a_script() {
    for expected in files(FOLDER, "err").into_iter().chain(files(UNFIT, "err")) {
        assert!(expected.with_extension("ron").exists(), "{} has no script", expected.display());
    }
}

#[test]
fn every_fault_comes_with_what_would_mend_it() {
    for case in files(FOLDER, "ron") {
        let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
        load(&mut reader, &case, &mut findings);
        for finding in findings.iter() {
            assert!(!finding.hints.is_empty(), "{}: {} has no help", case.display(), finding.message);
        }
    }
}
