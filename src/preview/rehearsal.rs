//! The rehearsal: the reel is played by the shipped player into the controller model, and what comes out is held pixel by
//! pixel, cue by cue against what was drawn. Previews are made of nothing else.

use super::course::ShowPosition;
use super::events::Events;
use super::route::{Move, PlayRoute};
use super::shown::Shown;
use super::stage::{Played, Stage};
use crate::diag::{Finding, Findings};
use crate::emulator::{FrameTime, Traffic};
use crate::player::Thresholds;
use crate::reel::{FieldTable, Reel, starting_with};
use crate::render::{Bitmap, draw_in_state, with_samples};
use crate::show::{CueId, LiveState, SceneId, Show, TriggerId};
use crate::units::Nanoseconds;
use crate::whole::limited;
use rayon::prelude::*;
use std::borrow::Cow;

/// Most differences reported; one usually causes more.
pub(super) const MOST_REPORTED: usize = 3;
/// Frames played after a trigger, and the latest frame at which one is raised.
const AFTER_TRIGGER: u32 = 3;
const LATEST_TRIGGER: u32 = 200;

/// A show as the display showed it.
#[derive(Clone, Debug, Default)]
pub struct Rehearsal {
    /// One entry for each frame.
    pub shown: Vec<Shown>,
    /// What each frame put on the bus; the first one's holds the set-up too.
    pub traffic: Vec<Traffic>,
    /// When each frame was due, began and was whole.
    pub times: Vec<FrameTime>,
    /// The triggers raised, with the number of the frame that they came before.
    pub raised: Vec<(usize, TriggerId)>,
    /// The cues handed over, with the number of their frame.
    pub cues: Vec<(usize, CueId)>,
    /// The scene of each frame, and the frame's number in it.
    pub course: Vec<(SceneId, u32)>,
}

impl Rehearsal {
    /// With how long each picture stood, by when the next one counts as shown.
    fn timed(mut self, show: &Show) -> Self {
        let period = show.frame_rate().period();
        let shown: Vec<Nanoseconds> = self.times.iter().map(|time| time.shown(period)).collect();
        for (picture, times) in self.shown.iter_mut().zip(shown.windows(2)) {
            picture.stays = Nanoseconds(times[1].0.saturating_sub(times[0].0));
        }
        self
    }

    /// How late each frame was.
    pub fn lateness(&self, show: &Show) -> Vec<Nanoseconds> {
        self.times.iter().map(|time| time.late(show.frame_rate().period())).collect()
    }

    /// When a frame counts as shown, in seconds from power-up.
    pub fn seconds_at(&self, show: &Show, frame: usize) -> f64 {
        let shown = self.times.get(frame).map(|time| time.shown(show.frame_rate().period()));
        let end = || {
            self.times
                .last()
                .map_or(Nanoseconds(0), |last| last.shown(show.frame_rate().period()) + show.frame_rate().period())
        };
        shown.unwrap_or_else(end).milliseconds() / 1e3
    }
}

/// A stage and the script's own course, side by side.
pub(super) struct SideBySide<'a> {
    show: &'a Show,
    frames: &'a [Vec<Bitmap>],
    stage: Stage<'a>,
    pub(super) course: ShowPosition<'a>,
    /// Whether the frame due now begins by the script, and is not the last one held.
    begins: bool,
    /// For how many frames the last one has been held.
    held: u32,
    /// What live layers are drawn from.
    state: LiveState,
    /// The live values that are set, in place of their samples.
    pub(super) set: Vec<Option<i16>>,
    /// Those of the frame played last, and the thresholds that watch them.
    values: Vec<i16>,
    thresholds: Thresholds<'a>,
}

impl<'a> SideBySide<'a> {
    /// A reel's bytes, which begin with the scene `start`, and its fields.
    pub(super) fn new(
        show: &'a Show,
        reel: (&'a [u8], &'a [FieldTable]),
        frames: &'a [Vec<Bitmap>],
        start: SceneId,
    ) -> Self {
        let (stage, course) = (Stage::new(show, reel.0, reel.1), ShowPosition::new(show, start));
        Self {
            show,
            frames,
            stage,
            course,
            begins: true,
            held: 0,
            state: show.first_state(),
            set: vec![None; show.live().len()],
            values: Vec::new(),
            thresholds: Thresholds::new(show.threshold_table()),
        }
    }

