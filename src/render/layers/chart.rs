//! Strip charts and still curves of a signal.

use crate::render::chance::wander;
use crate::render::ink::Ink;
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::{remainder, steps, value_at};
use crate::show::{Chart, ChartStyle, NOT_RECORDED, Signal, Track, WaveForm};
use crate::whole::{floored, limited};

/// Marks the chart.
pub fn chart(layer: &Chart, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    if area.width <= 0 || area.height <= 0 {
        return;
    }
    ink.clip(area);
    let bottom = area.top + area.height - 1;
    let moved = if layer.running { steps(moment.seconds, layer.columns_a_second) } else { 0 };
    let row = |column: i32| {
        let place = if layer.running { moved - i64::from(area.width - 1 - column) } else { i64::from(column) };
        let value = match &layer.signal {
            Signal::Live { track, held, .. } => held_value(track, held, column, layer.filled),
            signal => (place >= 0 || layer.filled).then(|| signal_at(signal, place as f64 / layer.columns_a_second)),
        };
        value.map(|value| bottom - floored::<i32>(value.clamp(0.0, 1.0) * f64::from(area.height - 1) + 0.5))
    };
    let mut before = None;
    for column in 0..area.width {
        let (x, here) = (area.left + column, row(column));
        if let Some(y) = here {
            match layer.style {
                ChartStyle::Dots => ink.mark(x, y),
                ChartStyle::Columns => shape::line(ink, (x, y), (x, bottom), 1),
                // Each column begins where the one before ended, so that steep flanks stay whole and one pixel wide.
                ChartStyle::Line => {
                    let from = before.map_or(y, |before: i32| before + (y - before).signum());
                    shape::line(ink, (x, from), (x, y), 1);
                }
            }
        }
        before = here;
    }
}

/// The value in a column of a chart of a live value; `None` where nothing was recorded, and the chart does not begin filled.
fn held_value(track: &Track, held: &[u8], column: i32, filled: bool) -> Option<f64> {
    let held = usize::try_from(column).ok().and_then(|column| held.get(column)).copied().unwrap_or(NOT_RECORDED);
    match held.checked_sub(1) {
        Some(step) => track.live.map(|following| following.at(step)),
        None => filled.then(|| value_at(track, 0.0)),
    }
}

/// The value of a signal at a time in seconds, which may be before the start.
fn signal_at(signal: &Signal, seconds: f64) -> f64 {
    match signal {
        Signal::Moving(track) | Signal::Live { track, .. } => value_at(track, seconds.max(0.0)),
        Signal::Wander { seed, seconds: period, low, high } => low + (high - low) * wander(*seed, seconds / period),
        Signal::Values { values, every } => {
            let index = floored::<i64>(seconds / every + 1e-9).rem_euclid(limited(values.len().max(1)));
            values.get(limited::<usize, _>(index)).copied().unwrap_or(0.0)
        }
        Signal::Wave { form, seconds: period, low, high } => {
            low + (high - low) * wave(*form, remainder(seconds, *period) / period)
        }
    }
}

/// A heart beat: shares of the period and values, straight lines between them (a sketch of the textbook trace).
const BEAT: [(f64, f64); 12] = [
    (0.0, 0.3),
    (0.1, 0.3),
    (0.16, 0.42),
    (0.22, 0.3),
    (0.3, 0.3),
    (0.34, 0.2),
    (0.39, 1.0),
    (0.45, 0.0),
    (0.5, 0.3),
    (0.62, 0.3),
    (0.72, 0.48),
    (0.82, 0.3),
];

/// A wave's value from 0 to 1 at a share of its period.
fn wave(form: WaveForm, share: f64) -> f64 {
    match form {
        WaveForm::Sine => 0.5 + 0.5 * libm::sin(share * std::f64::consts::TAU),
        WaveForm::Square => f64::from(u8::from(share < 0.5)),
        WaveForm::Triangle => 1.0 - (2.0 * share - 1.0).abs(),
        WaveForm::Saw => share,
        WaveForm::Beat => {
            let next = BEAT.iter().position(|(at, _)| *at > share).unwrap_or(BEAT.len());
            let (from, value) = BEAT[next.saturating_sub(1)];
            let (to, then) = BEAT.get(next).copied().unwrap_or((1.0, BEAT[0].1));
            value + (then - value) * (share - from) / (to - from)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values at the eighths of a period, by the definition of each wave.
    #[test]
    fn waves_pass_through_the_values_of_their_formulas() {
        let at = |form| [0.0, 0.25, 0.5, 0.75].map(|share| (wave(form, share) * 1000.0).round() / 1000.0);
        assert_eq!(at(WaveForm::Sine), [0.5, 1.0, 0.5, 0.0]);
        assert_eq!(at(WaveForm::Square), [1.0, 1.0, 0.0, 0.0]);
        assert_eq!(at(WaveForm::Triangle), [0.0, 0.5, 1.0, 0.5]);
        assert_eq!(at(WaveForm::Saw), [0.0, 0.25, 0.5, 0.75]);
        assert!((0..100).all(|share| (0.0..=1.0).contains(&wave(WaveForm::Beat, f64::from(share) / 100.0))));
    }
}
