//! Charts of live values as areas: the player draws them from the values that it keeps.

use super::carrier::NoAreas;
use super::cut::PixelRectangle;
use super::layers::{InkColumns, in_memory};
use super::live::LivePart;
use super::sheet::Sheet;
use crate::player::area::{DOWN, PICTURES};
use crate::player::history::{
    FROM_RIGHT, JOINED, NO_ROW, TO_FIRST_ROW, TO_LAST_ROW, history_bytes, history_ink, record_step,
};
use crate::reel::memory::Rows;
use crate::render::{Bitmap, layer_ink_in_state};
use crate::show::{ChartStyle, Drawing, LiveState, NOT_RECORDED, Scene, Show};
use crate::whole::limited;
use std::ops::Range;

/// Rows of a page.
const PAGE_ROWS: usize = 8;
/// Values by which a history is compared with what is drawn: steps far from one another, by a stride.
const STRIDE: usize = 7;

/// What the player reads of a history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HistoryRecord {
    /// Where its values begin in the player's memory.
    start: usize,
    columns: usize,
    style: u8,
    /// The row of pixels for no value and for each step, counted from the first page of the area.
    rows: Vec<u8>,
    /// In how many frames a value is taken.
    pub every: u32,
}

impl HistoryRecord {
    /// As the player reads it.
    pub fn bytes(&self) -> Vec<u8> {
        let start = limited::<u16, _>(self.start).to_le_bytes();
        start.into_iter().chain([limited(self.columns), self.style]).chain(self.rows.iter().copied()).collect()
    }
}

/// Bytes that the player keeps for the charts of a show.
pub fn kept_bytes(show: &Show) -> usize {
    show.histories().iter().map(|history| history_bytes(history.columns as usize)).sum()
}

/// A chart of a live value in memory order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HistoryInk {
    pub rectangle: PixelRectangle,
    pub sheet: Sheet,
}

impl HistoryInk {
    /// That of a layer, if it is such a chart; an error where the player cannot draw it.
    pub fn of(show: &Show, scene: &Scene, layer: usize, kept: &[usize]) -> Option<Result<Self, NoAreas>> {
        let Drawing::Chart(chart) = &scene.layers[layer].drawing else { return None };
        let id = scene.layers[layer].history()?;
        let history = show.histories().get(id.0)?;
        let end = show.frame_rate().seconds_at(scene.frames.0);
        let drawn = DrawnChart { show, scene, layer, history: id.0, kept };
        let steady = scene.layers[layer].is_steady_until(end);
        let found = steady.then(|| drawn.record(chart.style, history.every)).flatten();
        let found = found.filter(|(ink, own)| drawn.agrees(ink, own));
        let is_on_its_side = show.mounting().view_size(show.panel()).0 != show.panel().width;
        Some(found.map(|(ink, _)| ink).ok_or(NoAreas::Chart { layer, is_on_its_side }))
    }
}

/// A chart as the renderer draws it.
struct DrawnChart<'s> {
    show: &'s Show,
    scene: &'s Scene,
    layer: usize,
    history: usize,
    kept: &'s [usize],
}

