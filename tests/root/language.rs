//! The language of scenes, from script to display: every show here is read, drawn, compiled, and played by the shipped player
//! into the controller model; what is held against the script is what that display showed.

use pageloom::budget::compile;
use pageloom::diag::{Findings, Severity, render as told};
use pageloom::preview::{Events, Rehearsal, check_scenes, rehearse_events};
use pageloom::render::render;
use pageloom::show::{Show, TriggerId, load};
use pageloom::source::{FilesInMemory, Reader};
use std::path::Path;

/// The head of every script here: ten frames a second.
const HEAD: &str = r#"name: "t", frame_rate: 10, panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000),
    microcontroller: "ATmega328P", fonts: {"small": Shipped("cleat")},"#;

/// A show whose script goes on so, with further files; `Err` holds the findings.
pub fn read(script: &str, files: &[(&str, &str)]) -> Result<Show, String> {
    let mut memory = FilesInMemory::default().with("show.ron", format!("Show({HEAD} {script})"));
    for (path, text) in files {
        memory = memory.with(*path, *text);
    }
    let mut reader = Reader::new(&memory);
    let mut findings = Findings::default();
    let show = load(&mut reader, Path::new("show.ron"), &mut findings);
    let told = told(&findings, &reader.sources, false);
    match show {
        Some(show) if findings.count(Severity::Warning) == 0 => Ok(show),
        _ => Err(told),
    }
}

pub fn good(script: &str) -> Show {
    read(script, &[]).unwrap_or_else(|told| panic!("{told}"))
}

pub fn bad(script: &str) -> String {
    read(script, &[]).expect_err("this show has a fault")
}

/// What the display shows for so many frames when triggers are raised before these frames.
pub fn played(show: &Show, frames: u32, raised: &[(u32, usize)]) -> Rehearsal {
    let mut findings = Findings::default();
    let drawn = render(show);
    let reel = compile(show, &drawn, &mut findings).expect("a reel");
    assert!(check_scenes(show, &reel, &drawn, &mut findings), "{findings:?}");
    let raised = raised.iter().map(|(frame, trigger)| (*frame, TriggerId(*trigger))).collect();
    let played = rehearse_events(show, &reel, &drawn, &Events { raised, frames, ..Events::default() }, &mut findings);
    played.unwrap_or_else(|| panic!("{findings:?}"))
}

/// The scenes shown, each once with the frames that it stood.
pub fn course(rehearsal: &Rehearsal) -> Vec<(String, u32)> {
    let mut course: Vec<(String, u32)> = Vec::new();
    for shown in &rehearsal.shown {
        match course.last_mut() {
            Some((scene, frames)) if *scene == shown.scene => *frames += shown.frames,
            _ => course.push((shown.scene.clone(), shown.frames)),
        }
    }
    course
}

pub fn named(course: &[(&str, u32)]) -> Vec<(String, u32)> {
    course.iter().map(|(scene, frames)| ((*scene).to_owned(), *frames)).collect()
}

#[test]
fn contrast_fades_as_scripted_and_the_glass_takes_it() {
    let show = good(
        r#"start: "a", scenes: [Scene(name: "a", seconds: 1, contrast: Ramp(from: 0, to: 200, seconds: 0.5), layers: [
            Text(text: "A", font: "small", at: Centre)])]"#,
    );
    let contrasts: Vec<u8> = played(&show, 8, &[]).shown.iter().map(|shown| shown.contrast).collect();
    assert_eq!(contrasts, [0, 40, 80, 120, 160, 200, 200, 200]);
    assert!(
        bad(r#"start: "a", scenes: [Scene(name: "a", seconds: 1, contrast: 256, dark: true)]"#).contains("0 to 255")
    );
}

#[test]
fn a_scene_returns_by_itself_to_the_one_that_a_trigger_left() {
    let show = good(
        r#"start: "a", triggers: {"leak": Go("alert")}, scenes: [
            Scene(name: "a", seconds: 1, then: Go("b"), layers: [Text(text: "A", font: "small", at: Centre)]),
            Scene(name: "b", seconds: 1, then: Repeat, layers: [Text(text: "B", font: "small", at: Centre)]),
            Scene(name: "alert", seconds: 0.5, then: Back, triggers: {"leak": Ignore}, layers: [Border()]),
        ]"#,
    );
    let course = course(&played(&show, 25, &[(12, 0)]));
    assert_eq!(course, named(&[("a", 10), ("b", 2), ("alert", 5), ("b", 8)]));
}

