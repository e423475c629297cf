//! The pictures of a rehearsal: the GIF of all frames, and the filmstrip of those that differ.

use super::{Compiled, Session, Steps};
use crate::budget::light_left;
use crate::diag::{Checked, Finding, Place};
use crate::font::Font;
use crate::preview::{
    Look, Material, Rehearsal, Shown, Surroundings, filmstrip, gif_with_progress, photo, photo_pitch, slowed,
};
use crate::show::Show;

/// The font of a filmstrip's captions.
const CAPTIONS: &str = "thole";

/// How a preview looks: by default like the panel in the dark, at a suitable size.
#[derive(Clone, Copy, Debug, Default)]
pub struct Style {
    /// Pixels of the GIF to one of the display.
    pub scale: Option<u32>,
    /// Another display than the panel's own.
    pub material: Option<Material>,
    pub surroundings: Surroundings,
}

/// The longest GIF that a build makes, in seconds; a longer show is cut there.
pub const LONGEST_SECONDS: u32 = 60;

/// What the GIF of a build shows of a rehearsal, frame by frame.
pub fn opening(shown: &[Shown]) -> &[Shown] {
    let mut nanoseconds = 0;
    let fits = |shown: &&Shown| {
        nanoseconds += shown.stays.0;
        nanoseconds <= u64::from(LONGEST_SECONDS) * 1_000_000_000
    };
    &shown[..shown.iter().take_while(fits).count()]
}

/// The GIF of what was shown, frame by frame.
pub fn preview_gif(
    show: &Show,
    shown: &[Shown],
    style: Style,
    steps: &dyn Steps,
    session: &mut Session<'_>,
) -> Checked<Vec<u8>> {
    steps.stage("painting pictures");
    let look = look(show, style, style.scale);
    let slow = show.panel().controller.is_lcd().then(|| slowed(shown));
    session.checked(gif_with_progress(slow.as_deref().unwrap_or(shown), &look, &|all| steps.done(all)))
}

/// The filmstrip of a rehearsal.
pub fn filmstrip_png(show: &Show, rehearsal: &Rehearsal, style: Style, session: &mut Session<'_>) -> Checked<Vec<u8>> {
    let look = look(show, style, Some(STRIP_PITCH));
    let modes = show.scenes().iter().map(|scene| (scene.name.as_str(), scene.script_name.as_str()));
    let modes: Vec<(&str, &str)> = modes.filter(|(name, in_script)| name != in_script).collect();
    session.checked(filmstrip(&rehearsal.shown, &look, &Font::shipped(CAPTIONS), &modes))
}

/// A moment of the show, and how many hours the display has run.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    pub seconds: f64,
    pub hours: f64,
}

/// A still of what was shown at a moment; an error where the show has ended by then, or the panel's lifetime is not known.
pub fn photo_png(
    compiled: &Compiled,
    shown: &[Shown],
    moment: Moment,
    style: Style,
    session: &mut Session<'_>,
) -> Checked<Vec<u8>> {
    let show = &compiled.show;
    let mut until = 0.0;
    let at = shown.iter().find(|shown| {
        until += shown.stays.0 as f64 / NANOSECONDS;
        moment.seconds < until
    });
    let left = if moment.hours > 0.0 { light_left(show, &compiled.frames, moment.hours) } else { Some(Vec::new()) };
    let mut fault = |message: String, hint: String| {
        session.findings.push(Finding::error(Place::Nowhere, message).hint(hint));
    };
    if at.is_none() {
        fault(
            format!("the preview has no picture at {} s: it ends at {until:.2} s", moment.seconds),
            format!("use a time from 0 to {until:.2} with --photo"),
        );
    }
    if left.is_none() {
        let panel = &show.panel().name;
        fault(format!("the lifetime of the panel {panel} is not known"), "leave out --hours".into());
    }
    let look = look(show, style, Some(style.scale.unwrap_or(photo_pitch(show.view_size().0))));
    session.checked(photo(at?, &look, &left?))
}

fn look(show: &Show, style: Style, scale: Option<u32>) -> Look {
    let material = style.material.unwrap_or(Material::of(show.panel().tint));
    Look::made_of(material, style.surroundings, show.panel(), show.mounting(), scale)
}

const NANOSECONDS: f64 = 1e9;

/// Pixels of a filmstrip to one of the display.
const STRIP_PITCH: u32 = 3;