    /// Plays the frame that is due; `Err` tells how it differs from the script.
    pub(super) fn play(&mut self) -> Result<Played, Finding> {
        let ShowPosition { scene, frame, .. } = self.course;
        let mut values = self.show.live_samples(self.show.frame_rate().seconds_at(frame));
        values.iter_mut().zip(&self.set).for_each(|(value, set)| *value = set.unwrap_or(*value));
        self.stage.set_values(&values);
        self.values.clone_from(&values);
        self.record(&values);
        let played = self.stage.frame().map_err(|why| self.fault(&why))?;
        if let Some(fault) = self.stage.display().faults().first() {
            return Err(self.fault(&format!("protocol error: {}", fault.kind)));
        }
        if usize::from(played.scene) != scene.0 {
            return Err(self.fault(&format!("the player is in scene `{}`", played.shown.scene)));
        }
        let marks = self.show.scenes()[scene.0].cues.iter().filter(|mark| mark.frame == frame && self.begins);
        if !marks.map(|mark| mark.cue.0).eq(played.cues.iter().map(|cue| usize::from(*cue))) {
            return Err(self.fault("the cues played differ from the cues in the script"));
        }
        let drawn = self.frames.get(scene.0).and_then(|frames| frames.get(frame as usize));
        let depends = !self.show.histories().is_empty() || self.set.iter().any(Option::is_some);
        let drawn = drawn.map(|drawn| match depends {
            true => Cow::Owned(draw_in_state(self.show, &self.show.scenes()[scene.0], frame, &self.state)),
            false => Cow::Borrowed(drawn),
        });
        let contrast = self.contrast(&values);
        if played.shown.contrast != contrast {
            return Err(self.fault(&format!("the contrast is {}, but should be {contrast}", played.shown.contrast)));
        }
        let expected = drawn.map(|drawn| with_samples(self.show, scene.0, frame, &drawn));
        match expected.map(|expected| difference(&expected, &played.shown.picture)) {
            Some(None) => Ok(played),
            Some(Some((x, y))) => Err(self.fault(&format!("the pixel at {x},{y} differs from the drawn frame"))),
            None => Err(self.fault("the player shows a frame that was not drawn")),
        }
    }

    /// Takes up the live values for the frame that is due; the charts of its scene record them when it is time.
    fn record(&mut self, values: &[i16]) {
        let (show, state) = (self.show, &mut self.state);
        state.steps = show.live().iter().zip(values).map(|(live, value)| live.step(*value)).collect();
        show.record(&show.scenes()[self.course.scene.0], self.course.frame + self.held, state);
    }

    /// The contrast of the frame that is due, at these live values.
    fn contrast(&self, values: &[i16]) -> u8 {
        let (scene, rate) = (&self.show.scenes()[self.course.scene.0], self.show.frame_rate());
        let live = scene.contrast.at_steps().and_then(|(value, contrasts)| {
            let step = self.show.live().get(value.0)?.step(*values.get(value.0)?);
            contrasts.get(usize::from(step)).copied()
        });
        let contrast = live.unwrap_or_else(|| scene.contrast_at(rate.seconds_at(self.course.frame)));
        contrast.max(self.show.panel().controller.contrast_lowest)
    }

    /// The trigger that the values of the frame played last raise by passing a threshold; of several the last one that counts.
    fn crossed(&mut self) -> Option<TriggerId> {
        let Self { values, thresholds, course, .. } = self;
        let mut raised = None;
        thresholds.watch(
            |number| values.get(usize::from(number)).copied().unwrap_or_default(),
            |trigger| {
                raised = Some(TriggerId(trigger.into())).filter(|trigger| course.target(*trigger).is_some()).or(raised)
            },
        );
        raised
    }

    /// Goes on to the next frame, by a trigger if one is raised.
    pub(super) fn go_on(&mut self, trigger: Option<TriggerId>) {
        if let Some(trigger) = trigger {
            self.stage.trigger(trigger);
            if self.course.follow(trigger) {
                (self.begins, self.held) = (true, 0);
                return;
            }
        }
        self.begins = self.course.step();
        self.held = if self.begins { 0 } else { self.held + 1 };
    }

    fn fault(&self, why: &str) -> Finding {
        let scene = &self.show.scenes()[self.course.scene.0];
        let message = format!("scene `{}`, frame {}: {why}", scene.name, self.course.frame);
        Finding::error(scene.span, message).hint("this is a bug in pageloom, not in your show: please report it")
    }
}

/// The first pixel in which two pictures differ.
fn difference(drawn: &Bitmap, shown: &Bitmap) -> Option<(i32, i32)> {
    if drawn == shown {
        return None;
    }
    let (width, height) =
        (drawn.width().max(shown.width()).cast_signed(), drawn.height().max(shown.height()).cast_signed());
    let pixels = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
    // Pictures that differ only in size differ behind their last pixel.
    pixels.into_iter().find(|(x, y)| drawn.get(*x, *y) != shown.get(*x, *y)).or(Some((width, height)))
}

