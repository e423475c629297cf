//! The page as a whole: head, preview with its controls, timeline and plots, then findings, figures and cautions.

use super::{
    LivePage, PageState, Subject, board, caution, finding, lamps, map, plots, preview, profiles, shared, table, wear,
};
use crate::budget::{Running, running, verdict, wear_map};
use crate::diag::Findings;
use crate::render::Bitmap;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("page.css");
/// How the display is drawn, then what the page does.
const SCRIPTS: [&str; 2] = [include_str!("display.js"), include_str!("page.js")];
/// What the page can load and do (Content Security Policy Level 3): its own scripts and styles, embedded pictures, and requests to
/// its own server.
pub const CONTENT_POLICY: &str =
    "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'; connect-src 'self'";

/// The page; `Err` says in words why there is none.
pub fn page(state: &PageState<'_>) -> Result<String, String> {
    let font = state.live.and_then(|live| live.font);
    let name = state.subject.map_or(font.unwrap_or("pageloom"), |subject| subject.show.name());
    let content = match state.subject {
        Some(subject) => content(subject, state)?,
        None => html! {
            @if font.is_none() { p { "Nothing could be built yet. Fix the errors below and save." } }
            (finding::findings(state.findings, state.sources))
        },
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(CONTENT_POLICY);
                title { (name) }
                style { (PreEscaped(STYLE)) @if state.live.is_some() { (PreEscaped(board::STYLE)) } }
            }
            body data-build=[state.live.map(|live| live.build)] data-token=[state.live.map(|live| live.token)] data-font=[font] {
                header {
                    h1 { (name) }
                    div .states {
                        p .state role="status" { (state_line(state)) }
                        @if state.live.is_some() { p .older { "The picture is new. Figures, findings and plots are still those of the build before. They change when you pause." } }
                    }
                }
                @if state.live.is_some() { (board::views(font.is_some())) }
                @if let Some(subject) = state.subject { (contents(subject)) }
                @if state.live.is_some() { (board::board(font.is_some())) }
                main { (content) }
                @if state.live.is_some() {
                    p #lost .fault role="alert" hidden { "No answer from `watch`: it has stopped or is restarting. This page continues when it is back." }
                }
                script { (PreEscaped(script(state.live))) }
            }
        }
    };
    Ok(page.into_string())
}

/// What the page does; a served one has the drawing board too.
fn script(live: Option<LivePage<'_>>) -> String {
    let board = live.map_or(String::new(), |_| board::SCRIPTS.concat() + board::DESK);
    format!("\"use strict\";(() => {{\n{}{board}{}\n}})();", SCRIPTS[0], SCRIPTS[1])
}

/// In a line, how the last build went.
fn state_line(state: &PageState<'_>) -> Markup {
    let failed = state.findings.any_fault();
    let misfits = state.findings.any_error();
    html! {
        @if failed { strong .fault { "The last build failed: " a href="#findings" { (count(state.findings)) } "." } @if state.subject.is_some() { " The last good picture stays in place." } }
        @else if state.live.is_some_and(|live| live.font.is_some()) {
            @if state.findings.iter().next().is_some() { a href="#findings" { (count(state.findings)) } "." } @else { "No findings." }
        }
        @else {
            @if let Some(subject) = state.subject {
                strong #verdict .fault[misfits] { @if misfits { "Built. " } (verdict(&subject.choice.fitted.fit, &Findings::default())) } " "
            }
            @if state.findings.iter().next().is_some() { "Every pixel as drawn; " a href="#findings" { (count(state.findings)) } "." }
            @else { "Every pixel is as drawn; no warnings." }
        }
        " " span .script { (state.script) }
    }
}

/// Links to the parts of the page, in its order.
fn contents(subject: &Subject<'_>) -> Markup {
    let lamps = !subject.reel.lamps.is_empty();
    let profiles = subject.choice.profiles.len() > 1;
    let parts = [
        ("preview", "Preview", true),
        ("findings", "Findings", true),
        ("glance", "At a glance", true),
        ("plots", "Over time", true),
        ("map", "Scenes", true),
        ("lamps", "Lamps", lamps),
        ("flash-and-wear", "Flash and wear", true),
        ("profiles", "Profiles", profiles),
        ("cautions", "Cautions", true),
        ("figures", "Figures", true),
    ];
    html! {
        nav #contents aria-label="Contents" {
            @for (id, name, _) in parts.iter().filter(|(_, _, there)| *there) { a href={"#" (id)} { (name) } }
        }
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

fn content(subject: &Subject<'_>, state: &PageState<'_>) -> Result<Markup, String> {
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
    let failed = state.findings.any_fault();
    let worn = wear_map(subject.show, &frames);
    Ok(html! {
        (preview::preview(subject, &worn, flashes, failed.then(|| finding::findings(state.findings, state.sources)))?)
        @if !failed { (finding::findings(state.findings, state.sources)) }
        (table::headlines(subject.budgets))
        section #plots aria-labelledby="plots-title" {
            h2 #plots-title { "Over time" }
            (plots::timeline(subject))
            (plots::frame_times(subject))
            (plots::current(subject, &frames))
            (plots::live_values(subject))
            (shared::shared(subject))
        }
        section #map aria-labelledby="map-title" {
            h2 #map-title { "Scenes" }
            div .scroll tabindex="0" role="region" aria-label="Map of the scenes" { (map::drawn(subject.show)) }
        }
        (lamps::lamps(subject))
        section #flash-and-wear .beside aria-label="Flash and wear" {
            div { h2 { "Flash" } (plots::flash(subject)) }
            div { h2 { "Wear" } (wear::wear(&worn, basis)?) (wear::standing(subject.budgets)) }
        }
        (profiles::profiles(&subject.choice.profiles))
        (caution::cautions())
        (table::figures(subject.budgets))
    })
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
