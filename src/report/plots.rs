//! The plots over the preview's way: scenes with triggers and cues, bus load, current; and the flash by scene.

use super::Subject;
use super::chart::{Bar, Plot, bars, plot};
use crate::budget::{display_milliamperes, display_off_milliamperes, layers_by_flash, scene_currents};
use crate::diag::{moment, number};
use crate::render::Bitmap;
use crate::show::{Layer, LiveValue};
use crate::whole::limited;
use maud::{Markup, html};

/// A scene shorter than this part of the timeline has no room for a letter of its name. Our own choice, from pages 390 pixels wide on.
const LEAST_NAMED: f64 = 0.025;

/// Where scenes begin on the way: frame and name.
fn beginnings(subject: &Subject<'_>) -> Vec<(usize, String)> {
    let mut beginnings: Vec<(usize, String)> = Vec::new();
    let mut before = None;
    for (at, (scene, _)) in subject.tour.frames.iter().enumerate() {
        if before != Some(*scene) {
            beginnings.push((at, subject.show.scenes()[scene.0].name.clone()));
        }
        before = Some(*scene);
    }
    beginnings
}

/// Scenes as buttons along the preview's way, with triggers and cues below.
pub fn timeline(subject: &Subject<'_>) -> Markup {
    let count = subject.tour.frames.len().max(1);
    let percent = |frame: usize| format!("{:.2}%", frame as f64 / count as f64 * 100.0);
    let begin = beginnings(subject);
    let rate = subject.show.frame_rate();
    let period = rate.period();
    let at = |time: crate::units::Nanoseconds| moment(time.milliseconds() / 1e3);
    html! {
        div .timeline role="group" aria-label="Scenes, triggers and cues" {
            @for (number, (frame, name)) in begin.iter().enumerate() {
                @let end = begin.get(number + 1).map_or(count, |next| next.0);
                button .scene .odd[number % 2 == 1] type="button" data-frame=(frame) data-end=(end) style={"left:" (percent(*frame)) ";width:" (percent(end - frame))}
                    title=(name) aria-label={(name) " from " (moment(rate.seconds_at(limited(*frame))))}
                    { @if (end - frame) as f64 >= LEAST_NAMED * count as f64 { (name) } }
            }
            @for (frame, time) in subject.tour.times.iter().enumerate().filter(|(_, time)| time.late(period).0 > 0) {
                span .mark .late style={"left:" (percent(frame))} title={"due at " (at(time.due)) ", whole at " (at(time.done)) ": " (number(time.late(period).milliseconds())) " ms late"} { "!" }
            }
            @for (frame, trigger) in &subject.tour.raised {
                span .mark .raised style={"left:" (percent(*frame))} title={"trigger " (subject.show.triggers()[trigger.0])} { "▲" }
            }
            @for (frame, cue) in &subject.tour.cues {
                span .mark .cue style={"left:" (percent(*frame))} title={"cue " (subject.show.cues()[cue.0])} { "♪" }
            }
        }
        p .key { "▲ trigger raised by the preview, ! late frame, ♪ cue for the firmware: "
            @for (number, (frame, cue)) in subject.tour.cues.iter().enumerate() {
                @if number > 0 { ", " }
                (subject.show.cues()[cue.0]) " at " (moment(rate.seconds_at(limited(*frame))))
            }
        }
    }
}

/// How long each frame took to be made and sent, over time.
pub fn frame_times(subject: &Subject<'_>) -> Markup {
    let values: Vec<f64> = subject.tour.times.iter().map(|time| time.taken().milliseconds()).collect();
    let rate = subject.show.frame_rate();
    plot(&Plot {
        title: "Time to make and send each frame, bus and CPU",
        unit: "ms",
        values: &values,
        limit: Some(rate.period().milliseconds()),
        range: None,
        seconds: rate.seconds_at(limited(values.len())),
        scenes: &beginnings(subject),
    })
}

/// What the preview sets each live value to, over time.
pub fn live_values(subject: &Subject<'_>) -> Markup {
    let rate = subject.show.frame_rate();
    let drawn = |live: &LiveValue| {
        let values: Vec<f64> =
            subject.tour.frames.iter().map(|(_, frame)| f64::from(live.sample(rate.seconds_at(*frame)))).collect();
        plot(&Plot {
            title: &format!("Live value “{}” as the preview sets it", live.name),
            unit: "",
            values: &values,
            limit: None,
            range: Some((f64::from(live.from), f64::from(live.to))),
            seconds: rate.seconds_at(limited(values.len())),
            scenes: &beginnings(subject),
        })
    };
    html! { @for live in subject.show.live() { (drawn(live)) } }
}

/// Current over time.
pub fn current(subject: &Subject<'_>, frames: &[Vec<Bitmap>]) -> Markup {
    let (show, currents) = (subject.show, scene_currents(subject.show, frames));
    let at = |(scene, frame): &(crate::show::SceneId, u32)| {
        let Some(picture) = subject.scenes[scene.0].get(*frame as usize) else { return 0.0 };
        let current = &currents[scene.0];
        let lit =
            |picture: &super::PagePicture| display_milliamperes(show.panel(), picture.picture.lit(), picture.contrast);
        let display = if picture.on { lit(picture) } else { display_off_milliamperes() };
        current.microcontroller + current.loads + display
    };
    let values: Vec<f64> = subject.tour.frames.iter().map(at).collect();
    plot(&Plot {
        title: "Average current of display, microcontroller and loads in each frame (rough; the highest current in “Power” has all loads on)",
        unit: "mA",
        values: &values,
        limit: None,
        range: None,
        seconds: show.frame_rate().seconds_at(limited(values.len())),
        scenes: &beginnings(subject),
    })
}

/// Where the flash of the reel goes: by scene, and of each scene by layer.
pub fn flash(subject: &Subject<'_>) -> Markup {
    let layout = &subject.reel.layout;
    let head = (layout.header_bytes + layout.set_up_bytes + layout.contrast_bytes) as f64;
    let mut rows = vec![Bar { name: "head, set-up".to_owned(), amount: head, part: false }];
    if layout.model_bytes > 0 {
        rows.push(Bar { name: "probability model".to_owned(), amount: layout.model_bytes as f64, part: false });
    }
    for (scene, layout) in subject.show.scenes().iter().zip(&layout.scenes) {
        rows.push(Bar { name: scene.name.clone(), amount: layout.all() as f64, part: false });
        let parts = layers_by_flash(scene, subject.budgets);
        if parts.len() > 1 {
            let bar =
                |(layer, amount): (&Layer, f64)| Bar { name: in_short(&layer.name).to_owned(), amount, part: true };
            rows.extend(parts.into_iter().take(MOST_PARTS).map(bar));
        }
    }
    bars("Flash of the reel by scene, with an estimate for its largest layers", "bytes", &rows)
}

/// The quoted text of a layer, or its name if it has no text.
pub fn in_short(layer: &str) -> &str {
    layer.find('“').map_or(layer, |quoted| &layer[quoted..])
}

/// Most layers of a scene that are shown, the largest first.
const MOST_PARTS: usize = 3;
