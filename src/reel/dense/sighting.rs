//! The beam that a scene's player foresees: the turning sweep in memory order, and a steady turn that comes to its directions.

use crate::panel::{Mounting, Panel};
use crate::player::beam::{Beam, bearing};
use crate::render::Turning;

/// A beam as the record of a scene's opening holds it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sighting {
    pub beam: Beam,
    /// Where it points as the scene opens, and how far it turns a frame, in 2⁻¹⁶ turns.
    pub direction: u16,
    pub turn: u16,
}

/// Steps of a direction in 1/256 of a turn.
const STEPS: i64 = 1 << 8;

/// How the player is to foresee a turning beam; `None` when its centre is off the glass or its turn is not steady.
pub fn sighting(turning: &Turning, panel: &Panel, mounting: &Mounting) -> Option<Sighting> {
    let (x, y) = turning.centre;
    let (width, height) = mounting.view_size(panel);
    if !(0..width as i32 - 1).contains(&x) || !(0..height as i32 - 1).contains(&y) {
        return None;
    }
    let first = mounting.memory_window(panel).first_column as i32;
    let memory = |x: i32, y: i32| {
        let (column, row) = mounting.memory_pixel(panel, x as u32, y as u32);
        (column as i32 - first, row as i32)
    };
    let (centre, right, below) = (memory(x, y), memory(x + 1, y), memory(x, y + 1));
    let across = (right.0 - centre.0, right.1 - centre.1);
    let down = (below.0 - centre.0, below.1 - centre.1);
    let mirrored = across.0 * down.1 - across.1 * down.0 < 0;
    let towards_top = if mirrored { (down.0, -down.1) } else { (-down.0, -down.1) };
    let top = bearing(towards_top.0 as i16, towards_top.1 as i16);
    let mut limits = [0; 16];
    for (y, row) in turning.limits.iter().enumerate() {
        for (x, limit) in row.iter().enumerate() {
            let (column, row) = memory(x as i32, y as i32);
            limits[(row & 3) as usize * 4 + (column & 3) as usize] = *limit;
        }
    }
    let seen = |at: &Option<u8>| at.map(|at| top.wrapping_add(at));
    let directions: Vec<Option<u8>> = turning.directions.iter().map(seen).collect();
    let (direction, turn) = steady(&directions)?;
    let reach = u16::try_from(turning.radius * turning.radius).ok()?.into();
    let beam = Beam { column: centre.0 as i16, row: centre.1 as i16, reach, mirrored, limits };
    Some(Sighting { beam, direction, turn })
}

/// The start and the turn a frame, in 2⁻¹⁶ turns modulo one, that come to as many of the directions as can be.
fn steady(directions: &[Option<u8>]) -> Option<(u16, u16)> {
    let mut shown = directions.iter().enumerate().filter_map(|(frame, at)| Some((frame as i64, (*at)?)));
    let first = shown.next()?;
    let (mut last, mut turned) = (first, i64::from(first.1));
    // The directions one behind the other, without the leap at the whole turn.
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
    Some((start as u16, turn as u16))
}

/// How many directions a turn comes to with the best start, and that start.
fn fitted(unwound: &[(i64, i64)], turn: i64) -> (usize, (i64, i64)) {
    // The least start that is late for none is right for all that it is not early for.
    let start = unwound.iter().map(|(frame, at)| at * STEPS - frame * turn).max().unwrap_or(0);
    let right = unwound.iter().filter(|(frame, at)| (start + frame * turn).div_euclid(STEPS) == *at).count();
    (right, (start, turn))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_steady_turn_comes_to_most_directions() {
        for frames_a_turn in [7u32, 50, 80, 81, 100, 333] {
            for start in [0.0, 17.3] {
                let at = |frame: u32| (start + f64::from(frame) * 256.0 / f64::from(frames_a_turn) + 1e-6).floor();
                let directions: Vec<_> = (0..240).map(|frame| Some(at(frame).rem_euclid(256.0) as u8)).collect();
                let (start, turn) = steady(&directions).expect("it turns");
                let played = (0..240).map(|frame| (start.wrapping_add(turn.wrapping_mul(frame)) >> 8) as u8);
                let right = played.zip(&directions).filter(|(played, at)| Some(*played) == **at).count();
                assert!(right >= 200, "{frames_a_turn} frames a turn: only {right} of 240");
            }
        }
    }
}
