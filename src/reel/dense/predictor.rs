//! The beam that the player predicts: what it lights, and a steady turn that fits its directions.

use crate::player::beam::{Beam, SHORTEST_LONGEST, TOO_LONG, reaches_its_trail};
use crate::reel::beam::SeenBeam;
use crate::whole::limited;

/// A beam as it is stored when a scene opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Predictor {
    pub beam: Beam,
    /// Its longest limit in bearings, which is at least what the line of the beam needs.
    pub longest: u8,
    /// Where it points when the scene opens, and how far it turns per frame, in 2⁻¹⁶ turns.
    pub direction: u16,
    pub turn: u16,
}

/// Steps of a direction in 1/256 of a turn.
const STEPS: i64 = 1 << 8;
/// Parts of a whole turn.
const TURN: i64 = STEPS << 8;

/// Returns how the player predicts a turning beam. `None` if its turn is not steady, if it is too long, or if it turns so fast that
/// it reaches its own trail.
pub fn predictor(seen: &SeenBeam) -> Option<Predictor> {
    if seen.beam.reach >= TOO_LONG {
        return None;
    }
    let (direction, turn) = steady(&seen.directions)?;
    let longest = seen.beam.limits.into_iter().fold(SHORTEST_LONGEST, u8::max);
    // In whole bearings, the beam turns per frame by this or by one more.
    if turn >= 0xFF00 || reaches_its_trail(longest, (turn >> 8) as u8 + 1) {
        return None;
    }
    Some(Predictor { beam: seen.beam, longest, direction, turn })
}

/// Returns the start and the turn per frame, in 2⁻¹⁶ turns modulo one, that fit as many directions as possible.
fn steady(directions: &[Option<u8>]) -> Option<(u16, u16)> {
    let mut shown = (0i64..).zip(directions).filter_map(|(frame, at)| Some((frame, (*at)?)));
    let first = shown.next()?;
    let (mut last, mut turned) = (first, i64::from(first.1));
    // The directions in sequence, without the jump at a whole turn.
    let mut unwound = vec![(first.0, turned)];
    for (frame, at) in shown {
        turned += i64::from(at.wrapping_sub(last.1));
        last = (frame, at);
        unwound.push((frame, turned));
    }
    let (frames, turned) = (last.0 - first.0, turned - i64::from(first.1));
    if frames == 0 || turned == 0 {
        return None;
    }
    let (rough, spread) = (turned * STEPS / frames, STEPS / frames + 1);
    let fits = (rough - spread..=rough + spread).map(|turn| fitted(&unwound, turn));
    let (start, turn) = fits.max_by_key(|fit| fit.0)?.1;
    let within_a_turn = |parts: i64| limited(parts.rem_euclid(TURN));
    Some((within_a_turn(start), within_a_turn(turn)))
}

/// Returns how many directions a turn fits with the best start, and that start.
fn fitted(unwound: &[(i64, i64)], turn: i64) -> (usize, (i64, i64)) {
    // The smallest start that is not too late for any direction is right for all for which it is not too early.
    let start = unwound.iter().map(|(frame, at)| at * STEPS - frame * turn).max().unwrap_or(0);
    let right = unwound.iter().filter(|(frame, at)| (start + frame * turn).div_euclid(STEPS) == *at).count();
    (right, (start, turn))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::whole::rounded;

    #[test]
    fn a_steady_turn_comes_to_most_directions() {
        for frames_a_turn in [7u32, 50, 80, 81, 100, 333] {
            for start in [0.0, 17.3] {
                let at = |frame: u32| (start + f64::from(frame) * 256.0 / f64::from(frames_a_turn) + 1e-6).floor();
                let directions: Vec<_> = (0..240).map(|frame| Some(rounded(at(frame).rem_euclid(256.0)))).collect();
                let (start, turn) = steady(&directions).expect("it turns");
                let played = (0..240).map(|frame| (start.wrapping_add(turn.wrapping_mul(frame)) >> 8) as u8);
                let right = played.zip(&directions).filter(|(played, at)| Some(*played) == **at).count();
                assert!(right >= 200, "{frames_a_turn} frames a turn: only {right} of 240");
            }
        }
    }
}
