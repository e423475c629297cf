//! Histories: what charts keep of live values, a value for each column.

use super::following::LiveId;
use super::layers::Chart;
use super::scene::Scene;
use super::signal::Signal;
use super::{Drawing, LiveValue, Track};
use crate::diag::{Finding, Findings};
use crate::units::FrameRate;
use crate::whole::rounded;

/// The most bytes of RAM that all histories keep together. Our own choice.
const MOST_BYTES: u32 = 512;
/// The most steps of a live value in a history: a byte holds a step or nothing.
const MOST_STEPS: u8 = u8::MAX - 1;

/// Names a history by its place in [`Show::histories`](crate::show::Show::histories).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct HistoryId(pub usize);

/// The latest values of a live value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ValueHistory {
    pub value: LiveId,
    /// How many values it shows.
    pub columns: u32,
    /// The value is recorded at this interval in frames, from the first frame of a scene on.
    pub every: u32,
}

impl ValueHistory {
    /// Bytes of RAM that the player keeps for it: one for each column, one for the column that has just left, and the index of the
    /// latest.
    pub fn bytes(&self) -> u32 {
        self.columns + 2
    }
}

/// What a history holds where nothing was recorded yet. A step that was recorded is held as one more.
pub const NOT_RECORDED: u8 = 0;

/// What live layers are drawn from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LiveState {
    /// The step of each live value.
    pub steps: Vec<u8>,
    /// What each history holds, the oldest value first.
    pub histories: Vec<Vec<u8>>,
}

impl LiveState {
    /// The live values at these steps; histories hold nothing.
    pub fn at_steps(steps: Vec<u8>) -> Self {
        Self { steps, histories: Vec::new() }
    }

    /// Records the present step in a history.
    pub fn record(&mut self, id: HistoryId, history: &ValueHistory) {
        let step = self.steps.get(history.value.0).copied().unwrap_or_default();
        if let Some(held) = self.histories.get_mut(id.0).filter(|held| !held.is_empty()) {
            held.rotate_left(1);
            let last = held.len() - 1;
            held[last] = step.saturating_add(1);
        }
    }
}

/// The histories of the charts of scenes. A chart of another scene that keeps the same has the same history; two of one scene do not.
pub fn histories(
    scenes: &mut [Scene],
    lives: &[LiveValue],
    rate: FrameRate,
    findings: &mut Findings,
) -> Vec<ValueHistory> {
    const HINT: &str = "make it narrower: each chart keeps a byte for each column and 2 more; charts of the same value, width and rate in \
                        several scenes keep them once";
    let mut all: Vec<ValueHistory> = Vec::new();
    for scene in scenes {
        let mut used = Vec::new();
        for layer in &mut scene.layers {
            let Drawing::Chart(Chart { size, signal: Signal::Live { track, history, .. }, columns_a_second, .. }) =
                &mut layer.drawing
            else {
                continue;
            };
            let Some(following) = track.live else { continue };
            if let Some(live) = lives.get(following.value.0).filter(|live| live.steps > MOST_STEPS) {
                let message = format!("`{}` has {} steps; a chart can show up to {MOST_STEPS}", live.name, live.steps);
                findings.push(Finding::error(layer.span, message).also(live.span, "here").hint("use fewer `steps`"));
            }
            let every = rate.frames_in(1.0 / *columns_a_second).0.max(1);
            let own = ValueHistory { value: following.value, columns: columns(&size.width), every };
            let known = (0..all.len()).find(|at| all[*at] == own && !used.contains(at));
            let at = known.unwrap_or_else(|| {
                all.push(own);
                all.len() - 1
            });
            used.push(at);
            *history = HistoryId(at);
            let bytes: u32 = all.iter().map(ValueHistory::bytes).sum();
            if bytes > MOST_BYTES {
                let message = format!(
                    "with this chart, charts of live values keep {bytes} bytes of RAM; the limit is {MOST_BYTES}"
                );
                findings.push(Finding::error(layer.span, message).hint(HINT));
                return all;
            }
        }
    }
    all
}

/// The columns of a chart that does not move, as it is drawn.
fn columns(width: &Track) -> u32 {
    width.keys.first().map_or(1, |key| rounded::<u32>(key.value).max(1))
}
