//! Rows of a picture as the lines of a roll: pieces of ink, each stored once, and for each line the offsets of its pieces.

use crate::player::roll::{BLANKS, LONGEST_PITCH, MOST_INK};
use crate::whole::limited;
use std::collections::BTreeMap;

/// The largest number of rows of ink in a line.
const LINE_ROWS: usize = 8;
/// The smallest number of rows from line to line. Eight rows then never need more than two lines.
const SHORTEST_PITCH: usize = LINE_ROWS - 1;
/// The piece that is blank to the end of its line.
const BLANK_TO_THE_END: u8 = 0xFF;

/// Lines of a roll.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lines {
    /// Rows from line to line.
    pub pitch: u8,
    /// How many rows before the first given row the first line begins. The first line is blank.
    pub before: u8,
    /// Pieces of ink at even offsets. Each is a count and that many columns.
    pub ink: Vec<u8>,
    /// The lines' code, with its end.
    pub code: Vec<u8>,
}

impl Lines {
    /// Returns the shortest lines of rows whose columns are bits, column 0 in bit 0. `None` if the player cannot play them.
    pub fn of(rows: &[u128], width: usize) -> Option<Self> {
        let pitches = SHORTEST_PITCH..=usize::from(LONGEST_PITCH);
        let ways = pitches.flat_map(|pitch| (0..pitch).map(move |before| (pitch, before)));
        let made = ways.filter_map(|(pitch, before)| Self::with(rows, width, pitch, before));
        made.min_by_key(|lines| lines.ink.len() + lines.code.len())
    }

    /// Lines of one pitch. The second line begins `before` rows before the first given row.
    fn with(rows: &[u128], width: usize, pitch: usize, before: usize) -> Option<Self> {
        let row = |at: usize| at.checked_sub(before).and_then(|at| rows.get(at)).copied().unwrap_or(0);
        let count = (rows.len() + before).div_ceil(pitch);
        if (0..count).any(|line| (LINE_ROWS..pitch).any(|on| row(line * pitch + on) != 0)) {
            return None;
        }
        let mut pieces = Pieces::default();
        let mut lines = vec![vec![BLANK_TO_THE_END]];
        for line in 0..count {
            let column = |at: usize| {
                (0..LINE_ROWS.min(pitch)).fold(0, |bits, on| bits | ((row(line * pitch + on) >> at & 1) as u8) << on)
            };
            let columns: Vec<u8> = (0..width).map(column).collect();
            lines.push(pieces.line(&columns)?);
        }
        while lines.len() > 1 && lines.last().is_some_and(|line| line.len() == 1) {
            lines.pop();
        }
        let mut code = Vec::new();
        for line in &lines {
            code.push(u8::try_from(line.len()).ok().filter(|count| *count < BLANK_TO_THE_END)?);
            code.extend(line);
        }
        code.extend([0, BLANK_TO_THE_END]);
        Some(Self { pitch: limited(pitch), before: limited(before + pitch), ink: pieces.ink, code })
    }
}

/// Pieces of ink, and where each begins.
#[derive(Default)]
struct Pieces {
    ink: Vec<u8>,
    places: BTreeMap<Vec<u8>, u8>,
}

impl Pieces {
    /// Returns the code of a line. `None` if there is no more room for ink.
    fn line(&mut self, columns: &[u8]) -> Option<Vec<u8>> {
        let mut code = Vec::new();
        let runs: Vec<&[u8]> = columns.chunk_by(|one, next| (*one == 0) == (*next == 0)).collect();
        for (number, run) in runs.iter().enumerate() {
            if run[0] != 0 {
                code.push(self.place(run)?);
            } else if number + 1 < runs.len() {
                // A blank column follows each piece.
                let mut blanks = run.len() - usize::from(number > 0);
                while blanks > 0 {
                    let some = blanks.min(usize::from(BLANK_TO_THE_END - BLANKS));
                    code.push(BLANKS - 1 + limited::<u8, _>(some));
                    blanks -= some;
                }
            }
        }
        code.push(BLANK_TO_THE_END);
        Some(code)
    }

    /// Returns half of the offset of a piece in the ink.
    fn place(&mut self, piece: &[u8]) -> Option<u8> {
        if let Some(place) = self.places.get(piece) {
            return Some(*place);
        }
        let place = limited(self.ink.len() / 2);
        self.ink.push(limited(piece.len()));
        self.ink.extend(piece);
        if self.ink.len() % 2 == 1 {
            self.ink.push(0);
        }
        self.places.insert(piece.to_vec(), place);
        (self.ink.len() <= MOST_INK).then_some(place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two lines of the same two letters, nine rows apart, encoded by hand.
    #[test]
    fn a_piece_of_ink_is_stored_once_and_blank_columns_are_counted() {
        let letters = [0b1_0111u128, 0b1_0101, 0b1_0111];
        let rows: Vec<u128> = letters.into_iter().chain([0; 6]).chain(letters).collect();
        let lines = Lines::of(&rows, 8).expect("little ink");
        assert_eq!((lines.pitch, lines.before), (9, 9));
        assert_eq!(lines.ink, [3, 0b111, 0b101, 0b111, 1, 0b111]);
        // A blank line, then twice: a piece of three columns, a piece of one column, and blank to the end.
        assert_eq!(lines.code, [1, 0xFF, 3, 0, 2, 0xFF, 3, 0, 2, 0xFF, 0, 0xFF]);
    }

    #[test]
    fn what_is_more_ink_than_the_player_can_reach_is_no_roll() {
        let rows: Vec<u128> = (1..400u128).map(|row| row * 0x9E37_79B9_7F4A_7C15 * row).collect();
        assert_eq!(Lines::of(&rows, 100), None);
    }
}
