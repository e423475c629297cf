//! The page as a whole: head, preview with its controls, timeline and plots, then findings, figures and cautions.

use super::chart::{Plot, bars, plot};
use super::{State, Subject, caution, finding, reel_data, table, wear};
use crate::budget::{Running, display_milliamperes, running, scene_currents, wear_map};
use crate::diag::Findings;
use crate::render::Bitmap;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");
/// Looks that a person may try on the glass, by the script's own names.
const LOOKS: [(&str, &str); 7] = [
    ("own", "this panel's"),
    ("white", "white"),
    ("blue", "blue"),
    ("split", "yellow and blue"),
    ("amber", "amber"),
    ("green", "green"),
    ("lcd", "LCD grey"),
];

/// The page; `Err` says in words why there is none.
pub fn page(state: &State<'_>) -> Result<String, String> {
    let name = state.subject.map_or("pageloom", |subject| subject.show.name());
    let content = match state.subject {
        Some(subject) => content(subject, state)?,
        None => {
            html! { p { "Nothing could be built yet. Mend what is found below and save." } (finding::findings(state.findings, state.sources)) }
        }
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'; connect-src 'self'";
                title { (name) }
                style { (PreEscaped(STYLE)) }
            }
            body data-build=[state.live] {
                header {
                    h1 { (name) }
                    p .state role="status" { (told(state)) }
                }
                main { (content) }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    Ok(page.into_string())
}

/// In a line, how the last build went.
fn told(state: &State<'_>) -> Markup {
    let failed = state.findings.any_error();
    html! {
        @if failed { strong .fault { "The last build failed: " a href="#findings" { (count(state.findings)) } "." } @if state.subject.is_some() { " The last good picture stays." } }
        @else if state.findings.iter().next().is_some() { a href="#findings" { (count(state.findings)) } "." }
        @else { "Every pixel as drawn; nothing to complain about." }
        " " span .script { (state.script) }
    }
}

fn count(findings: &Findings) -> String {
    use crate::diag::Severity::{Error, Note, Warning};
    let mut parts = Vec::new();
    for (severity, word) in [(Error, "error"), (Warning, "warning"), (Note, "note")] {
        match findings.count(severity) {
            0 => {}
            1 => parts.push(format!("1 {word}")),
            many => parts.push(format!("{many} {word}s")),
        }
    }
    parts.join(", ")
}

fn content(subject: &Subject<'_>, state: &State<'_>) -> Result<Markup, String> {
    let flashes = subject
        .budgets
        .iter()
        .any(|budget| budget.title == "flashing" && budget.figures.iter().any(|figure| figure.over()));
    let frames: Vec<Vec<Bitmap>> = subject
        .scenes
        .iter()
        .map(|pictures| pictures.iter().map(|picture| picture.picture.clone()).collect())
        .collect();
    let Running { basis, .. } = running(subject.show);
    Ok(html! {
        @if state.findings.any_error() { (finding::findings(state.findings, state.sources)) }
        (preview(subject, flashes)?)
        (table::headlines(subject.budgets))
        section #plots aria-labelledby="plots-title" {
            h2 #plots-title { "Over time" }
            (timeline(subject))
            (bus_load(subject))
            (current(subject, &frames))
        }
        section .beside aria-label="Flash and wear" {
            div { h2 { "Flash" } (flash(subject)) }
            div { h2 { "Wear" } (wear::wear(&wear_map(subject.show, &frames), basis)?) }
        }
        @if !state.findings.any_error() { (finding::findings(state.findings, state.sources)) }
        (caution::cautions())
        (table::figures(subject.budgets))
    })
}

