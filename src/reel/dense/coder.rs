//! The coder of choices: an asymmetric number system over yes and no, which the player reads forwards and this writes backwards.

use crate::player::dense::{LEAST_STATE, PROBABILITY_BITS, probability};

/// A coded stream, and where each of its marks stands.
#[derive(Clone, Debug, Default)]
pub struct Stream {
    pub bytes: Vec<u8>,
    /// For each mark the offset in `bytes` and the coder's state there.
    pub marks: Vec<Place>,
}

/// A place in a stream from which it can be read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Place {
    pub offset: usize,
    pub state: u32,
}

/// Codes answers, each with its leaf; `marks` are positions in the list that can be read from, in rising order.
pub fn code(choices: &[(u8, bool)], marks: &[usize]) -> Stream {
    let (mut state, mut backwards, mut places) = (LEAST_STATE, Vec::new(), Vec::new());
    let mut left = marks.iter().rev().peekable();
    for at in (0..=choices.len()).rev() {
        if let Some((leaf, answer)) = choices.get(at) {
            put(*leaf, *answer, &mut state, &mut backwards);
        }
        while left.next_if_eq(&&at).is_some() {
            places.push((backwards.len(), state));
        }
    }
    let end = backwards.len();
    let marks = places.iter().rev().map(|(written, state)| Place { offset: end - written, state: *state }).collect();
    backwards.reverse();
    Stream { bytes: backwards, marks }
}

fn put(leaf: u8, answer: bool, state: &mut u32, backwards: &mut Vec<u8>) {
    let yes = u32::from(probability(leaf));
    let (share, start) = if answer { (yes, 0) } else { ((1 << PROBABILITY_BITS) - yes, yes) };
    // A state may grow to 256 times the least one before its low byte goes out.
    while *state >= share << (24 - PROBABILITY_BITS) {
        backwards.push(*state as u8);
        *state >>= 8;
    }
    *state = ((*state / share) << PROBABILITY_BITS) + *state % share + start;
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Reads choices back as the player does.
    fn read(stream: &Stream, place: Place, leaves: &[u8]) -> Vec<bool> {
        let (mut at, mut state) = (place.offset, place.state);
        let mask = (1 << PROBABILITY_BITS) - 1;
        let mut answers = Vec::new();
        for leaf in leaves {
            let yes = u32::from(probability(*leaf));
            let (part, whole) = (state & mask, state >> PROBABILITY_BITS);
            answers.push(part < yes);
            state = if part < yes { yes * whole + part } else { (mask + 1 - yes) * whole + part - yes };
            while state < LEAST_STATE {
                state = state << 8 | u32::from(stream.bytes.get(at).copied().unwrap_or(0));
                at += 1;
            }
        }
        answers
    }

    proptest! {
        #[test]
        fn what_is_coded_is_read_from_every_mark(choices in proptest::collection::vec((0u8..128, any::<bool>()), 0..300)) {
            let marks: Vec<usize> = (0..=choices.len()).step_by(7).collect();
            let stream = code(&choices, &marks);
            for (mark, place) in marks.iter().zip(&stream.marks) {
                let leaves: Vec<u8> = choices[*mark..].iter().map(|(leaf, _)| *leaf).collect();
                let answers: Vec<bool> = choices[*mark..].iter().map(|(_, answer)| *answer).collect();
                prop_assert_eq!(read(&stream, *place, &leaves), answers);
            }
        }
    }

    #[test]
    fn likely_choices_take_next_to_nothing() {
        let likely = (0x7F, true);
        assert!(code(&[likely; 1000], &[0]).bytes.len() < 8);
    }
}
