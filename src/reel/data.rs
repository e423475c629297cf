//! The pieces of code that carry display bytes: literals, fills, zeros, and copies from the reel itself.

use super::encode::word;
use crate::player::operation as op;
use crate::whole::limited;
use std::collections::HashMap;

/// The largest number of bytes of one literal, fill or zero instruction.
const LONGEST_SHORT: usize = 32;
/// The largest number of bytes of one copy.
const LONGEST_COPY: usize = 255;
/// Bytes of a copy instruction.
pub const COPY_BYTES: usize = 4;
/// The shortest copy that is looked up. A shorter one never saves bytes.
pub const SHORTEST_COPY: usize = 5;
/// How many earlier places with the same first bytes are tried.
const PLACES_TRIED: usize = 48;

/// A piece of code that carries data.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece {
    Literal(usize),
    Fill(usize),
    Copy { from: usize, length: usize },
}

impl Piece {
    /// How many data bytes it carries.
    pub fn length(self) -> usize {
        match self {
            Piece::Literal(length) | Piece::Fill(length) | Piece::Copy { length, .. } => length,
        }
    }

    /// Its reel bytes, if the first byte that it carries is `first`.
    pub fn size(self, first: u8) -> usize {
        match self {
            Piece::Literal(length) => 1 + length,
            Piece::Fill(_) if first == 0 => 1,
            Piece::Fill(_) => 2,
            Piece::Copy { .. } => COPY_BYTES,
        }
    }

    /// Appends it to the reel. `data` begins with the bytes that it carries.
    pub fn write(self, data: &[u8], reel: &mut Vec<u8>) {
        let short: u8 = limited(self.length() - 1);
        match self {
            Piece::Literal(length) => {
                reel.push(op::LITERAL | short);
                reel.extend(&data[..length]);
            }
            Piece::Fill(_) if data[0] == 0 => reel.push(op::ZERO | short),
            Piece::Fill(_) => reel.extend([op::FILL | short, data[0]]),
            Piece::Copy { from, length } => {
                reel.extend([op::COPY, limited(length)]);
                reel.extend(word(from));
            }
        }
    }
}

/// The pieces that `data` can begin with, except copies.
pub fn pieces(data: &[u8]) -> impl Iterator<Item = Piece> {
    let run = data.iter().take(LONGEST_SHORT).take_while(|byte| **byte == data[0]).count();
    let literals = (1..=LONGEST_SHORT.min(data.len())).map(Piece::Literal);
    literals.chain((1..=run).map(Piece::Fill))
}

/// The offsets of each sequence of [`SHORTEST_COPY`] bytes in the reel so far.
pub struct Places {
    places: HashMap<[u8; SHORTEST_COPY], Vec<usize>>,
    indexed: usize,
    /// Offsets of bytes that are filled in later, ascending. No copy may contain one.
    unknown: Vec<usize>,
}

impl Places {
    /// Places from an offset on. The bytes before it are filled in later.
    pub fn behind(offset: usize) -> Self {
        Self { places: HashMap::new(), indexed: offset, unknown: Vec::new() }
    }

    /// Leaves out bytes that are filled in later. The offsets must be larger than all earlier ones.
    pub fn leave_out(&mut self, offsets: std::ops::Range<usize>) {
        self.unknown.extend(offsets);
    }

    /// All bytes are now filled in.
    pub fn all_known(&mut self) {
        self.unknown.clear();
    }

    /// Adds the bytes that were appended since the last call.
    pub fn learn(&mut self, reel: &[u8]) {
        while let Some(window) = reel.get(self.indexed..self.indexed + SHORTEST_COPY) {
            if let Ok(key) = window.try_into() {
                self.places.entry(key).or_default().push(self.indexed);
            }
            self.indexed += 1;
        }
    }

    /// Returns the longest earlier part of the reel that begins like `data`; of equal ones the earliest.
    pub fn longest(&self, reel: &[u8], data: &[u8]) -> Option<(usize, usize)> {
        let key: [u8; SHORTEST_COPY] = data.get(..SHORTEST_COPY)?.try_into().ok()?;
        let tried = self.places.get(&key)?.iter().take(PLACES_TRIED);
        let most = data.len().min(LONGEST_COPY);
        let mut longest: Option<(usize, usize)> = None;
        for from in tried {
            let (length, earlier) = (longest.map_or(0, |(length, _)| length), &reel[*from..]);
            if length == most {
                break;
            }
            if earlier.get(length) == Some(&data[length]) {
                let unknown = self.unknown.iter().find(|at| *at >= from).map_or(usize::MAX, |at| at - *from);
                let same = earlier.iter().zip(&data[..most.min(unknown)]).take_while(|(a, b)| a == b).count();
                longest = if same > length { Some((same, *from)) } else { longest };
            }
        }
        longest
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_ends_before_bytes_that_are_still_to_be_filled_in() {
        let reel: Vec<u8> = (1..).take(SHORTEST_COPY + 4).collect();
        let mut places = Places::behind(0);
        places.leave_out(SHORTEST_COPY + 1..SHORTEST_COPY + 3);
        places.learn(&reel);
        assert_eq!(places.longest(&reel, &reel), Some((SHORTEST_COPY + 1, 0)));
        places.all_known();
        assert_eq!(places.longest(&reel, &reel), Some((reel.len(), 0)));
    }
}