fn preview(subject: &Subject<'_>, flashes: bool) -> Result<Markup, String> {
    let (show, last) = (subject.show, subject.tour.frames.len().saturating_sub(1));
    let (width, height) = show.view_size();
    let label = format!("The glass of {width} by {height} pixels, as the controller shows it");
    Ok(html! {
        section #preview aria-labelledby="preview-title" {
            h2 #preview-title { "Preview" }
            @if flashes { (caution::flashing()) }
            canvas #glass role="img" aria-label=(label) aria-describedby="place" {}
            div .controls role="group" aria-label="Preview" {
                button #back type="button" aria-label="One frame back" { "◀" }
                button #play type="button" aria-pressed="false" { "Play" }
                button #on type="button" aria-label="One frame on" { "▶" }
                input #scrub type="range" min="0" max=(last) value="0" aria-label="Frame of the preview";
                output #place for="scrub" {}
            }
            div .controls role="group" aria-label="Triggers" {
                @for (number, trigger) in show.triggers().iter().enumerate() {
                    button .trigger type="button" data-trigger=(number) { kbd { (number + 1) } " " (trigger) }
                }
                button #tour type="button" { "Back to the tour" }
                output #cue aria-live="off" {}
            }
            div .controls {
                label { "Look " select #look { @for (value, name) in LOOKS { option value=(value) { (name) } } } }
                label { "Speed " select #speed { @for (value, name) in [("1", "1"), ("0.5", "½"), ("0.25", "¼"), ("0.1", "⅒")] { option value=(value) { (name) } } } }
                label { "Light " select #light { option value="night" { "night" } option value="day" { "day" } } }
                label { "Size " input #size type="range" min="0" max="12" value="0" aria-label="Pixels to one of the glass; 0 fits the page"; }
                label { "Screen pixels a mm " input #density type="number" min="1" max="40" step="0.1" value="3.8"; }
                button #true-size type="button" { "True size" }
            }
            p .keys { "Keys: space plays and pauses, ← and → step, Home and End jump, 1–9 raise triggers, 0 goes back to the tour." }
            script #data type="application/json" { (PreEscaped(reel_data::data(subject, flashes)?)) }
        }
    })
}

/// Where scenes begin on the way: frame and name.
fn beginnings(subject: &Subject<'_>) -> Vec<(usize, String)> {
    let mut beginnings: Vec<(usize, String)> = Vec::new();
    let mut before = None;
    for (at, (scene, _)) in subject.tour.frames.iter().enumerate() {
        if before != Some(*scene) {
            beginnings.push((at, subject.show.scenes()[scene.0].name.clone()));
        }
        before = Some(*scene);
    }
    beginnings
}

fn timeline(subject: &Subject<'_>) -> Markup {
    let count = subject.tour.frames.len().max(1);
    let percent = |frame: usize| format!("{:.2}%", frame as f64 / count as f64 * 100.0);
    let begin = beginnings(subject);
    let rate = subject.show.frame_rate();
    html! {
        div .timeline role="group" aria-label="Scenes, triggers and cues" {
            @for (number, (frame, name)) in begin.iter().enumerate() {
                @let end = begin.get(number + 1).map_or(count, |next| next.0);
                button .scene .odd[number % 2 == 1] type="button" data-frame=(frame) style={"left:" (percent(*frame)) ";width:" (percent(end - frame))}
                    aria-label={(name) " from " (rate.seconds_at(*frame as u32)) " s"} { (name) }
            }
            @for (frame, trigger) in &subject.tour.raised {
                span .mark style={"left:" (percent(*frame))} title={"trigger " (subject.show.triggers()[trigger.0])} { "▲" }
            }
            @for (frame, cue) in &subject.tour.cues {
                span .mark .cue style={"left:" (percent(*frame))} title={"cue " (subject.show.cues()[cue.0])} { "♪" }
            }
        }
        p .key { "▲ trigger raised by the preview, ♪ cue handed to the firmware: "
            @for (number, (frame, cue)) in subject.tour.cues.iter().enumerate() {
                @if number > 0 { ", " }
                (subject.show.cues()[cue.0]) " at " (format!("{:.2}", rate.seconds_at(*frame as u32))) " s"
            }
        }
    }
}

fn bus_load(subject: &Subject<'_>) -> Markup {
    let values: Vec<f64> = subject.tour.bytes.iter().map(|bytes| f64::from(*bytes)).collect();
    let rate = subject.show.frame_rate();
    let a_second = f64::from(subject.show.bus().clock.0) / 9.0;
    let limit = (a_second / f64::from(rate.frames_per_second())).floor();
    plot(&Plot {
        title: "Bus load",
        unit: "bytes a frame",
        values: &values,
        limit: Some(limit),
        seconds: rate.seconds_at(values.len() as u32),
        scenes: &beginnings(subject),
    })
}

fn current(subject: &Subject<'_>, frames: &[Vec<Bitmap>]) -> Markup {
    let (show, currents) = (subject.show, scene_currents(subject.show, frames));
    let at = |(scene, frame): &(crate::show::SceneId, u32)| {
        let Some(picture) = subject.scenes[scene.0].get(*frame as usize) else { return 0.0 };
        let current = &currents[scene.0];
        let lit = if picture.on { picture.picture.lit() } else { 0 };
        current.microcontroller + current.loads + display_milliamperes(show.panel(), lit, picture.contrast)
    };
    let values: Vec<f64> = subject.tour.frames.iter().map(at).collect();
    plot(&Plot {
        title: "Current of display, microcontroller and loads (rough)",
        unit: "mA",
        values: &values,
        limit: None,
        seconds: show.frame_rate().seconds_at(values.len() as u32),
        scenes: &beginnings(subject),
    })
}

fn flash(subject: &Subject<'_>) -> Markup {
    let layout = &subject.reel.layout;
    let mut rows = vec![("head, set-up".to_owned(), (layout.header_bytes + layout.set_up_bytes) as f64)];
    let scenes = subject.show.scenes().iter().zip(&layout.scenes);
    rows.extend(scenes.map(|(scene, layout)| (scene.name.clone(), layout.bytes as f64)));
    bars("Flash of the reel by scene", "bytes", &rows)
}

#[cfg(test)]
pub mod tests {
    use super::STYLE;

    /// Relative luminance by the definition in WCAG 2.x.
    pub fn relative_luminance(colour: [u8; 3]) -> f64 {
        let linear = |channel: u8| {
            let share = f64::from(channel) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        let [red, green, blue] = colour.map(linear);
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }

    fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
        let (one, other) = (relative_luminance(one), relative_luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    /// The value of a colour variable in the light (0) or dark (1) part of the style sheet.
    fn colour(name: &str, part: usize) -> [u8; 3] {
        let text = STYLE.split(&format!("--{name}: #")).nth(part + 1).unwrap_or_else(|| panic!("no {name}"));
        [0, 2, 4].map(|at| u8::from_str_radix(&text[at..at + 2], 16).expect("six digits"))
    }

    #[test]
    fn black_on_white_is_21_to_1_as_wcag_says() {
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
    }

    /// WCAG 2.x 1.4.3: 4.5 to 1 for text; 1.4.11: 3 to 1 for marks and edges of controls.
    #[test]
    fn words_and_marks_stand_out_in_light_and_in_dark() {
        for part in [0, 1] {
            for ground in ["paper", "panel"] {
                for words in ["ink", "faint", "fault", "link"] {
                    let found = contrast(colour(words, part), colour(ground, part));
                    assert!(found >= 4.5, "{words} on {ground} in part {part}: {found:.2}");
                }
                for mark in ["line", "plot", "limit"] {
                    let found = contrast(colour(mark, part), colour(ground, part));
                    assert!(found >= 3.0, "{mark} on {ground} in part {part}: {found:.2}");
                }
            }
            let found = contrast(colour("ink", part), colour("mark", part));
            assert!(found >= 4.5, "ink on mark in part {part}: {found:.2}");
        }
    }
}
