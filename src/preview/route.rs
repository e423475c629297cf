//! The way a preview takes through a show: every scene that can be reached, each for its length, triggers raised where nothing else leads on.
//! A scene that was shown before, in this mode or another, is left by a trigger after a moment.

use super::course::ShowPosition;
use crate::diag::Finding;
use crate::show::{Reaction, SceneId, Show, Then, TriggerId};
use crate::units::FrameRate;
use std::collections::{BTreeSet, VecDeque};

/// Seconds that a held picture stays, and that a repeating scene plays at least.
const HOLD_SECONDS: f64 = 2.0;
const REPEAT_SECONDS: f64 = 4.0;
/// Seconds after which a scene is left that was shown in whole before, in this mode or another. Our own choice.
const AGAIN_SECONDS: f64 = 1.0;
/// Seconds of the longest preview.
const MOST_SECONDS: f64 = 180.0;

/// What to do before the next frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Move {
    GoOn,
    Raise(TriggerId),
    /// Everything was shown.
    End,
}

/// The way so far.
pub struct PlayRoute<'a> {
    show: &'a Show,
    visited: Vec<bool>,
    /// The scenes, by their names in the script, that were shown in whole.
    shown_in_whole: BTreeSet<&'a str>,
    /// Frames shown in all, and since the present scene was entered.
    shown: u32,
    stay: u32,
}

impl<'a> PlayRoute<'a> {
    /// A way that has gone nowhere yet.
    pub fn new(show: &'a Show) -> Self {
        Self { show, visited: vec![false; show.scenes().len()], shown_in_whole: BTreeSet::new(), shown: 0, stay: 0 }
    }

    /// Notes the frame that was shown, then says what to do before the next.
    pub fn after(&mut self, course: &ShowPosition<'_>, entered: bool) -> Move {
        self.shown += 1;
        self.stay = if entered { 1 } else { self.stay + 1 };
        self.visited[course.scene.0] = true;
        let rate = self.show.frame_rate();
        if self.shown >= rate.frames_in(MOST_SECONDS).0 {
            return Move::End;
        }
        let name = self.show.scenes()[course.scene.0].script_name.as_str();
        if self.has_stayed(course, rate) {
            self.shown_in_whole.insert(name);
            return self.onward(course);
        }
        let again = self.shown_in_whole.contains(name) && self.stay >= rate.frames_in(AGAIN_SECONDS).0;
        let onward = if again { self.onward(course) } else { Move::GoOn };
        // What follows a scene by itself follows its end.
        if matches!(onward, Move::Raise(_)) { onward } else { Move::GoOn }
    }

    /// The scenes that can be reached and were not shown, and why.
    pub fn left_out(&self) -> Option<Finding> {
        let scenes = self.show.scenes();
        let reached = self.reachable();
        let out = |number: &usize| reached[*number] && !self.visited[*number];
        let names: Vec<String> =
            (0..scenes.len()).filter(out).map(|number| format!("`{}`", scenes[number].name)).collect();
        let first = (0..scenes.len()).find(|number| out(number))?;
        let cut = self.shown >= self.show.frame_rate().frames_in(MOST_SECONDS).0;
        let why = if cut {
            format!("it ends after {MOST_SECONDS:.0} s")
        } else {
            "no path through all scenes was found".to_owned()
        };
        let message = format!("the preview does not show {}: {why}", names.join(", "));
        Some(
            Finding::note(scenes[first].span, message)
                .hint("use `pageloom preview --events FILE` with a list of timed triggers"),
        )
    }

    /// Which scenes can be reached from the start, `Back` aside, which leads to one that was reached before.
    fn reachable(&self) -> Vec<bool> {
        let mut seen = vec![false; self.show.scenes().len()];
        let mut queue = vec![self.show.start()];
        while let Some(scene) = queue.pop() {
            if !std::mem::replace(&mut seen[scene.0], true) {
                queue.extend(self.steps(scene, None).into_iter().map(|(next, _)| next));
            }
        }
        seen
    }

    fn has_stayed(&self, course: &ShowPosition<'_>, rate: FrameRate) -> bool {
        course.at_end()
            && match course.then() {
                Then::Hold => self.stay >= course.frames() + rate.frames_in(HOLD_SECONDS).0,
                Then::Repeat => self.stay >= rate.frames_in(REPEAT_SECONDS).0,
                Then::Scene(_) | Then::Back => true,
            }
    }

    /// The first step on the shortest way to a scene not shown yet.
    fn onward(&self, course: &ShowPosition<'_>) -> Move {
        let mut seen = vec![false; self.visited.len()];
        let mut queue: VecDeque<(SceneId, Move)> = self.steps(course.scene, Some(course.former)).into();
        while let Some((scene, first)) = queue.pop_front() {
            if !self.visited[scene.0] {
                return first;
            }
            if !std::mem::replace(&mut seen[scene.0], true) {
                queue.extend(self.steps(scene, None).into_iter().map(|(next, _)| (next, first)));
            }
        }
        Move::End
    }

    /// The scenes that follow a scene, and how; the scene before is known only at the first step.
    fn steps(&self, scene: SceneId, former: Option<SceneId>) -> Vec<(SceneId, Move)> {
        let scene = &self.show.scenes()[scene.0];
        let mut steps = Vec::new();
        if let Then::Scene(next) = scene.then {
            steps.push((next, Move::GoOn));
        }
        if scene.then == Then::Back
            && let Some(former) = former
        {
            steps.push((former, Move::GoOn));
        }
        for (number, reaction) in scene.reactions.iter().enumerate() {
            let target = match reaction {
                Reaction::Ignore => None,
                Reaction::Go(target) => Some(*target),
                Reaction::Back => former,
            };
            steps.extend(target.map(|target| (target, Move::Raise(TriggerId(number)))));
        }
        steps
    }
}