#[test]
fn a_trigger_of_lower_priority_than_the_scene_is_ignored_unless_the_scene_says_otherwise() {
    let show = good(
        r#"start: "a", triggers: {"leak": Trigger(does: Go("alert"), priority: 2), "rest": Go("a")}, scenes: [
            Scene(name: "a", seconds: 1, then: Repeat, layers: [Text(text: "A", font: "small", at: Centre)]),
            Scene(name: "alert", seconds: 1, then: Repeat, priority: 1, layers: [Border()]),
        ]"#,
    );
    let reactions: Vec<usize> = [1, 0].into_iter().collect();
    let course = course(&played(&show, 20, &[(3, 0), (6, reactions[0])]));
    assert_eq!(course, named(&[("a", 3), ("alert", 17)]));
}

#[test]
fn a_layer_and_a_cue_come_after_the_layer_that_they_name() {
    let show = good(
        r#"start: "a", cues: ["ping"], scenes: [Scene(name: "a", then: Hold, cues: [Cue(at: After("log", 0.2), name: "ping")], layers: [
            Typed(name: "log", text: "ABCDE", font: "small", at: TopLeft, letters_a_second: 5, from: 0.5),
            Text(text: "OK", font: "small", at: Bottom, from: After("log", 0.1)),
        ])]"#,
    );
    let scene = &show.scenes()[0];
    assert_eq!((scene.layers[1].from, scene.cues[0].frame, scene.frames.0), (1.6, 17, 18));
    let told = bad(r#"start: "a", scenes: [Scene(name: "a", seconds: 1, layers: [
            Marquee(name: "tape", text: "A", font: "small", at: TopLeft, width: 40),
            Text(text: "OK", font: "small", at: Bottom, from: After("tape")),
            Text(text: "OK", font: "small", at: Top, from: After("tap")),
        ])]"#);
    assert!(told.contains("never ends") && told.contains("did you mean `tape`?"), "{told}");
}

#[test]
fn a_scene_lasts_until_what_it_shows_is_through() {
    let frames = |layer: &str| {
        good(&format!(r#"start: "a", scenes: [Scene(name: "a", layers: [{layer}])]"#)).scenes()[0].frames.0
    };
    // Three lines of 5 rows with a row between them leave an area of 10 rows after 27 rows: 2.7 s and a last frame.
    let roll = r#"Roll(text: ["A", "B", "C"], font: "small", at: Top, size: (72, 10), rows_a_second: 10)"#;
    assert_eq!(frames(roll), 28);
    assert_eq!(frames(r#"Countdown(seconds: 3, font: "small", at: Centre)"#), 31);
    assert_eq!(frames(r#"Wipe(share: Ramp(from: 1, to: 0, start: 0.5, seconds: 1))"#), 16);
    let group = format!(r#"Group(from: 1, stagger_seconds: 0.5, layers: [{roll}, {roll}])"#);
    assert_eq!(frames(&group), 43);
}

#[test]
fn styles_and_templates_stand_for_what_they_hold() {
    let show = good(
        r#"start: "a",
        styles: {"small": (font: "small"), "late": (from: 1.5, font: "none")},
        templates: {"gauge": Template(parameters: {"label": Needed, "row": 0, "part": 0.5}, layers: [
            Text(text: Given("label"), at: TopLeft(0, Given("row")), style: "small"),
            Bar(at: TopLeft(30, Given("row")), size: (40, 5), value: Given("part")),
        ])},
        scenes: [Scene(name: "a", seconds: 2, layers: [
            Use(template: "gauge", label: "TRIM", part: Ramp(from: 0, to: 1, seconds: 1)),
            Use(template: "gauge", label: "CELL", row: 8, from: 1),
            Text(text: "OK", style: ["small", "late"], at: Bottom),
        ])]"#,
    );
    let plain = good(
        r#"start: "a", scenes: [Scene(name: "a", seconds: 2, layers: [
            Group(layers: [Text(text: "TRIM", at: TopLeft(0, 0), font: "small"),
                Bar(at: TopLeft(30, 0), size: (40, 5), value: Ramp(from: 0, to: 1, seconds: 1))]),
            Group(from: 1, layers: [Text(text: "CELL", at: TopLeft(0, 8), font: "small"),
                Bar(at: TopLeft(30, 8), size: (40, 5), value: 0.5)]),
            Text(text: "OK", font: "small", from: 1.5, at: Bottom),
        ])]"#,
    );
    assert_eq!(render(&show), render(&plain));
    let told = bad(
        r#"start: "a", styles: {"title": (font: "small")}, templates: {"gauge": Template(parameters: {"label": Needed}, layers: [
            Text(text: Given("lable"), font: "small", at: Top)])},
        scenes: [Scene(name: "a", seconds: 2, layers: [
            Use(template: "gauge", label: "A"), Use(template: "gauge", labl: "A"), Use(template: "gage", label: "A"),
            Text(text: "A", style: "titel", at: Top)])]"#,
    );
    for word in [
        "no parameter `lable`",
        "no parameter `labl`",
        "needs `label`",
        "no template named `gage`",
        "no style named `titel`",
    ] {
        assert!(told.contains(word), "{word} is not in\n{told}");
    }
}

#[test]
fn files_are_taken_in_where_they_are_named_and_faults_are_told_in_them() {
    let script = r#"start: "a", styles: Include("parts/styles.ron"), scenes: [Include("parts/scenes.ron"),
        Scene(name: "b", like: "a", seconds: 1, then: Hold, layers: [Text(text: "B", style: "s", at: Bottom)])]"#;
    let styles = r#"{"s": (font: "small")}"#;
    let scenes =
        r#"[Scene(name: "a", seconds: 2, then: Go("b"), layers: [Text(text: File("log.txt"), style: "s", at: Top)])]"#;
    let show = read(script, &[("parts/styles.ron", styles), ("parts/scenes.ron", scenes), ("parts/log.txt", "LOG\n")]);
    let show = show.unwrap_or_else(|told| panic!("{told}"));
    let counts: Vec<usize> = show.scenes().iter().map(|scene| scene.layers.len()).collect();
    assert_eq!(counts, [1, 2]);
    let wrong = scenes.replace("seconds: 2", "seconds: 2000").replace("Top)", "Top), Include(\"scenes.ron\")");
    let told = read(script, &[("parts/styles.ron", styles), ("parts/scenes.ron", &wrong), ("parts/log.txt", "LOG\n")]);
    let told = told.expect_err("faults");
    assert!(told.contains("parts/scenes.ron:1:28") && told.contains("includes itself"), "{told}");
}

