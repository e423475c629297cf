//! Lamps: their code and tables in flash, how often each flashes in a second, and its mean level.

use super::{Budget, Figure};
use crate::diag::{Finding, Findings};
use crate::player::lamp_level;
use crate::reel::{LampTable, Reel};
use crate::show::Show;

/// Flashes in any second that are still safe.
const MOST_FLASHES: usize = 3;
/// A change counts from this share of the highest level on, where the darker state is below [`DARK`] of it.
const CHANGE: f64 = 0.1;
const DARK: f64 = 0.8;
const FULL: f64 = 255.0;
const SECOND: u32 = 1000;
/// Milliseconds between the places of a pattern that are looked at, and the longest stretch of it.
const LOOK: u32 = 5;
const LONGEST: u32 = 600_000;
const SOURCE: &str = "WCAG 2.x success criterion 2.3.1 and its definition of general flash";
const COUNTED: &str = "pairs of opposing changes of 10 % of the highest level or more, darker state below 80 %; light is assumed to be proportional to the level, and the size of the lamp is ignored";

/// Flash of the lamps in all: code and tables; none without lamps.
pub fn lamp_flash(show: &Show, reel: &Reel) -> u32 {
    if reel.lamps.is_empty() { 0 } else { lamp_code_bytes(show) + reel.lamp_bytes() }
}

/// Flash of the lamps' code on the show's microcontroller, in bytes.
pub fn lamp_code_bytes(show: &Show) -> u32 {
    show.microcontroller().lamp_code().flash.0
}

/// The figures of the lamps; one that flashes more than three times in a second is a warning.
pub fn lamps(show: &Show, reel: &Reel, findings: &mut Findings) -> Budget {
    let mut figures = Vec::new();
    if !reel.lamps.is_empty() {
        let code = show.microcontroller().lamp_code();
        figures.push(Figure::of_code("code of the lamps", code.flash.0, code));
        let formula = "7 + 3 for each ramp or step, for each lamp";
        figures.push(
            Figure::new("tables of the lamps", f64::from(reel.lamp_bytes()), "B")
                .from(formula, "the tables themselves"),
        );
    }
    for (lamp, table) in show.lamps().iter().zip(&reel.lamps) {
        let flashes = most_flashes(table);
        let name = format!("flashes of {}", lamp.name);
        figures.push(Figure::new(name, flashes as f64, "a second").limit(MOST_FLASHES as f64).from(COUNTED, SOURCE));
        figures.push(mean(table));
        if flashes > MOST_FLASHES {
            let message = format!(
                "the lamp `{}` flashes {flashes} times within one second; more than {MOST_FLASHES} flashes can harm photosensitive people",
                lamp.name
            );
            let hint = "make each cycle of light and dark last at least 0.34 s, or change the level by less than 10 %";
            findings.push(Finding::warning(lamp.span, message).hint(hint));
        }
    }
    Budget { title: "lamps", figures }
}

fn mean(table: &LampTable) -> Figure {
    let length = table.milliseconds.clamp(1, LONGEST);
    let levels = (0..length).step_by(LOOK as usize).map(|at| f64::from(lamp_level(&table.bytes, at)));
    let mean = levels.sum::<f64>() / f64::from(length.div_ceil(LOOK)) / FULL * 100.0;
    let formula = if table.repeats { "mean level" } else { "mean level up to the last key frame" };
    Figure::new(format!("mean level of {}", table.name), mean, "%")
        .from(formula, "computed from the table; use it as the `share` of a load")
}

/// The most flashes of a pattern in any second.
fn most_flashes(table: &LampTable) -> usize {
    let round = if table.repeats {
        table.milliseconds.div_ceil(SECOND) * SECOND + table.milliseconds
    } else {
        table.milliseconds
    };
    let length = round.saturating_add(SECOND).min(LONGEST);
    let changes = changes((0..length).step_by(LOOK as usize).map(|at| (at, lamp_level(&table.bytes, at))));
    let within = |from: &u32| changes.iter().filter(|at| (*from..*from + SECOND).contains(at)).count();
    changes.iter().map(within).max().unwrap_or(0) / 2
}

/// When the level has changed by a tenth of the highest against the direction before, with the darker state dark enough.
fn changes(levels: impl Iterator<Item = (u32, u8)>) -> Vec<u32> {
    let mut changes = Vec::new();
    // The lowest and the highest level since the last change, and whether that one was upwards.
    let mut between: Option<(f64, f64)> = None;
    let mut upwards = None;
    for (at, level) in levels {
        let level = f64::from(level);
        let (low, high) = between.map_or((level, level), |(low, high)| (low.min(level), high.max(level)));
        between = Some((low, high));
        let rises = upwards != Some(true) && level - low >= CHANGE * FULL && low < DARK * FULL;
        let falls = upwards != Some(false) && high - level >= CHANGE * FULL && level < DARK * FULL;
        if rises || falls {
            changes.push(at);
            (upwards, between) = (Some(rises), Some((level, level)));
        }
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::whole::limited;

    /// On and off in turn, each for the same time in milliseconds.
    fn square(milliseconds: u16) -> LampTable {
        let [low, high] = milliseconds.to_le_bytes();
        let [first, second, third, _] = (2 * u32::from(milliseconds)).to_le_bytes();
        let bytes = vec![first, second, third, 255, low, high | 0x80, 255, low, high | 0x80, 0, 0, 0x80, 0];
        LampTable { name: "square".into(), bytes, milliseconds: 2 * u32::from(milliseconds), repeats: true }
    }

    /// Worked by hand: on and off for 125 ms each are four flashes a second, for 170 ms not quite three.
    #[test]
    fn flashes_are_pairs_of_changes_within_a_second() {
        assert_eq!([100, 125, 170, 500].map(|half| most_flashes(&square(half))), [5, 4, 3, 1]);
        let mean = mean(&square(500)).value;
        assert!((mean - 50.0).abs() < 1.0, "{mean}");
    }

    #[test]
    fn a_slow_fade_is_no_flash_and_a_flicker_of_light_alone_is_none() {
        let ramp = |from: u8, to: u8| {
            (0..200).map(move |at| (at * LOOK, from + limited::<u8, u32>(u32::from(to - from) * at / 200)))
        };
        assert_eq!(changes(ramp(0, 255)).len(), 1);
        let flicker = (0..200).map(|at| (at * LOOK, if at % 20 < 10 { 255 } else { 210 }));
        assert_eq!(changes(flicker).len(), 0);
    }
}
