//! What rows outside the view will have to show when they come into view. So they can be written once and in advance.

use super::memory::{DisplayState, Memory, PageBitmap, Pages, Rows, turned, visible, wanted_in_memory};

/// For each column, the bits that its hidden rows will show next, and the rows for which this is known.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prefetch {
    pub bits: Vec<Rows>,
    pub known: Vec<Rows>,
}

/// Returns the prefetch at each frame. `pictures` are shown under `display_states`. Empty if no row ever comes into view.
pub fn prefetch(pictures: &[&PageBitmap], display_states: &[DisplayState]) -> Vec<Prefetch> {
    let Some((last, rest)) = pictures.split_last() else { return Vec::new() };
    if display_states.iter().all(|state| state.start_line == display_states[0].start_line) {
        return Vec::new();
    }
    let width = last.width();
    let mut coming = Prefetch { bits: vec![0; width], known: vec![0; width] };
    let mut all = vec![coming.clone()];
    for (picture, state) in pictures.iter().zip(display_states).rev().take(rest.len()) {
        let mask = turned(visible(picture.rows()), state.start_line);
        for (column, wanted) in picture.bits().iter().enumerate() {
            coming.bits[column] = coming.bits[column] & !mask | wanted_in_memory(*wanted, *state) & mask;
            coming.known[column] |= mask;
        }
        all.push(coming.clone());
    }
    all.reverse();
    all
}

impl Memory {
    /// Adds to `changed` the cells that lie partly outside the view, will have to change, and are next to a changed cell of their
    /// page.
    pub fn ahead(&self, coming: &Prefetch, state: DisplayState, changed: &mut [Pages]) {
        let mask = turned(visible(self.rows()), state.start_line);
        let touched = changed.iter().fold(0, |pages, column| pages | column);
        for (column, cells) in changed.iter_mut().enumerate() {
            *cells |= self.stale_pages(column, coming, !mask) & touched;
        }
    }
}