#[test]
fn a_scene_like_another_takes_over_what_it_does_not_say() {
    let show = good(
        r#"start: "a", triggers: {"x": Ignore, "y": Ignore}, bases: [
            Scene(name: "base", seconds: 1.5, contrast: 40, triggers: {"x": Go("a"), "y": Go("b")}, layers: [Border()])],
        scenes: [
            Scene(name: "a", like: "base", then: Repeat, triggers: {"x": Go("b")}, layers: [Text(text: "A", font: "small", at: Centre)]),
            Scene(name: "b", like: "a", contrast: 90, triggers: {"y": Back}),
        ]"#,
    );
    let told: Vec<_> =
        show.scenes().iter().map(|scene| (scene.frames.0, scene.contrast_at(0.0), scene.layers.len())).collect();
    assert_eq!(told, [(15, 40, 2), (15, 90, 2)]);
    let told = bad(
        r#"start: "a", scenes: [Scene(name: "a", like: "a", dark: true), Scene(name: "c", like: "d", dark: true)]"#,
    );
    assert!(told.contains("the scene `a` back to itself") && told.contains("names the scene `d`"), "{told}");
}

/// A mode set by one trigger, and a counter: the third knock goes to sleep.
#[test]
fn modes_and_counters_are_kept_without_a_memory_of_the_player() {
    let show = good(
        r#"start: "a", modes: {"light": ["day", "night"], "knocks": ["once", "twice", "thrice"]},
        triggers: {"dusk": Set("light", "night"), "knock": Count("knocks", Go("sleep"))},
        scenes: [
            Scene(name: "a", seconds: 1, then: Repeat, contrast: By("light", {"day": 200, "night": 20}), layers: [
                Text(text: "A", font: "small", at: Centre),
                By("knocks", {"once": [], "twice": [Text(text: "1", font: "small", at: Top)], "thrice": [
                    Text(text: "1", font: "small", at: Top), Text(text: "2", font: "small", at: Bottom)]}),
            ]),
            Scene(name: "sleep", seconds: 1, then: Go("a"), triggers: {"dusk": Ignore, "knock": Ignore}, layers: [Border()]),
        ]"#,
    );
    let names: Vec<&str> = show.scenes().iter().map(|scene| scene.name.as_str()).collect();
    assert_eq!(names.len(), 8, "{names:?}");
    let rehearsal = played(&show, 40, &[(2, 1), (4, 0), (6, 1), (8, 1)]);
    let expected = [
        ("a", 2),
        ("a (twice)", 2),
        ("a (night, twice)", 2),
        ("a (night, thrice)", 2),
        ("sleep (night)", 10),
        ("a (night)", 22),
    ];
    assert_eq!(course(&rehearsal), named(&expected));
    let contrasts: Vec<u8> = [0, 3, 5, 20].iter().map(|frame| rehearsal.shown[*frame].contrast).collect();
    assert_eq!(contrasts, [200, 200, 20, 20]);
    let told = bad(
        r#"start: "a", modes: {"light": ["day", "night"]}, triggers: {"dusk": Set("ligth", "night"), "dawn": Set("light", "dya")},
        scenes: [Scene(name: "a", seconds: 1, contrast: By("light", {"night": 20}), dark: true)]"#,
    );
    for word in ["no mode `ligth`", "no value of this mode `dya`", "`By` has no entry for `day`"] {
        assert!(told.contains(word), "{word} is not in\n{told}");
    }
}
