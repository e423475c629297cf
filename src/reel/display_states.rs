//! The display state of each frame of a scene: start line and inversion, chosen frame by frame or by the movement of the picture.

use super::memory::{DisplayState, Memory, PageBitmap, RING_ROWS, visible};
use super::scene::{Next, SceneFrames};
use super::step::{FARTHEST_SCROLL, Planner, Wanted};
use crate::whole::limited;

/// Returns lists of display states, one state for each frame, and one more for the way back if the scene repeats. The first list is
/// the cheapest frame by frame. If it differs, a second list follows the picture that moves up or down as a whole, because later
/// frames may then be cheaper.
pub fn display_states(scene_frames: &SceneFrames, planner: &Planner) -> Vec<Vec<DisplayState>> {
    let cheapest = along(scene_frames, planner, &[]);
    let moves = moves(scene_frames);
    let may_scroll = planner.operations && planner.controller.has_start_line;
    if !may_scroll || moves.iter().all(|moved| moved.is_none_or(|rows| rows == 0)) {
        return vec![cheapest];
    }
    let following = along(scene_frames, planner, &moves);
    if following == cheapest { vec![cheapest] } else { vec![cheapest, following] }
}

/// For each frame, by how many rows of the start line the previous picture is moved. `None` if it is a different picture.
fn moves(scene_frames: &SceneFrames) -> Vec<Option<u8>> {
    let pairs = scene_frames.pictures.windows(2).map(|pair| moved(&pair[0], &pair[1]));
    std::iter::once(None).chain(pairs).collect()
}

/// The smallest move, in rows of the start line, that turns a picture into the next one, except for rows that come into view.
fn moved(picture: &PageBitmap, next: &PageBitmap) -> Option<u8> {
    let all = visible(picture.rows());
    let up = |rows: u32| {
        let stays = all >> rows;
        picture.bits().iter().zip(next.bits()).all(|(before, now)| (before >> rows ^ now) & stays == 0)
    };
    let down = |rows: u32| {
        let stays = all << rows & all;
        picture.bits().iter().zip(next.bits()).all(|(before, now)| (before << rows ^ now) & stays == 0)
    };
    let most = FARTHEST_SCROLL.min(limited(picture.rows() / 2));
    (0..=most).find_map(|rows| match () {
        () if up(rows.into()) => Some(rows),
        () if down(rows.into()) => Some(RING_ROWS - rows),
        () => None,
    })
}

fn along(scene_frames: &SceneFrames, planner: &Planner, moves: &[Option<u8>]) -> Vec<DisplayState> {
    let Some(first) = scene_frames.pictures.first() else { return Vec::new() };
    let mut memory = Memory::unknown(first.width(), first.rows());
    let mut display_states: Vec<DisplayState> = Vec::with_capacity(scene_frames.pictures.len() + 1);
    for (frame, picture) in scene_frames.pictures.iter().enumerate() {
        let (former, on) = (display_states.last().copied(), scene_frames.is_on(frame));
        let contrast = scene_frames.sent_contrast(frame);
        let step = match (moves.get(frame).copied().flatten(), former) {
            (Some(rows), Some(before)) => {
                let start_line = (before.start_line + rows) % RING_ROWS;
                let state = DisplayState { start_line, contrast, on, ..before };
                planner.step_to(&memory, former, &Wanted::plain(picture, state))
            }
            _ => planner.step(&memory, former, picture, (contrast, on)),
        };
        planner.carry_out(&mut memory, &Wanted::plain(picture, step.state), &step);
        if display_states.is_empty() {
            memory.forget_hidden(step.state);
        }
        display_states.push(step.state);
    }
    if scene_frames.then == Next::Repeat {
        display_states
            .push(DisplayState { on: scene_frames.is_on(0), ..DisplayState::opening(scene_frames.sent_contrast(0)) });
    }
    display_states
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reel::memory::Rows;

    fn columns(rows: u32, bits: &[Rows]) -> PageBitmap {
        PageBitmap::new(rows, bits.iter().copied())
    }

    #[test]
    fn the_least_move_is_found_whatever_comes_into_view() {
        let picture = columns(8, &[0b0011_0100, 0b1000_0001]);
        assert_eq!(moved(&picture, &picture), Some(0));
        assert_eq!(moved(&picture, &columns(8, &[0b1001_1010, 0b0100_0000])), Some(1));
        assert_eq!(moved(&picture, &columns(8, &[0b1101_0011, 0b0000_0111])), Some(RING_ROWS - 2));
        assert_eq!(moved(&picture, &columns(8, &[0b0011_0100, 0b1000_0101])), None);
    }
}
