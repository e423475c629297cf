//! What the page's script plays: frames, contrasts, what follows each scene, what triggers do, and the preview's way.

use super::picture::{deflated, differences, packed};
use super::sliders::{LiveData, SceneSliders, live_data, scene_sliders};
use super::{Colours, DisplayColours, PagePicture, Subject};
use crate::budget::{FrameLoad, WearMap, halvings_an_hour};
use crate::show::{Reaction, Show, Then};
use crate::units::Nanoseconds;
use crate::whole::{limited, rounded};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;

#[derive(Serialize)]
struct ReelData<'a> {
    name: &'a str,
    width: u32,
    height: u32,
    frames_a_second: u16,
    /// Millimetres from one pixel to the next.
    pitch: (f64, f64),
    displays: Vec<DisplayData<'a>>,
    reference: u8,
    /// The share of the way from pixel to pixel that a dot takes.
    dot: f64,
    opening: Option<[f64; 4]>,
    triggers: &'a [String],
    cues: &'a [String],
    start: usize,
    live: Vec<LiveData>,
    scenes: Vec<SceneData<'a>>,
    /// Runs of the preview's way: scene, first frame, how many frames, step (0 or 1).
    tour: Vec<(usize, u32, u32, u32)>,
    /// Late frames of the preview's way: place, milliseconds.
    late: Vec<(usize, f64)>,
    /// All frames of all scenes, packed; see `differences`.
    frames: String,
    paused: bool,
    /// How its pixels age; null where that is not known.
    age: Option<AgeData>,
}

#[derive(Serialize)]
struct AgeData {
    /// How often the light of the pixel that ages fastest halves in an hour.
    halvings: f64,
    /// What part of that each pixel ages, row by row, 0 to 255, packed.
    wear: String,
}

#[derive(Serialize)]
struct DisplayData<'a> {
    value: &'a str,
    night: &'a Colours,
    day: &'a Colours,
    second: Option<String>,
    steady: bool,
}

#[derive(Serialize)]
struct SceneData<'a> {
    name: &'a str,
    count: usize,
    /// Runs of light: how many frames, contrast (0 to 255), or -1 when the display is off.
    light: Vec<(u32, i16)>,
    /// -1 holds, -2 repeats, -3 goes back, else the scene that follows.
    then: i32,
    /// For each trigger: -1 ignores it, -3 goes back, else the scene it leads to.
    reactions: Vec<i32>,
    cues: Vec<(u32, usize)>,
    /// Late frames of the scene: number, milliseconds.
    late: Vec<(usize, f64)>,
    /// What live values change of its pictures; null where there are no sliders.
    sliders: Option<SceneSliders>,
}

const HOLD: i32 = -1;
const IGNORE: i32 = -1;
const REPEAT: i32 = -2;
const BACK: i32 = -3;

/// The data as JSON for a script element.
pub fn data(subject: &Subject<'_>, wear: &WearMap, paused: bool) -> Result<String, String> {
    let (show, look) = (subject.show, &subject.appearance);
    let (width, height) = show.view_size();
    let bytes: Vec<u8> = subject
        .scenes
        .iter()
        .flat_map(|pictures| differences(pictures.iter().map(|picture| &picture.picture)))
        .collect();
    let data = ReelData {
        name: show.name(),
        width,
        height,
        frames_a_second: show.frame_rate().frames_per_second(),
        pitch: show.mounting().view_pitch_millimetres(show.panel()),
        displays: look.displays.iter().map(display).collect(),
        reference: look.reference,
        dot: look.dot,
        opening: look.opening,
        triggers: show.triggers(),
        cues: show.cues(),
        start: show.start().0,
        live: live_data(show),
        scenes: (0..show.scenes().len()).map(|number| scene(subject, number)).collect::<Result<_, _>>()?,
        tour: runs(subject.tour.frames.iter().map(|(scene, frame)| (scene.0, *frame))),
        late: late(subject.tour.times.iter().map(|time| time.late(show.frame_rate().period()))),
        frames: deflated(&bytes)?,
        paused,
        age: age(subject.show, wear)?,
    };
    let text = serde_json::to_string(&data).map_err(|why| format!("the preview cannot be written: {why}"))?;
    // Inside a script element only `<` could end it.
    Ok(text.replace('<', "\\u003c"))
}

