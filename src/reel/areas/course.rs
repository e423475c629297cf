//! Encodes how the phase of an area changes from frame to frame.

use crate::player::area::{GO_TO, PHASE, TIMES, WIDE_STEP};

/// The longest stay of a short step, and of the others.
const SHORT_STAY: usize = 15;
const LONG_STAY: usize = 255;
/// The widest short step.
const SHORT_STEP: u16 = 7;
const MOST_TIMES: usize = 255;

/// The items of a course, and the offset at which it starts again.
pub struct PhaseCourse {
    pub code: Vec<u8>,
    pub round: Option<usize>,
}

/// Encodes the phases of all frames as a course, without a phase before the first. A course that `stays` keeps its last phase.
pub fn course(phases: &[u16], stays: bool) -> PhaseCourse {
    let comes_round = |period: &usize| phases[*period..] == phases[..phases.len() - period];
    let longest = if stays { 1 } else { phases.len() / 2 };
    // A single phase also has a period.
    let period = (1..=longest).find(comes_round).or((phases.len() == 1).then_some(1));
    let phases = &phases[..period.unwrap_or(phases.len())];
    let mut items: Vec<Vec<u8>> = Vec::new();
    let mut former: Option<u16> = None;
    for same in phases.chunk_by(|one, next| one == next) {
        push(&mut items, former, same[0], same.len() - 1);
        former = Some(same[0]);
    }
    let mut code = Vec::new();
    for same in items.chunk_by(|one, next| one == next) {
        for same in same.chunks(MOST_TIMES) {
            let times = same.len();
            if times * same[0].len() > same[0].len() + 2 {
                code.extend([TIMES, times as u8]);
                code.extend(&same[0]);
            } else {
                same.iter().for_each(|item| code.extend(item));
            }
        }
    }
    let mut round = period.map(|_| 0);
    if round.is_none() && stays {
        round = Some(code.len());
        code.push(SHORT_STAY as u8);
    }
    if round.is_some() {
        code.extend([GO_TO, 0, 0]);
    }
    PhaseCourse { code, round }
}

/// Appends an item that sets the phase, which then stays for this many more frames.
fn push(items: &mut Vec<Vec<u8>>, former: Option<u16>, phase: u16, stays: usize) {
    let [low, high] = phase.to_le_bytes();
    let mut left = stays;
    let step = former.map(|former| phase.wrapping_sub(former) as i16);
    match step {
        Some(step) if step.unsigned_abs() <= SHORT_STEP => {
            let stay = left.min(SHORT_STAY);
            items.push(vec![(step as u8) << 4 | stay as u8]);
            left -= stay;
        }
        Some(step) => {
            let ([low, high], stay) = (step.to_le_bytes(), left.min(LONG_STAY));
            items.push(vec![WIDE_STEP, low, high, stay as u8]);
            left -= stay;
        }
        None => {
            let stay = left.min(LONG_STAY);
            items.push(vec![PHASE, low, high, stay as u8]);
            left -= stay;
        }
    }
    while left > 0 {
        // The item itself takes a frame.
        let stay = (left - 1).min(if left > 2 * SHORT_STAY { LONG_STAY } else { SHORT_STAY });
        items.push(if stay > SHORT_STAY { vec![WIDE_STEP, 0, 0, stay as u8] } else { vec![stay as u8] });
        left -= stay + 1;
    }
}