impl DrawnChart<'_> {
    fn columns(&self) -> usize {
        self.show.histories()[self.history].columns as usize
    }

    fn steps(&self) -> u8 {
        self.show.live()[self.show.histories()[self.history].value.0].steps
    }

    /// The ink, if the history holds this. It is the same at all frames.
    fn ink(&self, held: Vec<u8>) -> InkColumns {
        let mut state = LiveState { steps: vec![0; self.show.live().len()], ..self.show.first_state() };
        state.histories[self.history] = held;
        let (width, height) = self.show.view_size();
        let ink = layer_ink_in_state(self.show, &self.scene.layers[self.layer], 0, &state);
        let blank = Bitmap::new(width, height);
        in_memory(self.show.panel(), self.show.mounting(), ink.as_ref().map_or(&blank, |ink| &ink.inside))
    }

    /// The ink if all values are these, but the latest one.
    fn even(&self, held: u8, latest: u8) -> InkColumns {
        let mut all = vec![held; self.columns()];
        let last = all.len() - 1;
        all[last] = latest;
        self.ink(all)
    }

    /// Whether the latest value stands in the first of its columns.
    fn is_from_right(&self, columns: &Range<usize>) -> bool {
        let highest = self.steps() + 1;
        let latest = |held: u8| {
            let (without, with) = (self.even(held, held), self.even(held, highest));
            without.iter().zip(&with).position(|(without, with)| without != with)
        };
        latest(NOT_RECORDED).or_else(|| latest(1)).is_some_and(|at| at == columns.start && columns.len() > 1)
    }

    /// What the player needs to draw it, from where and how it is drawn at each step.
    fn record(&self, style: ChartStyle, every: u32) -> Option<(HistoryInk, HistoryRecord)> {
        let inks: Vec<InkColumns> = (NOT_RECORDED..=self.steps() + 1).map(|held| self.even(held, held)).collect();
        let mut around: InkColumns = vec![0; inks[0].len()];
        inks.iter().for_each(|ink| around.iter_mut().zip(ink).for_each(|(around, ink)| *around |= ink));
        let rectangle = PixelRectangle::around(&around)?;
        let columns = self.columns();
        if rectangle.columns.len() != columns {
            return None;
        }
        let of_step = |held: usize| inks[held][rectangle.columns.start];
        let (lowest, highest) = (of_step(1), of_step(inks.len() - 1));
        let top = PAGE_ROWS * rectangle.pages().start;
        // Columns of all values meet in the last row, or else in the first.
        let to_last = lowest.leading_zeros() == highest.leading_zeros();
        let row = |held: usize| match of_step(held) {
            0 => NO_ROW,
            rows => {
                let end = if to_last { rows.trailing_zeros() } else { Rows::BITS - 1 - rows.leading_zeros() };
                limited(limited::<usize, _>(end).saturating_sub(top))
            }
        };
        let style = match style {
            ChartStyle::Dots => 0,
            ChartStyle::Line => JOINED,
            ChartStyle::Columns if to_last => TO_LAST_ROW,
            ChartStyle::Columns => TO_FIRST_ROW,
        };
        let histories = &self.show.histories()[..self.history];
        let record = HistoryRecord {
            start: histories.iter().map(|history| history_bytes(history.columns as usize)).sum(),
            columns,
            style: style | if self.is_from_right(&rectangle.columns) { FROM_RIGHT } else { 0 },
            rows: (0..inks.len()).map(row).collect(),
            every,
        };
        let value = self.show.histories()[self.history].value.0;
        let phases = self.kept.iter().map(|frame| limited(limited::<u32, _>(*frame) / every)).collect();
        let sheet = Sheet {
            motion: DOWN | PICTURES,
            phases,
            parts: vec![LivePart { value, steps: vec![0] }],
            history: Some(record.clone()),
            ..Sheet::default()
        };
        Some((HistoryInk { rectangle, sheet }, record))
    }

    /// Whether the player draws what the renderer draws, with several values.
    fn agrees(&self, ink: &HistoryInk, record: &HistoryRecord) -> bool {
        let values = usize::from(self.steps()) + 2;
        (0..2 * STRIDE).all(|stride| {
            let held: Vec<u8> = (0..self.columns()).map(|at| limited(at * stride % values)).collect();
            let drawn = self.ink(held.clone());
            played(ink, record, &held, drawn.len()) == drawn
        })
    }
}

/// What the player draws of a history that holds these values.
fn played(ink: &HistoryInk, record: &HistoryRecord, held: &[u8], width: usize) -> InkColumns {
    let reel = HistoryRecord { start: 0, ..record.clone() }.bytes();
    let mut memory = vec![0; history_bytes(record.columns)];
    let mut phase = 0;
    for held in held {
        // A step is held as one more, and no value as nothing.
        phase = record_step(&mut memory, &reel, 0, Some(held.wrapping_sub(1)));
    }
    let mut columns: InkColumns = vec![0; width];
    for (number, column) in ink.rectangle.columns.clone().enumerate() {
        for (page, at) in ink.rectangle.pages().enumerate() {
            let cell = history_ink(&memory, &reel, 0, phase, (limited(page), limited(number)));
            columns[column] |= Rows::from(cell) << (PAGE_ROWS * at);
        }
        columns[column] &= ink.rectangle.mask();
    }
    columns
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::{LiveId, ValueHistory};

    #[test]
    fn a_script_may_keep_what_the_player_keeps() {
        for columns in [1, 60, 132, 510] {
            let history = ValueHistory { value: LiveId(0), columns, every: 1 };
            assert_eq!(history_bytes(columns as usize), history.bytes() as usize);
        }
    }
}