fn age(show: &Show, wear: &WearMap) -> Result<Option<AgeData>, String> {
    let most = wear.wear.iter().copied().fold(0.0, f64::max);
    let Some(halvings) = halvings_an_hour(show.panel(), most).filter(|halvings| *halvings > 0.0) else {
        return Ok(None);
    };
    let parts: Vec<u8> = wear.wear.iter().map(|wear| rounded(wear / most * f64::from(u8::MAX))).collect();
    Ok(Some(AgeData { halvings, wear: deflated(&parts)? }))
}

fn display(display: &DisplayColours) -> DisplayData<'_> {
    DisplayData {
        value: display.value,
        night: &display.night,
        day: &display.day,
        second: display.second.as_ref().map(|pixels| STANDARD.encode(packed(pixels))),
        steady: display.steady,
    }
}

fn scene<'a>(subject: &'a Subject<'_>, number: usize) -> Result<SceneData<'a>, String> {
    let scene = &subject.show.scenes()[number];
    let pictures = &subject.scenes[number];
    let reaction = |reaction: &Reaction| match reaction {
        Reaction::Ignore => IGNORE,
        Reaction::Go(scene) => limited(scene.0),
        Reaction::Back => BACK,
    };
    Ok(SceneData {
        name: &scene.name,
        count: pictures.len(),
        light: light(pictures),
        then: match scene.then {
            Then::Hold => HOLD,
            Then::Repeat => REPEAT,
            Then::Back => BACK,
            Then::Scene(next) => limited(next.0),
        },
        reactions: scene.reactions.iter().map(reaction).collect(),
        cues: scene.cues.iter().map(|mark| (mark.frame, mark.cue.0)).collect(),
        late: late(scene_lateness(subject, number)),
        sliders: scene_sliders(subject.show, number)?,
    })
}

/// The late frames of some, in milliseconds.
fn late(frames: impl IntoIterator<Item = Nanoseconds>) -> Vec<(usize, f64)> {
    let frames = frames.into_iter().enumerate().filter(|(_, late)| late.0 > 0);
    frames.map(|(frame, late)| (frame, (late.milliseconds() * 10.0).round() / 10.0)).collect()
}

/// How late each frame of a scene is that is entered when it is due.
fn scene_lateness(subject: &Subject<'_>, number: usize) -> Vec<Nanoseconds> {
    let period = subject.show.frame_rate().period().0;
    let mut whole = 0;
    let frames = subject.loads.get(number).map_or(&[][..], |load| &load.frames);
    let late = |(frame, load): (usize, &FrameLoad)| {
        let due = period * frame as u64;
        whole = due.max(whole) + load.taken.0;
        Nanoseconds(whole.saturating_sub(due + period))
    };
    frames.iter().enumerate().map(late).collect()
}

fn light(pictures: &[PagePicture]) -> Vec<(u32, i16)> {
    let mut runs: Vec<(u32, i16)> = Vec::new();
    for picture in pictures {
        let light = if picture.on { i16::from(picture.contrast) } else { -1 };
        match runs.last_mut() {
            Some((count, last)) if *last == light => *count += 1,
            _ => runs.push((1, light)),
        }
    }
    runs
}

/// Runs of frames that follow one another, or that stand.
fn runs(frames: impl Iterator<Item = (usize, u32)>) -> Vec<(usize, u32, u32, u32)> {
    let mut runs: Vec<(usize, u32, u32, u32)> = Vec::new();
    for (scene, frame) in frames {
        if let Some((last, first, count, step)) = runs.last_mut()
            && *last == scene
        {
            let ahead = frame.checked_sub(*first);
            if *count == 1 && matches!(ahead, Some(0 | 1)) {
                (*count, *step) = (2, frame - *first);
                continue;
            }
            if ahead == Some(*count * *step) {
                *count += 1;
                continue;
            }
        }
        runs.push((scene, frame, 1, 1));
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_that_go_on_and_frames_that_stand_are_runs() {
        let way = [(0, 0), (0, 1), (0, 2), (0, 2), (0, 2), (1, 0), (0, 0)];
        assert_eq!(runs(way.into_iter()), [(0, 0, 3, 1), (0, 2, 2, 0), (1, 0, 1, 1), (0, 0, 1, 1)]);
    }
}
