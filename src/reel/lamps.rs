//! The tables of lamps: levels over time as straight ramps and steps, which the firmware can follow with whole numbers.

use crate::diag::{Finding, Findings};
use crate::show::{Ease, Key, Lamp, Show, Track, value_at};
use crate::whole::{limited, rounded};

/// The longest step in milliseconds: 15 bits.
const LONGEST_STEP: u16 = 0x7FFF;
/// Bit of a step that has its level from the start.
const AT_ONCE: u16 = 0x8000;
/// The largest distance of a ramp from the curve, in levels of 255.
const MOST_OFF: f64 = 1.0;
/// The smallest number of grid points of a curve, between which ramps are drawn, and of points of a ramp that are compared.
const PLACES: u32 = 96;
const SAMPLES: u32 = 64;
/// The largest table in bytes.
const MOST_BYTES: usize = 2048;
const MILLISECONDS: f64 = 1000.0;

/// A lamp as the firmware reads it; its bytes are described in `src/player/lamp.c`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LampTable {
    /// Its name in the script.
    pub name: String,
    /// The table.
    pub bytes: Vec<u8>,
    /// Milliseconds until its last step. After that it holds or starts again.
    pub milliseconds: u32,
    /// Whether it starts again after its last step.
    pub repeats: bool,
}

/// Returns the tables of all lamps. `None` if a finding says why one is not possible.
pub fn lamp_tables(show: &Show, findings: &mut Findings) -> Option<Vec<LampTable>> {
    let tables: Vec<LampTable> = show.lamps().iter().map(lamp_table).collect();
    let mut fit = true;
    for (lamp, table) in show.lamps().iter().zip(&tables) {
        if table.bytes.len() > MOST_BYTES {
            fit = false;
            let message =
                format!("the lamp `{}` takes {} B; the limit is {MOST_BYTES} B", lamp.name, table.bytes.len());
            findings.push(Finding::error(lamp.span, message).hint("use fewer key frames, or `Linear` ramps"));
        }
    }
    fit.then_some(tables)
}

fn lamp_table(lamp: &Lamp) -> LampTable {
    let track = &lamp.level;
    let milliseconds = track.keys.last().map_or(0, |key| in_milliseconds(key.seconds));
    let repeats = track.repeat && milliseconds > 0;
    let [low, middle, high, _] = (if repeats { milliseconds } else { 0 }).to_le_bytes();
    let mut writer =
        LampWriter { track: Track { repeat: false, ..track.clone() }, bytes: vec![low, middle, high], level: 0 };
    writer.level = writer.whole(0);
    writer.bytes.push(writer.level);
    let first = track.keys.first().map_or(0, |key| in_milliseconds(key.seconds));
    writer.hold(first, writer.level);
    for pair in track.keys.windows(2) {
        writer.way(&pair[0], &pair[1]);
    }
    let last = track.keys.last().map_or(0, |key| whole(key.value));
    writer.step(AT_ONCE, last);
    LampTable { name: lamp.name.clone(), bytes: writer.bytes, milliseconds, repeats }
}

fn in_milliseconds(seconds: f64) -> u32 {
    rounded(seconds * MILLISECONDS)
}

fn whole(level: f64) -> u8 {
    rounded(level)
}

struct LampWriter {
    track: Track,
    bytes: Vec<u8>,
    /// The level at the end of the steps so far.
    level: u8,
}

impl LampWriter {
    fn exact(&self, at: u32) -> f64 {
        value_at(&self.track, f64::from(at) / MILLISECONDS).clamp(0.0, f64::from(u8::MAX))
    }
    fn whole(&self, at: u32) -> u8 {
        whole(self.exact(at))
    }

    fn step(&mut self, duration: u16, level: u8) {
        self.bytes.extend(duration.to_le_bytes());
        self.bytes.push(level);
        self.level = level;
    }

    fn hold(&mut self, mut duration: u32, level: u8) {
        while duration > 0 {
            let part = limited::<u16, _>(duration).min(LONGEST_STEP);
            self.step(AT_ONCE | part, level);
            duration -= u32::from(part);
        }
    }

    /// Adds the steps from one key to the next.
    fn way(&mut self, from: &Key, to: &Key) {
        let (mut at, end) = (in_milliseconds(from.seconds), in_milliseconds(to.seconds));
        if to.ease == Ease::Step || from.value == to.value {
            self.hold(end - at, whole(from.value));
            return;
        }
        if at < end && self.level != whole(from.value) {
            // A jump needs its own step, as short as possible.
            self.hold(1, whole(from.value));
            at += 1;
        }
        let grid = (end - at).div_ceil(PLACES).clamp(1, LONGEST_STEP.into());
        while at < end {
            let next = self.farthest(at, end, grid);
            self.step(limited(next - at), if next == end { whole(to.value) } else { self.whole(next) });
            at = next;
        }
    }

    /// Returns the last grid point up to which a straight ramp is close enough to the curve. A steep part has a finer grid.
    fn farthest(&self, at: u32, end: u32, grid: u32) -> u32 {
        let mut grid = grid.min(end - at);
        while grid > 1 && !self.is_straight(at, at + grid) {
            grid = grid.div_ceil(2);
        }
        let mut farthest = at + grid;
        let mut next = farthest;
        let longest = u32::from(LONGEST_STEP);
        while next < end && next - at < longest {
            next = (next + grid).min(end).min(at + longest);
            if self.is_straight(at, next) {
                farthest = next;
            }
        }
        farthest
    }

    fn is_straight(&self, at: u32, next: u32) -> bool {
        let (first, last) = (f64::from(self.level), f64::from(self.whole(next)));
        let samples = SAMPLES.min(next - at);
        (1..samples).all(|sample| {
            let place = at + (next - at) * sample / samples;
            let share = f64::from(place - at) / f64::from(next - at);
            (first + (last - first) * share - self.exact(place)).abs() <= MOST_OFF
        })
    }
}
