//! What the rows outside the view will have to hold when they come into view, so that they are written once and ahead.

use super::memory::{DisplayState, Memory, PageBitmap, Pages, Rows, turned, visible, wanted_in_memory};

/// For each column the bits that its hidden rows will show next, and for which rows that is known.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prefetch {
    pub bits: Vec<Rows>,
    pub known: Vec<Rows>,
}

/// The prefetch at each of the frames `pictures`, shown under `display states`; empty when no row ever comes into view.
pub fn prefetch(pictures: &[&PageBitmap], display_states: &[DisplayState]) -> Vec<Prefetch> {
    let Some((last, rest)) = pictures.split_last() else { return Vec::new() };
    if display_states.iter().all(|state| state.start_line == display_states[0].start_line) {
        return Vec::new();
    }
    let width = last.width();
    let mut sight = Prefetch { bits: vec![0; width], known: vec![0; width] };
    let mut all = vec![sight.clone()];
    for (picture, state) in pictures.iter().zip(display_states).rev().take(rest.len()) {
        let mask = turned(visible(picture.rows()), state.start_line);
        for (column, wanted) in picture.bits().iter().enumerate() {
            sight.bits[column] = sight.bits[column] & !mask | wanted_in_memory(*wanted, *state) & mask;
            sight.known[column] |= mask;
        }
        all.push(sight.clone());
    }
    all.reverse();
    all
}

impl Memory {
    /// Adds to `changed` the cells that reach out of view beside a changed cell of their page, and will have to change.
    pub fn ahead(&self, sight: &Prefetch, state: DisplayState, changed: &mut [Pages]) {
        let mask = turned(visible(self.rows()), state.start_line);
        let touched = changed.iter().fold(0, |pages, column| pages | column);
        for (column, cells) in changed.iter_mut().enumerate() {
            *cells |= self.stale_pages(column, sight, !mask) & touched;
        }
    }
}
