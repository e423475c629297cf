//! Computes whether a scene keeps time: the work of its frames and the frame period, late frames, and scenes that never catch up.

use super::SceneLoad;
use crate::show::{Show, Then};
use crate::units::Nanoseconds;

/// How a scene keeps time.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SceneTiming {
    /// The part of the frame period that bus and CPU need: in the mean frame after the opening one, and in the longest frame.
    pub mean_share: f64,
    pub worst_share: f64,
    /// The part that a person can notice. For frames after the opening one it is the same as above. The opening frame is compared
    /// with [`AT_ONCE`], or with the frame period if that is longer.
    pub noticed_share: f64,
    /// The frame that takes longest, and how long that is.
    pub worst_frame: usize,
    pub worst: Nanoseconds,
    /// Number of frames that are not complete when the next one is due, the latest of them, and by how much it is late.
    pub late_frames: usize,
    pub latest_frame: usize,
    pub latest: Nanoseconds,
    /// Whether it is late and never catches up: its loop, or its whole length without the opening, takes longer than it lasts.
    pub falls_behind: bool,
}

/// A display that answers within 0.1 s seems to answer at once (R. B. Miller, Response time in man-computer conversational transactions, 1968;
/// from memory).
const AT_ONCE: Nanoseconds = Nanoseconds(100_000_000);

/// How every scene keeps time.
pub fn timings(show: &Show, loads: &[SceneLoad]) -> Vec<SceneTiming> {
    let period = show.frame_rate().period();
    show.scenes().iter().zip(loads).map(|(scene, load)| timing(load, scene.then == Then::Repeat, period)).collect()
}

fn timing(load: &SceneLoad, repeats: bool, period: Nanoseconds) -> SceneTiming {
    let share = |time: f64| time / period.0.max(1) as f64;
    let times: Vec<u64> = load.frames.iter().map(|frame| frame.taken.0).collect();
    let Some((worst_frame, worst)) =
        times.iter().copied().enumerate().max_by_key(|(at, time)| (*time, usize::MAX - at))
    else {
        return SceneTiming::default();
    };
    // Behind the opening; of a scene that repeats, the way back to its first frame is the last of them.
    let steady = if times.len() > 1 { &times[1..] } else { &times[..] };
    let work: u64 = steady.iter().sum();
    let over = work.saturating_sub(period.0 * steady.len() as u64);
    let falls_behind = times.len() > 1 && if repeats { over > 0 } else { over > period.0 };
    let (late_frames, latest_frame, latest) = lateness(&times, repeats && !falls_behind, period);
    SceneTiming {
        mean_share: share(work as f64 / steady.len() as f64),
        worst_share: share(worst as f64),
        noticed_share: share(steady.iter().copied().max().unwrap_or(0) as f64)
            .max(times[0] as f64 / period.0.max(AT_ONCE.0) as f64),
        worst_frame,
        worst: Nanoseconds(worst),
        late_frames,
        latest_frame,
        latest,
        falls_behind,
    }
}

/// Frames that are late on the first way through the scene, and on the next one if it comes round; the latest of them.
fn lateness(times: &[u64], again: bool, period: Nanoseconds) -> (usize, usize, Nanoseconds) {
    let frames = times.len() - usize::from(again);
    let second = times.iter().skip(1).filter(|_| again);
    let (mut whole, mut late, mut latest) = (0u64, 0, (0, 0u64));
    for (at, time) in times.iter().chain(second).enumerate() {
        let due = period.0 * at as u64;
        whole = whole.max(due) + time;
        let over = whole.saturating_sub(due + period.0);
        if over > 0 && at < frames {
            late += 1;
        }
        if over > latest.1 {
            latest = (at % frames.max(1), over);
        }
    }
    (late, latest.0, Nanoseconds(latest.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::budget::FrameLoad;

    fn of(milliseconds: &[u64], repeats: bool) -> SceneTiming {
        let frame = |time: &u64| FrameLoad { taken: Nanoseconds(time * 1_000_000), ..FrameLoad::default() };
        let load = SceneLoad { frames: milliseconds.iter().map(frame).collect() };
        timing(&load, repeats, Nanoseconds(50_000_000))
    }

    #[test]
    fn an_opening_that_takes_long_is_late_once_and_made_up_for() {
        let timing = of(&[120, 10, 10, 10], false);
        assert_eq!((timing.late_frames, timing.latest_frame, timing.latest.0), (2, 0, 70_000_000));
        assert!(!timing.falls_behind);
        assert_eq!((timing.worst_frame, timing.worst_share, timing.mean_share), (0, 2.4, 0.2));
        // 120 ms against a tenth of a second.
        assert_eq!(timing.noticed_share, 1.2);
    }

    #[test]
    fn a_loop_that_takes_longer_than_it_lasts_falls_behind() {
        assert!(of(&[10, 60, 60, 60], true).falls_behind);
        assert!(!of(&[10, 60, 60, 29], true).falls_behind);
        assert!(of(&[10, 80, 80, 80], false).falls_behind);
        assert!(!of(&[10, 60], false).falls_behind, "one frame that takes long is late, and no more");
        assert!(!of(&[90], false).falls_behind, "a still scene is late once");
    }
}
