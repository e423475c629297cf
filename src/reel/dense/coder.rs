//! Encodes decisions: an asymmetric number system over yes and no. It is written backwards, so that the player can read it
//! forwards.

use crate::player::dense::LEAST_STATE;

/// A coded stream, and its marks.
#[derive(Clone, Debug, Default)]
pub struct Stream {
    pub bytes: Vec<u8>,
    /// For each mark, the offset in `bytes` and the state of the coder there.
    pub marks: Vec<StreamPlace>,
}

/// A place in a stream from which it can be read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StreamPlace {
    pub offset: usize,
    pub state: u32,
}

/// Encodes answers. Each has the probability of a yes in parts of 2 to the power of `bits`. `marks` are positions in the list from
/// which the stream can be read, in rising order.
pub fn code(choices: &[(u16, bool)], bits: u8, marks: &[usize]) -> Stream {
    let (mut state, mut backwards, mut places) = (LEAST_STATE, Vec::new(), Vec::new());
    let mut left = marks.iter().rev().peekable();
    for at in (0..=choices.len()).rev() {
        if let Some((yes, answer)) = choices.get(at) {
            put((*yes).into(), *answer, bits, &mut state, &mut backwards);
        }
        while left.next_if_eq(&&at).is_some() {
            places.push((backwards.len(), state));
        }
    }
    let end = backwards.len();
    let marks =
        places.iter().rev().map(|(written, state)| StreamPlace { offset: end - written, state: *state }).collect();
    backwards.reverse();
    Stream { bytes: backwards, marks }
}

fn put(yes: u32, answer: bool, bits: u8, state: &mut u32, backwards: &mut Vec<u8>) {
    let (share, start) = if answer { (yes, 0) } else { ((1 << bits) - yes, yes) };
    // A state can grow to 256 times the smallest one before its low byte is written.
    while *state >= share << (24 - bits) {
        backwards.push((*state & 0xFF) as u8);
        *state >>= 8;
    }
    *state = ((*state / share) << bits) + *state % share + start;
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Decodes answers as the player does.
    fn read(stream: &Stream, place: StreamPlace, shares: &[u16], bits: u8) -> Vec<bool> {
        let (mut at, mut state) = (place.offset, place.state);
        let mask = (1 << bits) - 1;
        let mut answers = Vec::new();
        for yes in shares {
            let yes = u32::from(*yes);
            let (part, whole) = (state & mask, state >> bits);
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
        fn what_is_coded_is_read_from_every_mark(choices in proptest::collection::vec((1u16..255, any::<bool>()), 0..300), bits in 8u8..=12) {
            let marks: Vec<usize> = (0..=choices.len()).step_by(7).collect();
            let stream = code(&choices, bits, &marks);
            for (mark, place) in marks.iter().zip(&stream.marks) {
                let shares: Vec<u16> = choices[*mark..].iter().map(|(yes, _)| *yes).collect();
                let answers: Vec<bool> = choices[*mark..].iter().map(|(_, answer)| *answer).collect();
                prop_assert_eq!(read(&stream, *place, &shares, bits), answers);
            }
        }
    }

    #[test]
    fn likely_choices_take_next_to_nothing() {
        let likely = (4095, true);
        assert!(code(&[likely; 1000], 12, &[0]).bytes.len() < 8);
    }
}
