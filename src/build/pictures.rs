//! The pictures of a rehearsal: the GIF of all frames, and the filmstrip of those that differ.

use super::{Session, Steps};
use crate::diag::Checked;
use crate::font::Font;
use crate::preview::{Look, Material, Rehearsal, Shown, Surroundings, filmstrip, gif_with_progress};
use crate::show::Show;

/// The font of a filmstrip's captions.
const CAPTIONS: &str = "thole";

/// How a preview is to look; by default as the panel does, by night, at what size suits it.
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
    session.checked(gif_with_progress(shown, &look, &|all| steps.done(all)))
}

/// The filmstrip of a rehearsal.
pub fn filmstrip_png(show: &Show, rehearsal: &Rehearsal, style: Style, session: &mut Session<'_>) -> Checked<Vec<u8>> {
    let look = look(show, style, Some(STRIP_PITCH));
    session.checked(filmstrip(&rehearsal.shown, &look, &Font::shipped(CAPTIONS)))
}

fn look(show: &Show, style: Style, scale: Option<u32>) -> Look {
    let material = style.material.unwrap_or(Material::Shining(show.panel().tint));
    Look::made_of(material, style.surroundings, show.panel(), show.mounting(), scale)
}

/// Pixels of a filmstrip to one of the display.
const STRIP_PITCH: u32 = 3;
