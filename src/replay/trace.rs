//! A capture: the levels of its lines at each time when one of them changed.

/// Most lines of a capture that are kept.
pub const MOST_LINES: usize = 64;
pub const PICOSECONDS_A_NANOSECOND: u64 = 1_000;
pub const PICOSECONDS_A_SECOND: f64 = 1e12;

/// The levels of all lines from a time on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TraceRow {
    /// Picoseconds since the first row.
    pub time: u64,
    /// Line n in bit n.
    pub levels: u64,
}

/// A capture. Rows are in order of time; of lines that float, a line is high, as a pull-up makes it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Trace {
    /// The names of the lines.
    pub names: Vec<String>,
    /// The changes, in order of time.
    pub rows: Vec<TraceRow>,
    /// When the capture ended.
    pub end: u64,
}

impl Trace {
    /// A capture of lines with these names, of which the first 64 at most are kept.
    pub fn new(mut names: Vec<String>) -> Self {
        names.truncate(MOST_LINES);
        Self { names, rows: Vec::new(), end: 0 }
    }

    /// Adds levels from a time on, which is taken to be no earlier than the last one.
    pub fn push(&mut self, time: u64, levels: u64) {
        let time = time.max(self.end);
        self.end = time;
        match self.rows.last_mut() {
            Some(last) if last.time == time => last.levels = levels,
            Some(last) if last.levels == levels => {}
            _ => self.rows.push(TraceRow { time, levels }),
        }
    }

    /// The changes of a line: when, and to which level; the first is its level at the start.
    pub fn edges(&self, line: usize) -> Vec<(u64, bool)> {
        let mut edges: Vec<(u64, bool)> = Vec::new();
        for row in &self.rows {
            let level = row.levels >> line & 1 == 1;
            if edges.last().is_none_or(|last| last.1 != level) {
                edges.push((row.time, level));
            }
        }
        edges
    }

    /// The shortest time between two rows, in picoseconds: no more than a sample apart.
    pub fn resolution(&self) -> u64 {
        self.rows.windows(2).map(|pair| pair[1].time - pair[0].time).min().unwrap_or(0)
    }

    /// How long it lasts, in seconds.
    pub fn seconds(&self) -> f64 {
        (self.end - self.rows.first().map_or(0, |row| row.time)) as f64 / PICOSECONDS_A_SECOND
    }
}

/// Edges without pulses shorter than `shortest`; how many were dropped.
pub fn without_glitches(edges: &[(u64, bool)], shortest: u64) -> (Vec<(u64, bool)>, u32) {
    let (mut kept, mut dropped): (Vec<(u64, bool)>, u32) = (Vec::new(), 0);
    for &(time, level) in edges {
        match kept.last() {
            // The first level is no pulse, however short it stood.
            Some(last) if kept.len() > 1 && time - last.0 < shortest => {
                kept.pop();
                dropped += 1;
            }
            Some(last) if last.1 == level => {}
            _ => kept.push((time, level)),
        }
    }
    (kept, dropped)
}