/// Plays the show once through every scene that can be reached, raising triggers where nothing else leads on; `frames`
/// are the drawn ones, one list a scene. `None` when what is shown differs from what was drawn.
pub fn rehearse(show: &Show, reel: &Reel, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Rehearsal> {
    let mut route = PlayRoute::new(show);
    let mut former = None;
    let watch = SideBySide::new(show, (&reel.bytes, &reel.fields), frames, show.start());
    let rehearsal = follow(watch, findings, |watch, triggered| {
        let entered = triggered || former != Some(watch.course.scene);
        former = Some(watch.course.scene);
        route.after(&watch.course, entered)
    });
    findings.extend(route.left_out());
    rehearsal
}

/// Plays the show by a list of timed triggers; where two come before one frame, the last counts, as in the player.
pub fn rehearse_events(
    show: &Show,
    reel: &Reel,
    frames: &[Vec<Bitmap>],
    events: &Events,
    findings: &mut Findings,
) -> Option<Rehearsal> {
    let mut raised = events.raised.iter().peekable();
    let period = show.frame_rate().period().0;
    let mut set = events.set.iter().peekable();
    let mut watch = SideBySide::new(show, (&reel.bytes, &reel.fields), frames, show.start());
    while let Some((_, live, value)) = set.next_if(|(frame, ..)| *frame == 0) {
        watch.set[live.0] = Some(*value);
    }
    follow(watch, findings, |watch, _| {
        // Frames that would have passed by now if none had come late.
        let passed: u32 = limited((watch.stage.next_begins().0 + period / 2) / period);
        while let Some((_, live, value)) = set.next_if(|(frame, ..)| *frame <= passed) {
            watch.set[live.0] = Some(*value);
        }
        let mut last = None;
        while let Some((_, trigger)) = raised.next_if(|(frame, _)| *frame <= passed) {
            last = Some(*trigger);
        }
        match last {
            _ if passed >= events.frames => Move::End,
            Some(trigger) => Move::Raise(trigger),
            None => Move::GoOn,
        }
    })
}

/// Plays frame by frame; after each, `next` says how to go on, knowing whether a trigger led here.
fn follow<'a>(
    mut watch: SideBySide<'a>,
    findings: &mut Findings,
    mut next: impl FnMut(&mut SideBySide<'a>, bool) -> Move,
) -> Option<Rehearsal> {
    let show = watch.show;
    let mut rehearsal = Rehearsal::default();
    let mut triggered = false;
    loop {
        match watch.play() {
            Ok(played) => {
                let frame = rehearsal.shown.len();
                rehearsal.cues.extend(played.cues.iter().map(|cue| (frame, CueId(usize::from(*cue)))));
                rehearsal.course.push((watch.course.scene, watch.course.frame));
                rehearsal.traffic.push(played.traffic);
                rehearsal.times.push(played.time);
                rehearsal.shown.push(played.shown);
            }
            Err(finding) => {
                findings.push(finding);
                return None;
            }
        }
        let crossed = watch.crossed();
        let trigger = match next(&mut watch, triggered) {
            Move::End => return Some(rehearsal.timed(show)),
            Move::GoOn => crossed,
            Move::Raise(trigger) => Some(trigger),
        };
        triggered = trigger.is_some();
        rehearsal.raised.extend(trigger.map(|trigger| (rehearsal.shown.len(), trigger)));
        watch.go_on(trigger);
    }
}

/// Plays every scene from power-up with noise in the display's memory: all frames, the change to what follows, and each trigger in
/// the middle of the scene. Reports at most three differences. Returns whether there was none.
pub fn check_scenes(show: &Show, reel: &Reel, frames: &[Vec<Bitmap>], findings: &mut Findings) -> bool {
    check_scenes_with_progress(show, reel, frames, findings, &|_| {})
}

/// The same; `done` is called for each scene checked, with how many there are.
pub fn check_scenes_with_progress(
    show: &Show,
    reel: &Reel,
    frames: &[Vec<Bitmap>],
    findings: &mut Findings,
    done: &(dyn Fn(usize) + Sync),
) -> bool {
    let all = show.scenes().len();
    let check = |scene: usize| {
        let scene = SceneId(scene);
        let bytes = starting_with(&reel.bytes, scene);
        let through = play_through(SideBySide::new(show, (&bytes, &reel.fields), frames, scene));
        let triggers = (0..show.triggers().len())
            .map(|trigger| leave(SideBySide::new(show, (&bytes, &reel.fields), frames, scene), TriggerId(trigger)));
        let faults = std::iter::once(through).chain(triggers).filter_map(Result::err).collect::<Vec<_>>();
        done(all);
        faults
    };
    let faults: Vec<Finding> = (0..all).into_par_iter().flat_map_iter(check).collect();
    let none = faults.is_empty();
    faults.into_iter().take(MOST_REPORTED).for_each(|fault| findings.push(fault));
    none
}

/// All frames of the scene, and one lap more of what follows, so that the way back to its start is seen too.
fn play_through(mut watch: SideBySide<'_>) -> Result<(), Finding> {
    let frames = watch.course.frames();
    for _ in 0..frames {
        watch.play()?;
        watch.go_on(None);
    }
    for _ in 0..watch.course.frames() {
        watch.play()?;
        watch.go_on(None);
    }
    Ok(())
}

/// Into the scene, out of its middle by a trigger, and on for a few frames.
fn leave(mut watch: SideBySide<'_>, trigger: TriggerId) -> Result<(), Finding> {
    for _ in 0..(watch.course.frames() / 2).min(LATEST_TRIGGER) {
        watch.play()?;
        watch.go_on(None);
    }
    watch.play()?;
    watch.go_on(Some(trigger));
    for _ in 0..AFTER_TRIGGER {
        watch.play()?;
        watch.go_on(None);
    }
    Ok(())
}
