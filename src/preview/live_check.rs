//! Live values at a build: every step of each, every pair of neighbouring steps in both directions and both farthest jumps are played,
//! and the display is held pixel by pixel against what was drawn for them.

use super::rehearsal::{MOST_REPORTED, SideBySide};
use crate::diag::{Finding, Findings};
use crate::reel::{Reel, starting_with};
use crate::render::Bitmap;
use crate::show::{LiveId, SceneId, Show};
use rayon::prelude::*;

/// Whether the display shows what was drawn, in each scene that follows a live value; the others stay at their samples meanwhile.
pub fn check_live(show: &Show, reel: &Reel, frames: &[Vec<Bitmap>], findings: &mut Findings) -> bool {
    let follows = |scene: usize, number: usize| {
        show.scenes()[scene].layers.iter().any(|layer| layer.follows.contains(&LiveId(number)))
    };
    let pairs: Vec<(usize, usize)> = (0..show.scenes().len())
        .flat_map(|scene| (0..show.live().len()).map(move |number| (scene, number)))
        .filter(|(scene, number)| follows(*scene, *number))
        .collect();
    let check = |(scene, number): &(usize, usize)| {
        let bytes = starting_with(&reel.bytes, SceneId(*scene));
        let begin = || SideBySide::new(show, (&bytes, &reel.fields), frames, SceneId(*scene));
        through_all_steps(begin, show, (*scene, *number)).err()
    };
    let faults: Vec<Finding> = pairs.par_iter().filter_map(check).collect();
    let none = faults.is_empty();
    faults.into_iter().take(MOST_REPORTED).for_each(|fault| findings.push(fault));
    none
}

/// Frame by frame from step to step, up and down, then from end to end. Where another scene follows, this one begins again.
fn through_all_steps<'a>(
    begin: impl Fn() -> SideBySide<'a>,
    show: &Show,
    (scene, number): (usize, usize),
) -> Result<(), Finding> {
    let live = &show.live()[number];
    let up_and_down = (0..=live.steps).chain((0..live.steps).rev()).chain([live.steps, 0]);
    let (mut watch, mut before) = (begin(), 0);
    for step in up_and_down {
        if watch.course.scene != SceneId(scene) {
            watch = begin();
            watch.set[number] = Some(live.value_at(before));
            watch.play()?;
            watch.go_on(None);
            if watch.course.scene != SceneId(scene) {
                return Ok(()); // a scene of one frame has no neighbouring steps
            }
        }
        watch.set[number] = Some(live.value_at(step));
        watch.play()?;
        watch.go_on(None);
        before = step;
    }
    Ok(())
}
