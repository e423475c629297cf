//! Signals that charts show: waves by formula, values from a table, numbers that move; and the styles of showing them.

use super::Track;
use super::history::HistoryId;

/// A value from 0 to 1 over time.
#[derive(Clone, Debug, PartialEq)]
pub enum Signal {
    /// A wave by formula, `seconds` long, between `low` and `high`.
    Wave { form: WaveForm, seconds: f64, low: f64, high: f64 },
    /// A smooth course drawn from a seed, about `seconds` from hill to hill.
    Wander { seed: u32, seconds: f64, low: f64, high: f64 },
    /// Values one after another, each for `every` seconds, from the first again after the last.
    Values { values: Vec<f64>, every: f64 },
    /// A number that moves.
    Moving(Track),
    /// The latest values of a live value, and what its history holds, the oldest value first.
    Live { track: Track, history: HistoryId, held: Vec<u8> },
}

/// The formula of a wave over one period.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaveForm {
    Sine,
    Square,
    Triangle,
    Saw,
    /// A heart beat: a small wave, a sharp one up and down, a low one.
    Beat,
}

/// How a chart shows its values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChartStyle {
    Line,
    Dots,
    Columns,
}

/// How a clock writes its time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClockForm {
    Seconds,
    Tenths,
    MinutesSeconds,
    HoursMinutesSeconds,
}

/// How greys become ink.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dither {
    /// By the threshold alone.
    Threshold,
    /// In an even pattern.
    Ordered,
    /// Each pixel's error is spread over its neighbours.
    Diffusion,
}
