//! A draft: the pictures of the scenes that look different from the last build, played before the show is compiled.
//!
//! They come from the shipped player and the controller model, but from reels that are made at once and thrown away. A draft has
//! pictures alone; figures and findings come from a build.

use super::Session;
use crate::preview::start_shown;
use crate::reel::draft_reel;
use crate::render::{Bitmap, render, with_samples};
use crate::report::draft_data;
use crate::show::{Scene, SceneId, Show, load};
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

/// A show and its drawn frames: one list of pictures per scene, as the viewer sees them.
#[derive(Clone, Debug)]
pub struct Drawn {
    pub show: Show,
    pub frames: Vec<Vec<Bitmap>>,
}

/// New pictures for a page of the last build: the scenes that look different.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Draft {
    pub scenes: Vec<(SceneId, Arc<DraftScene>)>,
}

/// A scene that was played as drawn.
#[derive(Debug, PartialEq, Eq)]
pub struct DraftScene {
    frames: Vec<Bitmap>,
    /// As a page reads them.
    data: String,
}

/// The scenes of earlier drafts. A scene that still looks the same is not played again.
#[derive(Debug, Default)]
pub struct DraftMemory(BTreeMap<usize, Arc<DraftScene>>);

impl Drawn {
    /// Reads and draws a show; `None` when it has faults, which a build reports.
    pub fn read(script: &Path, session: &mut Session<'_>) -> Option<Self> {
        let show = load(&mut session.reader, script, &mut session.findings)?;
        let frames = render(&show);
        Some(Self { show, frames })
    }

    /// What a page of `built` is to show; `None` when more than its pictures differs, or they cannot be played in time.
    pub fn draft(&self, built: &Self, memory: &mut DraftMemory) -> Option<Draft> {
        if !same_outline(&self.show, &built.show) {
            return None;
        }
        let scenes = (0..self.frames.len()).map(SceneId);
        let scenes: Vec<SceneId> = scenes.filter(|scene| self.expected(*scene) != built.expected(*scene)).collect();
        let scenes = scenes.into_par_iter().map(|scene| Some((scene, self.played(scene, memory.0.get(&scene.0))?)));
        let draft = Draft { scenes: scenes.collect::<Option<_>>()? };
        memory.0.extend(draft.scenes.iter().map(|(scene, played)| (scene.0, Arc::clone(played))));
        Some(draft)
    }

    /// A scene played, or as it was before where it looks the same.
    fn played(&self, scene: SceneId, before: Option<&Arc<DraftScene>>) -> Option<Arc<DraftScene>> {
        if let Some(before) = before.filter(|before| *self.expected(scene) == before.frames) {
            return Some(Arc::clone(before));
        }
        let frames = self.shown(scene)?;
        let data = draft_data(scene, &frames).ok()?;
        Some(Arc::new(DraftScene { frames, data }))
    }

    /// A scene as the player shows it on the display, which must be as drawn.
    fn shown(&self, scene: SceneId) -> Option<Vec<Bitmap>> {
        let (reel, fields) = draft_reel(&self.show, scene, &self.frames)?;
        let shown = start_shown(&self.show, (&reel, &fields), scene).ok()?;
        let shown: Vec<Bitmap> = shown.into_iter().map(|shown| shown.picture).collect();
        (*self.expected(scene) == shown).then_some(shown)
    }

    /// The frames of a scene, its fields at their samples.
    fn expected(&self, scene: SceneId) -> Cow<'_, [Bitmap]> {
        let frames = &self.frames[scene.0];
        if self.show.scenes()[scene.0].fields.is_empty() {
            return Cow::Borrowed(frames);
        }
        (0..).zip(frames).map(|(frame, drawn)| with_samples(&self.show, scene.0, frame, drawn)).collect()
    }
}

impl Draft {
    /// The draft as a page reads it: a JSON list of its scenes.
    pub fn data(&self) -> String {
        let scenes: Vec<&str> = self.scenes.iter().map(|(_, played)| played.data.as_str()).collect();
        format!("[{}]", scenes.join(","))
    }
}

/// Whether two shows have the same display, and scenes of the same names, lengths and light.
fn same_outline(one: &Show, other: &Show) -> bool {
    let display = |show: &Show| (show.panel().clone(), *show.mounting(), show.frame_rate());
    let light = |show: &Show, scene: &Scene| -> Vec<(u8, bool)> {
        let seconds = (0..scene.frames.0).map(|frame| show.frame_rate().seconds_at(frame));
        seconds.map(|seconds| (scene.contrast_at(seconds), scene.is_off(seconds))).collect()
    };
    let scenes = |show: &Show| -> Vec<(String, Vec<(u8, bool)>)> {
        show.scenes().iter().map(|scene| (scene.name.clone(), light(show, scene))).collect()
    };
    display(one) == display(other) && scenes(one) == scenes(other)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Disk;

    /// Scenes with fields, with live values, with a beam and with a display that goes off: each is played as drawn.
    #[test]
    fn every_scene_that_looks_different_is_in_a_draft() {
        for show in ["cookbook/12-live-voltage", "cookbook/15-live-gauges", "helm"] {
            let script = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenes/{show}.ron"));
            let now = Drawn::read(&script, &mut Session::new(&Disk)).expect("a show");
            let mut memory = DraftMemory::default();
            assert_eq!(now.draft(&now, &mut memory), Some(Draft::default()), "{show}");
            let blank =
                |frames: &Vec<Bitmap>| frames.iter().map(|one| Bitmap::new(one.width(), one.height())).collect();
            let before = Drawn { frames: now.frames.iter().map(blank).collect(), ..now.clone() };
            let draft = now.draft(&before, &mut memory).expect("a draft");
            assert_eq!(draft.scenes.len(), now.show.scenes().len(), "{show}");
            let again = now.draft(&before, &mut memory).expect("a draft");
            assert!(draft.scenes.iter().zip(&again.scenes).all(|(one, other)| Arc::ptr_eq(&one.1, &other.1)), "{show}");
            // Only scenes that look different are played again.
            let mut changed = now.clone();
            changed.frames[0][0].set(0, 0, !now.frames[0][0].get(0, 0));
            let newer = changed.draft(&before, &mut memory).expect("a draft");
            let kept = draft.scenes.iter().zip(&newer.scenes).filter(|(one, other)| Arc::ptr_eq(&one.1, &other.1));
            assert_eq!(kept.count(), draft.scenes.len() - 1, "{show}");
        }
    }
}
