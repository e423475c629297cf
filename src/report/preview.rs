//! The preview on the page: the display, controls to play, step and scrub, buttons for triggers, and settings of its appearance.

use super::{Subject, caution, reel_data, sliders, stills, table};
use crate::budget::{WearMap, halvings_an_hour};
use crate::diag::{number, with_unit};
use maud::{Markup, PreEscaped, html};

/// Pixels of the page to one of the display.
const ZOOMS: [u32; 6] = [2, 4, 6, 8, 12, 16];
const SPEEDS: [(&str, &str); 4] = [("1", "1×"), ("0.5", "0.5×"), ("0.25", "0.25×"), ("0.1", "0.1×")];
/// Default pixels per inch: CSS pixels by definition.
const USUAL_DENSITY: u32 = 96;
/// Hours for which the display has run the show.
const AGES: [f64; 5] = [500.0, 1_000.0, 2_000.0, 5_000.0, 10_000.0];
const KEYS: [(&str, &str); 6] = [
    ("Space", "play or pause"),
    ("← →", "step"),
    ("Home End", "jump"),
    ("1–9", "raise triggers"),
    ("0", "back to the recorded preview"),
    ("↑ ↓", "turn the live value used last"),
];

/// The preview of a show. If it `flashes` too much, it says so and starts paused. `faults` of a later build are shown next to the
/// display.
pub fn preview(subject: &Subject<'_>, worn: &WearMap, flashes: bool, faults: Option<Markup>) -> Result<Markup, String> {
    let (width, height) = subject.show.view_size();
    let label = format!("The display, {width} by {height} pixels, as the controller shows it");
    Ok(html! {
        section #preview aria-labelledby="preview-title" {
            h2 #preview-title .unseen { "Preview" }
            @if flashes { (caution::flashing()) }
            div .desk {
                div .stage { canvas #display role="img" aria-label=(label) aria-describedby="place" {} }
                (stills::stills(subject)?)
                @match &faults { Some(faults) => (faults), None => (table::fullest(subject.budgets)) }
            }
            (playing(subject))
            (triggers(subject))
            (sliders::sliders(subject))
            (looks(subject))
            p .keys { label { input #shortcuts type="checkbox" checked; " Keys" } ": " @for (number, (key, does)) in keys(subject).iter().enumerate() { @if number > 0 { ", " } kbd { (key) } " " (does) } "." }
            script #data type="application/json" { (PreEscaped(reel_data::data(subject, worn, flashes)?)) }
        }
    })
}

/// The keys that this show has: the last row is for live values.
fn keys(subject: &Subject<'_>) -> &'static [(&'static str, &'static str)] {
    if subject.show.live().is_empty() { &KEYS[..KEYS.len() - 1] } else { &KEYS }
}

fn playing(subject: &Subject<'_>) -> Markup {
    let last = subject.tour.frames.len().saturating_sub(1);
    html! {
        div .controls role="group" aria-label="Preview" {
            button #back type="button" aria-label="One frame back" { "◀" }
            button #play type="button" { "Play" }
            button #on type="button" aria-label="One frame on" { "▶" }
            label { "Speed " select #speed { @for (value, name) in SPEEDS { option value=(value) { (name) } } } }
            input #scrub type="range" min="0" max=(last) value="0" aria-label="Frame of the preview";
            output #place for="scrub" aria-live="off" {}
            p #scene-said .unseen role="status" {}
        }
    }
}

fn triggers(subject: &Subject<'_>) -> Markup {
    let triggers = subject.show.triggers();
    html! {
        div .controls role="group" aria-label="Triggers" {
            @if !triggers.is_empty() { span .what { "Triggers" } }
            @for (number, trigger) in triggers.iter().enumerate() {
                button .trigger type="button" data-trigger=(number) { kbd { (number + 1) } " " (trigger) }
            }
            button #tour type="button" { kbd { "0" } " back to the recorded preview" }
            output #cue aria-live="off" {}
        }
    }
}

fn looks(subject: &Subject<'_>) -> Markup {
    let ages = halvings_an_hour(subject.show.panel(), 1.0).is_some();
    html! {
        details .looks {
            summary { "How the display looks" }
            div .controls {
                label { "Display " select #look { @for display in &subject.appearance.displays { option value=(display.value) { (display.words) } } } }
                label { "Around it " select #light { option value="night" { "night" } option value="day" { "day" } } }
                @if ages {
                    label { "Age " select #age aria-describedby="age-said" { option value="0" { "new" } @for hours in AGES { option value=(hours) { "after " (with_unit(hours, "h")) } } } }
                }
                label { "Size " select #size { option value="0" { "fit the page" } @for times in ZOOMS { option value=(times) { (times) " × pixels" } } } }
                button #true-size type="button" aria-pressed="false" { "True size" }
                label { "on a screen of " input #density type="number" min="40" max="800" step="1" value=(USUAL_DENSITY) aria-describedby="density-said"; " pixels per inch" }
            }
            @if ages { p #age-said .key { "Age: hours of this show, by the lifetime that data sheets of such panels give. A pixel that is lit longer loses more of its light." } }
            p .card-frame { span #bank-card role="img" aria-label="Outline of a bank card at real size" { "85.60 × 53.98 mm" } }
            p #density-said .key { "Hold a bank card against the outline and change the pixels per inch until both have the same size (ISO/IEC 7810 ID-1). " "Or measure: a ruler on the display shows whether it is right: "
                (number(millimetres(subject)[0])) " × " (number(millimetres(subject)[1])) " mm" " from first to last pixel." }
        }
    }
}

/// The size of the pixels' field.
fn millimetres(subject: &Subject<'_>) -> [f64; 2] {
    let show = subject.show;
    let ((across, down), (width, height)) = (show.mounting().view_pitch_millimetres(show.panel()), show.view_size());
    [f64::from(width) * across, f64::from(height) * down]
}
