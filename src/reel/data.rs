//! Display bytes as the fewest reel bytes: literals, fills, zeros and copies from the reel itself, by dynamic programming.

use std::collections::HashMap;

/// Bytes that one literal, fill or zero instruction covers at most.
const LONGEST_SHORT: usize = 32;
/// Bytes that one copy covers at most.
const LONGEST_COPY: usize = 255;
/// Bytes of a copy instruction.
const COPY_BYTES: usize = 4;
/// The shortest match that is looked up; a shorter one never pays for a copy.
const SHORTEST_MATCH: usize = 5;
/// How many earlier places with the same first bytes are tried.
const PLACES_TRIED: usize = 48;

/// One piece of a parse.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Piece {
    Literal(usize),
    Fill(usize),
    Copy { from: usize, length: usize },
}

impl Piece {
    fn length(self) -> usize {
        match self {
            Piece::Literal(length) | Piece::Fill(length) | Piece::Copy { length, .. } => length,
        }
    }
}

/// Where each sequence of [`SHORTEST_MATCH`] bytes stands in the bytes emitted so far.
#[derive(Default)]
pub struct Places {
    places: HashMap<[u8; SHORTEST_MATCH], Vec<usize>>,
    indexed: usize,
}

impl Places {
    /// Takes in what was emitted since the last call.
    pub fn learn(&mut self, reel: &[u8]) {
        while let Some(window) = reel.get(self.indexed..self.indexed + SHORTEST_MATCH) {
            if let Ok(key) = window.try_into() {
                self.places.entry(key).or_default().push(self.indexed);
            }
            self.indexed += 1;
        }
    }

    /// The longest earlier stretch of the reel that begins like `data`; of equals the earliest.
    fn longest(&self, reel: &[u8], data: &[u8]) -> Option<(usize, usize)> {
        let key: [u8; SHORTEST_MATCH] = data.get(..SHORTEST_MATCH)?.try_into().ok()?;
        let tried = self.places.get(&key)?.iter().take(PLACES_TRIED);
        let matches = tried.map(|from| {
            let same = reel[*from..].iter().zip(data).take(LONGEST_COPY).take_while(|(a, b)| a == b).count();
            (same, *from)
        });
        matches.max_by_key(|(length, from)| (*length, std::cmp::Reverse(*from)))
    }
}

/// Appends `data` to the reel in the fewest bytes.
pub fn encode_data(data: &[u8], reel: &mut Vec<u8>, places: &mut Places) {
    places.learn(reel);
    let mut at = 0;
    for piece in parse(data, reel, places) {
        let (length, rest) = (piece.length(), &data[at..]);
        let short = (length - 1) as u8;
        match piece {
            Piece::Literal(_) => {
                reel.push(0x20 | short);
                reel.extend(&rest[..length]);
            }
            Piece::Fill(_) if rest[0] == 0 => reel.push(0x60 | short),
            Piece::Fill(_) => reel.extend([0x40 | short, rest[0]]),
            Piece::Copy { from, .. } => reel.extend([0x0A, length as u8, from as u8, (from >> 8) as u8]),
        }
        at += length;
    }
}

/// The reel bytes that `data` takes at most when it stood in the reel before, or is written without copies.
pub fn plain_size(data: &[u8]) -> usize {
    let mut code = Vec::new();
    encode_data(data, &mut code, &mut Places::default());
    code.len().min(COPY_BYTES * data.len().div_ceil(LONGEST_COPY))
}

/// The cheapest parse, found from the end: the cost of a tail is the least over its first piece and the rest's cost.
fn parse(data: &[u8], reel: &[u8], places: &Places) -> Vec<Piece> {
    let mut best: Vec<(usize, Piece)> = vec![(0, Piece::Literal(0)); data.len() + 1];
    let mut run = 0;
    for at in (0..data.len()).rev() {
        run = if data.get(at + 1) == Some(&data[at]) { run + 1 } else { 1 };
        let mut least = (usize::MAX, Piece::Literal(1));
        let mut consider = |cost: usize, piece: Piece| {
            let total = cost + best[at + piece.length()].0;
            if total < least.0 {
                least = (total, piece);
            }
        };
        for length in 1..=LONGEST_SHORT.min(data.len() - at) {
            consider(1 + length, Piece::Literal(length));
        }
        for length in 1..=LONGEST_SHORT.min(run) {
            consider(if data[at] == 0 { 1 } else { 2 }, Piece::Fill(length));
        }
        if let Some((longest, from)) = places.longest(reel, &data[at..]) {
            for length in SHORTEST_MATCH..=longest {
                consider(COPY_BYTES, Piece::Copy { from, length });
            }
        }
        best[at] = least;
    }
    let mut pieces = Vec::new();
    let mut at = 0;
    while at < data.len() {
        pieces.push(best[at].1);
        at += best[at].1.length();
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Reads the pieces back as a player would.
    fn decode(code: &[u8], reel: &[u8]) -> Vec<u8> {
        let (mut at, mut data) = (0, Vec::new());
        while at < code.len() {
            let count = (code[at] & 31) as usize + 1;
            match code[at] {
                0x20..=0x3F => {
                    data.extend(&code[at + 1..=at + count]);
                    at += count;
                }
                0x40..=0x5F => {
                    data.extend(vec![code[at + 1]; count]);
                    at += 1;
                }
                0x60..=0x7F => data.extend(vec![0; count]),
                0x0A => {
                    let from = code[at + 2] as usize | (code[at + 3] as usize) << 8;
                    data.extend(&reel[from..from + code[at + 1] as usize]);
                    at += 3;
                }
                other => panic!("{other:02X} carries no data"),
            }
            at += 1;
        }
        data
    }

    /// The fewest bytes for short data, trying every parse into literals and fills.
    fn fewest(data: &[u8]) -> usize {
        let Some(first) = data.first() else { return 0 };
        let run = data.iter().take_while(|byte| *byte == first).count();
        let literals = (1..=data.len()).map(|length| 1 + length + fewest(&data[length..]));
        let fills = (1..=run).map(|length| if *first == 0 { 1 } else { 2 } + fewest(&data[length..]));
        literals.chain(fills).min().unwrap_or(0)
    }

    proptest! {
        #[test]
        fn what_is_encoded_reads_back(parts in prop::collection::vec(prop::collection::vec(0u8..3, 0..80), 1..6)) {
            let (mut reel, mut places) = (vec![9; 11], Places::default());
            for data in parts {
                let start = reel.len();
                encode_data(&data, &mut reel, &mut places);
                prop_assert_eq!(decode(&reel[start..], &reel), data);
            }
        }

        #[test]
        fn no_parse_is_shorter(data in prop::collection::vec(0u8..3, 0..11)) {
            let (mut reel, mut places) = (Vec::new(), Places::default());
            encode_data(&data, &mut reel, &mut places);
            prop_assert_eq!(reel.len(), fewest(&data));
        }
    }
}
