//! The course of a show by its script: which frame of which scene is due, whatever the reel says.

use crate::show::{Reaction, SceneId, Show, Then, TriggerId};

/// A place in a show: a frame of a scene, and the scene that the last trigger left.
#[derive(Clone, Copy, Debug)]
pub struct ShowPosition<'a> {
    show: &'a Show,
    pub scene: SceneId,
    pub frame: u32,
    pub former: SceneId,
}

impl<'a> ShowPosition<'a> {
    /// The first frame of a scene that the show is started in.
    pub fn new(show: &'a Show, scene: SceneId) -> Self {
        Self { show, scene, frame: 0, former: scene }
    }

    /// Frames of the scene.
    pub fn frames(&self) -> u32 {
        self.show.scenes()[self.scene.0].frames.0
    }

    /// What follows the scene.
    pub fn then(&self) -> Then {
        self.show.scenes()[self.scene.0].then
    }

    /// Whether this is the scene's last frame.
    pub fn at_end(&self) -> bool {
        self.frame + 1 >= self.frames()
    }

    /// Moves on by a frame. Returns whether a new frame of the script begins, which is not so while the last one is held.
    pub fn step(&mut self) -> bool {
        match self.then() {
            _ if !self.at_end() => self.frame += 1,
            Then::Hold => return false,
            Then::Repeat => self.frame = 0,
            Then::Scene(next) => self.enter(next),
            Then::Back => self.enter(self.former),
        }
        true
    }

    /// Where a trigger leads from here; `None` when the scene ignores it.
    pub fn target(&self, trigger: TriggerId) -> Option<SceneId> {
        match self.show.scenes()[self.scene.0].reactions.get(trigger.0)? {
            Reaction::Ignore => None,
            Reaction::Go(scene) => Some(*scene),
            Reaction::Back => Some(self.former),
        }
    }

    /// Follows a trigger. Returns whether it led to a scene.
    pub fn follow(&mut self, trigger: TriggerId) -> bool {
        let Some(target) = self.target(trigger) else { return false };
        if target != self.scene {
            self.former = self.scene;
        }
        self.enter(target);
        true
    }

    fn enter(&mut self, scene: SceneId) {
        self.scene = scene;
        self.frame = 0;
    }
}
