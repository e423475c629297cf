//! Encodes how the phase of an area changes from frame to frame.

use crate::player::area::{GO_TO, PHASE, TIMES, WIDE_STEP};
use crate::whole::limited;

/// The longest stay of a short step, and of the others.
const SHORT_STAY: u8 = 15;
const LONG_STAY: u8 = u8::MAX;
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
                code.extend([TIMES, limited(times)]);
                code.extend(&same[0]);
            } else {
                same.iter().for_each(|item| code.extend(item));
            }
        }
    }
    let mut round = period.map(|_| 0);
    if round.is_none() && stays {
        round = Some(code.len());
        code.push(SHORT_STAY);
    }
    if round.is_some() {
        code.extend([GO_TO, 0, 0]);
    }
    PhaseCourse { code, round }
}

/// Encodes the course of a history, whose phase changes at a fixed interval of frames, without end.
pub fn history_course(every: u32) -> PhaseCourse {
    let mut items = Vec::new();
    push(&mut items, Some(0), 1, limited(every.saturating_sub(1)));
    PhaseCourse { code: items.concat().into_iter().chain([GO_TO, 0, 0]).collect(), round: Some(0) }
}

/// Appends an item that sets the phase, which then stays for this many more frames.
fn push(items: &mut Vec<Vec<u8>>, former: Option<u16>, phase: u16, stays: usize) {
    let [low, high] = phase.to_le_bytes();
    let mut left = stays;
    let step = former.map(|former| phase.wrapping_sub(former).cast_signed());
    match step {
        Some(step) if step.unsigned_abs() <= SHORT_STEP => {
            let ([step, _], stay) = (step.to_le_bytes(), limited::<u8, _>(left).min(SHORT_STAY));
            items.push(vec![step << 4 | stay]);
            left -= usize::from(stay);
        }
        Some(step) => {
            let ([low, high], stay) = (step.to_le_bytes(), limited(left));
            items.push(vec![WIDE_STEP, low, high, stay]);
            left -= usize::from(stay);
        }
        None => {
            let stay: u8 = limited(left);
            items.push(vec![PHASE, low, high, stay]);
            left -= usize::from(stay);
        }
    }
    while left > 0 {
        // A frame for the item itself.
        let longest = if left > 2 * usize::from(SHORT_STAY) { LONG_STAY } else { SHORT_STAY };
        let stay = limited::<u8, _>(left - 1).min(longest);
        items.push(if stay > SHORT_STAY { vec![WIDE_STEP, 0, 0, stay] } else { vec![stay] });
        left -= usize::from(stay) + 1;
    }
}
