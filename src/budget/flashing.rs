//! Flashing: general flashes in any second by WCAG 2.x, with the area that they fill at the viewing distance and on a screen.

use super::flashes::{Change, Flashes, changes, count};
use super::study::Study;
use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number};
use crate::panel::Tint;
use crate::render::Bitmap;
use crate::show::{Layer, Scene, Show};
use crate::whole::limited;
use rayon::prelude::*;

/// Flashes in any second that are still safe.
const MOST_FLASHES: usize = 3;
/// The area in steradian that flashes may fill: a quarter of a field of 10 degrees.
const MOST_STERADIANS: f64 = 0.006;
/// The field of 10 degrees on a screen, in pixels, of which a quarter may flash.
const FIELD_PIXELS: f64 = 341.0 * 256.0;
const FIELD_SHARE: f64 = 0.25;
/// The share of red from which a red is saturated.
const SATURATED_RED: f64 = 0.8;
const SOURCE: &str = "WCAG 2.x success criterion 2.3.1 and its definition of general flash";
const ALONE: &str = "counted in the same way over the ink of this layer at full brightness, on the display or on a screen, whichever has the lower limit";
const COUNTED: &str = "pairs of opposing changes of 10 % of the highest luminance or more, darker state below 80 %, each over \
                       more than the area allowed in one frame; the exemption of fine patterns is not used";

/// A preview on a screen is to be about this wide, in pixels.
const PREVIEW_WIDTH: u32 = 560;
const PREVIEW_PITCHES: (u32, u32) = (3, 8);

/// Pixels of a preview for one pixel of the display, for a display of this width.
pub fn preview_pitch(width: u32) -> u32 {
    (PREVIEW_WIDTH / width.max(1)).clamp(PREVIEW_PITCHES.0, PREVIEW_PITCHES.1)
}

