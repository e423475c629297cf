//! Live texts: texts that the firmware sets, also over layers that move. Each character is a live value.

use super::following::LiveId;
use super::live::LiveField;
use super::track::Track;
use crate::whole::limited;
use std::ops::Range;

/// A live text of the show.
#[derive(Clone, Debug, PartialEq)]
pub struct SetText {
    /// Its name and characters, and how it is aligned.
    pub field: LiveField,
    /// The live value of its first character; the others follow.
    pub first: LiveId,
}

/// A character of a live text, as a layer draws it.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveCharacter {
    /// The whole text.
    pub field: LiveField,
    /// Its index, from the left.
    pub cell: u32,
    /// The number of the shown character in the list of the text's characters, from 1; 0 for none.
    pub shows: Track,
}

impl SetText {
    /// The numbers of the live values of its characters.
    pub fn values(&self) -> Range<usize> {
        self.first.0..self.first.0 + self.field.cells as usize
    }
    /// The table that the player reads: number of the first live value, how many there are, alignment, number of characters, their codes.
    pub fn table(&self) -> Vec<u8> {
        let LiveField { cells, align, characters, .. } = &self.field;
        let codes = characters.iter().map(|letter| limited(u32::from(*letter)));
        [limited(self.first.0), limited(*cells), align.code(), limited(characters.len())]
            .into_iter()
            .chain(codes)
            .collect()
    }
}
