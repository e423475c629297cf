//! The legibility of the demo against figures worked out elsewhere, and shows that are too small, cut off or ambiguous.

use pageloom::budget::{Figure, budgets, choose};
use pageloom::diag::{Findings, Severity, render as told};
use pageloom::reel::Options;
use pageloom::render::render;
use pageloom::show::load;
use pageloom::source::{FilesInMemory, Reader};
use std::path::Path;

/// The figures of the demo with some of its text changed, and what is told.
fn demo(changes: &[(&str, &str)]) -> (Vec<Figure>, String, Findings) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut script = std::fs::read_to_string(root.join("scenes/helm.ron")).expect("the demo is there");
    for (from, to) in changes {
        assert!(script.contains(from), "the demo has no `{from}`");
        script = script.replace(from, to);
    }
    let mut files = FilesInMemory::default().with("scenes/helm.ron", script);
    for name in [
        "fonts/cleat.ron",
        "fonts/cleat.png",
        "fonts/binnacle.ron",
        "fonts/binnacle.png",
        "fonts/chandlery.ron",
        "fonts/chandlery.png",
        "scenes/submersible.png",
    ] {
        files = files.with(name, std::fs::read(root.join(name)).expect("the demo's files are there"));
    }
    let mut reader = Reader::new(&files);
    let mut findings = Findings::default();
    let show = load(&mut reader, Path::new("scenes/helm.ron"), &mut findings);
    let show = show.unwrap_or_else(|| panic!("{}", told(&findings, &reader.sources, false)));
    let frames = render(&show);
    let choice = choose(Options::default(), &show, &frames, &mut findings).expect("a reel");
    let all = budgets(&show, &choice, &frames, None, &mut findings);
    let figures = all.into_iter().find(|budget| budget.title == "legibility").expect("the budget is there").figures;
    (figures, told(&findings, &reader.sources, false), findings)
}

fn value(figures: &[Figure], name: &str) -> f64 {
    figures.iter().find(|figure| figure.name.starts_with(name)).unwrap_or_else(|| panic!("{name}")).value
}

/// Five rows at a pitch of 0.13 mm are 0.65 mm, 8.9′ at 250 mm; seven are 0.91 mm: 2·atan(0.91 / 500) = 12.5′. One pixel
/// (0.128 mm across) is 1.76′.
#[test]
fn the_demo_is_small_on_purpose_and_resolved() {
    let (figures, text, findings) = demo(&[]);
    assert_eq!(findings.count(Severity::Warning) + findings.count(Severity::Error), 0, "{text}");
    assert!((value(&figures, "smallest text") - 8.94).abs() < 0.01, "{figures:?}");
    assert!((value(&figures, "`Typed 1 “MARTEN 04”` of scene boot") - 12.51).abs() < 0.01, "{figures:?}");
    assert!((value(&figures, "one pixel") - 1.76).abs() < 0.01, "{figures:?}");
    for part in ["0.650 mm high, 8.94′ at 250 mm", "comfortable to read at up to 140 mm", "scenes/helm.ron:"] {
        assert!(text.contains(part), "{part}\nis not in\n{text}");
    }
    assert_eq!(text.matches("below the 16′").count(), 2, "one note for each font\n{text}");
    assert!(value(&figures, "Cleat: nearest pair") >= 2.0);
}

/// 0.65 mm under 5′ is seen from 447 mm, a stroke of 0.128 mm under 1′ from 440 mm.
#[test]
fn what_no_eye_resolves_is_a_warning_with_the_distance_that_would_do() {
    let (_, text, findings) = demo(&[("viewing_distance: 250", "viewing_distance: 430")]);
    assert_eq!(findings.count(Severity::Warning), 0, "{text}");
    let (_, text, findings) = demo(&[("viewing_distance: 250", "viewing_distance: 450")]);
    assert_eq!(findings.count(Severity::Warning), 2, "{text}");
    assert!(
        text.contains("too small to read for normal vision") && text.contains("up to 438 mm")
            || text.contains("up to 440 mm"),
        "{text}"
    );
    let (_, text, findings) = demo(&[("viewing_distance: 250", "viewing_distance: 100")]);
    assert_eq!(findings.count(Severity::Note) + findings.count(Severity::Warning), 0, "{text}");
}

#[test]
fn lines_that_a_roll_cuts_off_are_told_with_what_fits() {
    // 18 letters, one every 4 columns, take 71 columns; the nineteenth passes the edge.
    let (_, text, _) = demo(&[("REACTOR   NONE", "ABCDEFGHIJKLMNOPQR")]);
    assert!(!text.contains("wider than the 72"), "{text}");
    let (_, text, _) = demo(&[("REACTOR   NONE", "ABCDEFGHIJKLMNOPQRS")]);
    assert!(text.contains("1 line is wider than the 72 columns of `Roll 2 “ABCDEFGHIJKLMNOP…”`"), "{text}");
    assert!(text.contains("by 3 pixels") && text.contains("first 18 characters fit"), "{text}");
}
