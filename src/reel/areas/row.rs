//! Encodes the rows of sheets: blank cells, cells that follow, repeated cells, and cells that are elsewhere in the block.

use crate::player::area::{AGAIN, BLANK_ON, CELLS_FOLLOW, ELSEWHERE, ONE_VALUE};
use crate::reel::encode::word;
use crate::whole::limited;
use std::collections::HashMap;

/// The largest number of cells of one piece. A blank piece has two less, because two codes mean something else.
const MOST_CELLS: usize = 64;
const MOST_BLANKS: usize = 62;
/// The shortest copy that is searched for.
const SHORTEST_COPY: usize = 4;
/// A row continues at its start if that saves at least this many cells.
const FEWEST_SPARED: usize = 4;
/// The price of a piece, in half bytes, in addition to its bytes: the player must skip it to reach later cells of the row. With
/// this, the longest calls of the random shows of tests/root/firmware/timing.rs take 7 % less time, and reels are not larger. Our
/// own choice.
const HALF_BYTES_A_PIECE: usize = 1;
/// A row with more pieces than this is encoded again at a higher price for each piece, because skipping many pieces makes a call
/// long. Both numbers are our own choice.
const MANY_PIECES: usize = 24;
const HALF_BYTES_A_PIECE_OF_MANY: usize = 6;
/// The number of earlier places with the same first cells that are tried.
const PLACES_TRIED: usize = 32;

/// The code of rows, one after the other.
#[derive(Default)]
pub struct RowCode {
    pub code: Vec<u8>,
    /// The offsets of addresses in the code. The addresses count from its start.
    pub addresses: Vec<usize>,
    places: HashMap<(Vec<u8>, bool), usize>,
    /// The offsets of each short sequence of bytes in the code, up to what was added by `learn`.
    sequences: HashMap<[u8; SHORTEST_COPY], Vec<usize>>,
    indexed: usize,
}

#[derive(Clone, Copy)]
enum RowPiece {
    Blanks(usize),
    Follow(usize),
    Value(usize),
    Copy(usize, usize),
}

impl RowPiece {
    fn cells(self) -> usize {
        match self {
            Self::Blanks(cells) | Self::Follow(cells) | Self::Value(cells) | Self::Copy(cells, _) => cells,
        }
    }
    fn bytes(self) -> usize {
        match self {
            Self::Blanks(_) => 1,
            Self::Follow(cells) => 1 + cells,
            Self::Value(_) => 2,
            Self::Copy(..) => 3,
        }
    }
}

/// Returns the cheapest pieces for a row. `copies` has, for each cell, length and offset of the longest copy that begins there.
fn cheapest(cells: &[u8], copies: &[Option<(usize, usize)>], half_bytes_a_piece: usize) -> Vec<RowPiece> {
    let mut best: Vec<(usize, RowPiece)> = vec![(0, RowPiece::Blanks(0)); cells.len() + 1];
    for at in (0..cells.len()).rev() {
        let rest = &cells[at..];
        let run = rest.iter().take(MOST_CELLS).take_while(|cell| **cell == rest[0]).count();
        let blanks = if rest[0] == 0 { run.min(MOST_BLANKS) } else { 0 };
        let copy = copies[at]
            .iter()
            .flat_map(|(longest, from)| (SHORTEST_COPY..=*longest).map(|cells| RowPiece::Copy(cells, *from)));
        let pieces = (1..=rest.len().min(MOST_CELLS)).map(RowPiece::Follow);
        let pieces = pieces.chain((1..=blanks).map(RowPiece::Blanks)).chain((1..=run).map(RowPiece::Value)).chain(copy);
        let costs = pieces.map(|piece| (half_bytes_a_piece + 2 * piece.bytes() + best[at + piece.cells()].0, piece));
        if let Some(least) = costs.min_by_key(|(price, _)| *price) {
            best[at] = least;
        }
    }
    let (mut pieces, mut at) = (Vec::new(), 0);
    while at < cells.len() {
        pieces.push(best[at].1);
        at += best[at].1.cells();
    }
    pieces
}

impl RowCode {
    /// Returns the offset of the code of a row. Writes the code if it is not there yet.
    pub fn place(&mut self, row: &[u8]) -> usize {
        let period =
            (1..row.len().saturating_sub(FEWEST_SPARED)).find(|period| row[*period..] == row[..row.len() - period]);
        let inked = row.iter().rposition(|cell| *cell != 0).map_or(0, |last| last + 1);
        let (stored, ends) = match period {
            Some(period) if inked > 0 => (&row[..period], false),
            _ => (&row[..inked], true),
        };
        let key = (stored.to_vec(), ends);
        if let Some(place) = self.places.get(&key) {
            return *place;
        }
        let place = self.code.len();
        self.write(stored);
        if ends {
            self.code.push(BLANK_ON);
        } else {
            self.code.extend([AGAIN, 0]);
        }
        self.places.insert(key, place);
        place
    }

    fn write(&mut self, cells: &[u8]) {
        self.learn();
        let copies: Vec<Option<(usize, usize)>> = (0..cells.len()).map(|at| self.longest(&cells[at..])).collect();
        let mut pieces = cheapest(cells, &copies, HALF_BYTES_A_PIECE);
        if pieces.len() > MANY_PIECES {
            pieces = cheapest(cells, &copies, HALF_BYTES_A_PIECE_OF_MANY);
        }
        let mut at = 0;
        for piece in pieces {
            let count = piece.cells();
            let less: u8 = limited(count - 1);
            match piece {
                RowPiece::Blanks(_) => self.code.push(less),
                RowPiece::Follow(_) => {
                    self.code.push(CELLS_FOLLOW | less);
                    self.code.extend(&cells[at..at + count]);
                }
                RowPiece::Value(_) => self.code.extend([ONE_VALUE | less, cells[at]]),
                RowPiece::Copy(_, from) => {
                    self.code.push(ELSEWHERE | less);
                    self.addresses.push(self.code.len());
                    self.code.extend(word(from));
                }
            }
            at += count;
        }
    }

    /// Returns length and offset of the longest part of the code that begins like the cells. It contains no address, because
    /// addresses are filled in later.
    fn longest(&self, cells: &[u8]) -> Option<(usize, usize)> {
        let key: [u8; SHORTEST_COPY] = cells.get(..SHORTEST_COPY)?.try_into().ok()?;
        let most = cells.len().min(MOST_CELLS);
        let alike = |from: usize| {
            let next = self.addresses.partition_point(|at| at + 1 < from);
            let stop = self.addresses.get(next).copied().unwrap_or(usize::MAX);
            let same = self.code[from..].iter().zip(&cells[..most]).take_while(|(a, b)| a == b).count();
            same.min(stop.saturating_sub(from))
        };
        let places = self.sequences.get(&key)?.iter().take(PLACES_TRIED);
        let best = places.map(|from| (alike(*from), std::cmp::Reverse(*from))).max()?;
        (best.0 >= SHORTEST_COPY).then_some((best.0, best.1.0))
    }

    /// Adds the sequences that were written since the last call.
    fn learn(&mut self) {
        while let Some(window) = self.code.get(self.indexed..self.indexed + SHORTEST_COPY) {
            if let Ok(key) = window.try_into() {
                self.sequences.entry(key).or_default().push(self.indexed);
            }
            self.indexed += 1;
        }
    }
}