/// Checks every scene; more than three flashes in a second are a warning.
pub fn flashing(show: &Show, frames: &[Vec<Bitmap>], studies: &[Vec<Study<'_>>], findings: &mut Findings) -> Budget {
    let (across, down) = show.mounting().view_pitch_millimetres(show.panel());
    let distance = show.viewing_distance_millimetres();
    let steradians = across * down / (distance * distance);
    let pitch = f64::from(preview_pitch(show.view_size().0));
    let on_display = MOST_STERADIANS / steradians;
    let on_screen = FIELD_PIXELS * FIELD_SHARE / (pitch * pitch);
    let second = usize::from(show.frame_rate().frames_per_second());
    let changes: Vec<Vec<Change>> =
        (0..show.scenes().len()).into_par_iter().map(|scene| changes(show, frames, scene)).collect();
    let counted = |allowed: f64| changes.iter().map(move |changes| count(changes, allowed, second)).collect::<Vec<_>>();
    let (display, screen) = (counted(on_display), counted(on_screen));
    let mut figures = vec![worst("on the display", show, &display), worst("on a screen", show, &screen)];
    for (scene, flashes) in show.scenes().iter().zip(&screen) {
        let name = format!("on a screen, scene {}", scene.name);
        figures.push(Figure::new(name, flashes.most as f64, "a second").from(COUNTED, SOURCE));
    }
    figures.extend(by_layer(show, studies, on_screen.min(on_display)));
    figures.extend(areas(&changes, (steradians, on_screen), show));
    figures.push(red(show.panel().tint));
    for (number, scene) in show.scenes().iter().enumerate() {
        report(show, (scene, &studies[number]), (display[number], screen[number]), on_screen, findings);
    }
    Budget { title: "flashing", figures }
}

fn worst(place: &str, show: &Show, flashes: &[Flashes]) -> Figure {
    let worst = show.scenes().iter().zip(flashes).max_by_key(|(_, flashes)| flashes.most);
    let name = match worst {
        Some((scene, flashes)) if flashes.most > 0 => format!("flashes {place} (scene {})", scene.name),
        _ => format!("flashes {place}"),
    };
    let most = worst.map_or(0, |(_, flashes)| flashes.most);
    Figure::new(name, most as f64, "a second").limit(MOST_FLASHES as f64).from(COUNTED, SOURCE)
}

/// The largest area that changes at once, as seen and on a screen, with what is allowed to flash without end.
fn areas(changes: &[Vec<Change>], (steradians, on_screen): (f64, f64), show: &Show) -> [Figure; 3] {
    let largest = changes.iter().flatten().map(|change| change.brighter.max(change.darker)).max().unwrap_or(0) as f64;
    let (width, height) = show.view_size();
    let distance = show.viewing_distance_millimetres();
    let whole = f64::from(width * height) * steradians * distance * distance;
    let name = format!("largest change at {distance} mm");
    [
        Figure::new(name, largest * steradians, "sr")
            .from("changing pixels × area of a pixel / distance²; an area below 0.006 sr may flash at any rate", SOURCE),
        Figure::new("distance at which the whole display fills 0.006 sr", (whole / MOST_STERADIANS).sqrt(), "mm")
            .from("√(area of the display / 0.006)", SOURCE),
        Figure::new("largest change of the preview", largest / on_screen * FIELD_SHARE * 100.0, "% of the field").from(
            "changing pixels × pitch² / (341 × 256); an area below 25 % may flash at any rate; a larger preview flashes over a larger area",
            SOURCE,
        ),
    ]
}

fn red(tint: Tint) -> Figure {
    let share = |colour: crate::panel::Colour| {
        let [red, green, blue] = colour.rgb().map(f64::from);
        red / (red + green + blue)
    };
    let reddest = match tint {
        Tint::Crystal => 0.0,
        Tint::Plain(colour) => share(colour),
        Tint::Split { upper, lower, .. } => share(upper).max(share(lower)),
    };
    Figure::new("red part of the light", reddest, "").limit(SATURATED_RED).from("R / (R + G + B)", SOURCE).rough()
}

fn report(
    show: &Show,
    (scene, studies): (&Scene, &[Study<'_>]),
    (display, screen): (Flashes, Flashes),
    allowed: f64,
    findings: &mut Findings,
) {
    let worst = if display.most > screen.most { display } else { screen };
    if worst.most < MOST_FLASHES {
        return;
    }
    let layer = culprit(studies, worst.from, usize::from(show.frame_rate().frames_per_second()));
    let span = layer.map_or(scene.span, |layer| layer.span);
    let named = layer.map_or(String::new(), |layer| format!("`{}` in ", layer.name));
    let place =
        if display.most > MOST_FLASHES { "on the display and in its preview" } else { "in a preview on a screen" };
    let seconds = show.frame_rate().seconds_at(limited(worst.from));
    let count = worst.most;
    if worst.most > MOST_FLASHES {
        let message = format!(
            "{named}scene `{}` flashes {count} times within one second, starting at {seconds} s, {place}; more than {MOST_FLASHES} flashes can harm photosensitive people",
            scene.name
        );
        let fewer = format!("or change fewer than {} pixels at once", number(allowed.round()));
        findings.push(
            Finding::warning(span, message)
                .hint("blink more slowly, such as half a second on and half a second off")
                .hint(fewer),
        );
    } else {
        let message = format!(
            "{named}scene `{}` flashes {count} times within one second, starting at {seconds} s: this is the limit",
            scene.name
        );
        findings.push(Finding::note(span, message).hint("a slower alert is safer and just as visible"));
    }
}

/// The layer whose ink changes most in the second from a frame on.
fn culprit<'a>(studies: &[Study<'a>], from: usize, second: usize) -> Option<&'a Layer> {
    let changed = |study: &Study<'a>| -> usize {
        study.changes.iter().skip(from).take(second).map(|change| change.brighter + change.darker).sum()
    };
    let changed = studies.iter().map(|study| (changed(study), study.layer));
    changed.filter(|(changed, _)| *changed > 0).max_by_key(|row| row.0).map(|row| row.1)
}

/// Flashes that each layer makes by itself, those that make any.
fn by_layer(show: &Show, studies: &[Vec<Study<'_>>], allowed: f64) -> Vec<Figure> {
    let second = usize::from(show.frame_rate().frames_per_second());
    let alone = |study: &Study<'_>| {
        let most = count(&study.changes, allowed, second).most;
        let name = format!("of `{}` in scene {} alone", study.layer.name, study.scene.name);
        (most > 0).then(|| Figure::new(name, most as f64, "a second").from(ALONE, SOURCE))
    };
    studies.iter().flatten().filter_map(alone).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// WCAG: 341 × 256 pixels are 10 degrees of 1024 × 768; a cone of 10 degrees is 0.0239 sr, a quarter 0.0060 (computed).
    #[test]
    fn the_area_limit_is_a_quarter_of_ten_degrees() {
        let cone = 2.0 * std::f64::consts::PI * (1.0 - 5f64.to_radians().cos());
        assert!((cone * FIELD_SHARE - MOST_STERADIANS).abs() < 5e-5);
    }
}
