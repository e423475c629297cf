//! The lamps of a show: each level over time, and what begins it.

use super::Subject;
use super::chart::{Plot, plot};
use crate::player::lamp_level;
use crate::reel::LampTable;
use crate::show::{Lamp, Show};
use maud::{Markup, html};

/// Milliseconds shown of a pattern at most, and of one that only holds.
const LONGEST: u32 = 60_000;
const SHORTEST: u32 = 1000;
const PLACES: u32 = 700;
const MILLISECONDS: f64 = 1000.0;
const PER_CENT: f64 = 100.0 / 255.0;

/// A section on the lamps; nothing without lamps.
pub fn lamps(subject: &Subject<'_>) -> Markup {
    html! {
        @if !subject.reel.lamps.is_empty() {
            section #lamps aria-labelledby="lamps-title" {
                h2 #lamps-title { "Lamps" }
                @for (lamp, table) in subject.show.lamps().iter().zip(&subject.reel.lamps) { (level(subject.show, lamp, table)) }
                p { "Each lamp needs its series resistor; the limits of a pin and of all pins together are in the data sheet of the microcontroller." }
            }
        }
    }
}

fn level(show: &Show, lamp: &Lamp, table: &LampTable) -> Markup {
    let length = table.milliseconds.clamp(SHORTEST, LONGEST);
    let values: Vec<f64> =
        (0..PLACES).map(|place| f64::from(lamp_level(&table.bytes, length * place / PLACES)) * PER_CENT).collect();
    let scenes = lamp.scenes.iter().map(|scene| format!("scene {}", show.scenes()[scene.0].name));
    let starts: Vec<String> = scenes.chain(lamp.cues.iter().map(|cue| format!("cue {}", show.cues()[cue.0]))).collect();
    let start = if starts.is_empty() { "the firmware".into() } else { starts.join(", ") };
    let again = if table.repeats { ", repeated" } else { "" };
    let title = format!("{}, started by {start}{again}", lamp.name);
    plot(&Plot {
        title: &title,
        unit: "% of full",
        values: &values,
        range: None,
        limit: None,
        seconds: f64::from(length) / MILLISECONDS,
        scenes: &[],
    })
}
