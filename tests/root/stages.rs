//! What every stage makes of the small shows of the examples, as text beside the test: the model, the frames, the reel. `INSTA_UPDATE=always cargo test --test root stages` writes them anew; read the difference.

use pageloom::build::{BuildOptions, Built, build};
use pageloom::reel::{Layout, list};
use std::fmt::Write;

const SHOWS: [(&str, &str); 4] = [
    ("beacon", "examples/attiny85/beacon.ron"),
    ("depth", "examples/two-displays/depth.ron"),
    ("engine", "examples/two-displays/engine.ron"),
    ("range", "examples/two-displays/range.ron"),
];

/// Of the frames, each so many-th one.
const EVERY: usize = 9;

fn each(stage: &str, text: impl Fn(&Built) -> String) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_snapshot_path("../cases/stages");
    settings.set_omit_expression(true);
    settings.bind(|| {
        for (name, script) in SHOWS {
            let built = build(script, &BuildOptions::default());
            assert!(built.production.is_some(), "{}", built.words());
            insta::assert_snapshot!(format!("{name}-{stage}"), text(&built));
        }
    });
}

fn show_of(built: &Built) -> &pageloom::show::Show {
    &built.production.as_ref().expect("built").show
}

#[test]
fn models_are_as_before() {
    each("model", |built| {
        let show = show_of(built);
        let scene = |scene: &pageloom::show::Scene| {
            let mut text = format!(
                "{}: {} frames, then {:?}, reactions {:?}, cues {:?}\n",
                scene.name,
                scene.frames.0,
                scene.then,
                scene.reactions,
                scene.cues.iter().map(|mark| (mark.frame, mark.cue.0)).collect::<Vec<_>>()
            );
            for layer in &scene.layers {
                let _ = writeln!(text, "  {}: {:?}", layer.name, layer.drawing);
            }
            text
        };
        show.scenes().iter().map(scene).collect()
    });
}

#[test]
fn frames_are_as_before() {
    each("frames", |built| {
        let mut text = String::new();
        let mut last = None;
        for shown in built.production.as_ref().expect("built").rehearsal.shown.iter().step_by(EVERY) {
            if last != Some((&shown.scene, &shown.picture)) {
                let _ = writeln!(text, "{} {:?}\n{}", shown.scene, shown.stays, shown.picture);
            }
            last = Some((&shown.scene, &shown.picture));
        }
        text
    });
}

#[test]
fn reels_are_as_before() {
    each("reel", |built| {
        let reel = built.production.as_ref().expect("built").reel();
        let Layout { header_bytes, .. } = reel.layout;
        let line = |line: pageloom::reel::ListedLine| format!("{:04X}  {}\n", line.offset, line.text);
        list(&reel.bytes, header_bytes, reel.bytes.len()).into_iter().map(line).collect()
    });
}
