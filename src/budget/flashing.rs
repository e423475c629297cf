//! Flashing: general flashes in any second by WCAG 2.x, with the area that they fill at the viewing distance and on a screen.

use super::light::{brightest, contrasts};
use super::{Budget, Figure};
use crate::diag::{Finding, Findings};
use crate::panel::Tint;
use crate::render::{Bitmap, layer_ink};
use crate::show::{Layer, Scene, Show, Then};
use rayon::prelude::*;

/// Flashes in any second that are still safe.
const MOST_FLASHES: usize = 3;
/// A change counts from this share of the highest luminance on, where the darker state is below [`DARK`].
const CHANGE: f64 = 0.1;
const DARK: f64 = 0.8;
/// The area in steradian that flashes may fill: a quarter of a field of 10 degrees.
const MOST_STERADIANS: f64 = 0.006;
/// The field of 10 degrees on a screen, in pixels, of which a quarter may flash.
const FIELD_PIXELS: f64 = 341.0 * 256.0;
const FIELD_SHARE: f64 = 0.25;
/// The share of red from which a red is saturated.
const SATURATED_RED: f64 = 0.8;
const SOURCE: &str = "WCAG 2.x success criterion 2.3.1 and its definition of general flash";
const COUNTED: &str = "pairs of opposing changes of 10 % of the highest luminance or more, darker state below 80 %, each over \
                       more than the area allowed in one frame; the exemption of fine patterns is not used";

/// A preview on a screen is to be about this wide, in pixels.
const PREVIEW_WIDTH: u32 = 560;
const PREVIEW_PITCHES: (u32, u32) = (3, 8);

/// Pixels of a preview to one of the glass, for a glass so many pixels wide.
pub fn preview_pitch(width: u32) -> u32 {
    (PREVIEW_WIDTH / width.max(1)).clamp(PREVIEW_PITCHES.0, PREVIEW_PITCHES.1)
}

/// How many pixels brighten and darken from one frame to the next.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Change {
    brighter: usize,
    darker: usize,
}

/// What a scene does to the eye.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Flashes {
    /// The most in any second, and the frame at which that second begins.
    most: usize,
    from: usize,
}

/// Checks every scene; more than three flashes in a second are a warning.
pub fn flashing(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Budget {
    let (across, down) = show.mounting().view_pitch_millimetres(show.panel());
    let distance = show.viewing_distance_millimetres();
    let steradians = across * down / (distance * distance);
    let pitch = f64::from(preview_pitch(show.view_size().0));
    let on_glass = MOST_STERADIANS / steradians;
    let on_screen = FIELD_PIXELS * FIELD_SHARE / (pitch * pitch);
    let second = usize::from(show.frame_rate().frames_per_second());
    let changes: Vec<Vec<Change>> =
        (0..show.scenes().len()).into_par_iter().map(|scene| changes(show, frames, scene)).collect();
    let counted = |allowed: f64| changes.iter().map(move |changes| count(changes, allowed, second)).collect::<Vec<_>>();
    let (glass, screen) = (counted(on_glass), counted(on_screen));
    let mut figures = vec![worst("on the glass", show, &glass), worst("on a screen", show, &screen)];
    for (scene, flashes) in show.scenes().iter().zip(&screen) {
        let name = format!("on a screen, scene {}", scene.name);
        figures.push(Figure::new(name, flashes.most as f64, "a second").from(COUNTED, SOURCE));
    }
    figures.extend(areas(&changes, (steradians, on_screen), show));
    figures.push(red(show.panel().tint));
    for (number, scene) in show.scenes().iter().enumerate() {
        report(show, scene, (glass[number], screen[number]), on_screen, findings);
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
            .from("changing pixels × area of a pixel / distance²; 0.006 sr may flash at any rate", SOURCE),
        Figure::new("distance at which the whole glass fills 0.006 sr", (whole / MOST_STERADIANS).sqrt(), "mm")
            .from("√(area of the glass / 0.006)", SOURCE),
        Figure::new("largest change of the preview", largest / on_screen * FIELD_SHARE * 100.0, "% of the field").from(
            "changing pixels × pitch² / (341 × 256); 25 % may flash at any rate; enlarging it enlarges this",
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
        Tint::Plain(colour) => share(colour),
        Tint::Split { upper, lower, .. } => share(upper).max(share(lower)),
    };
    Figure::new("share of red in the light", reddest, "").limit(SATURATED_RED).from("R / (R + G + B)", SOURCE).rough()
}

/// The changes from frame to frame of a scene, and on into what follows for a second.
fn changes(show: &Show, frames: &[Vec<Bitmap>], number: usize) -> Vec<Change> {
    let scene = &show.scenes()[number];
    let brightest = f64::from(brightest(show));
    let lit = |number: usize| {
        let contrasts = contrasts(show, &show.scenes()[number]);
        frames[number].iter().zip(contrasts).map(move |(frame, contrast)| (frame, f64::from(contrast) / brightest))
    };
    let second = usize::from(show.frame_rate().frames_per_second());
    // The way back leads anywhere; the change into another scene is one at most.
    let following = match scene.then {
        Then::Hold | Then::Back => None,
        Then::Repeat => Some(number),
        Then::Scene(next) => Some(next.0),
    };
    let after = following.into_iter().flat_map(|next| lit(next).take(second));
    let seen: Vec<(&Bitmap, f64)> = lit(number).chain(after).collect();
    seen.windows(2).map(|pair| change(pair[0], pair[1])).collect()
}

/// The change from one picture to the next, each with the luminance of its lit pixels as a share of the highest.
fn change((before, bright): (&Bitmap, f64), (now, brighter): (&Bitmap, f64)) -> Change {
    let lit_only = |one: &Bitmap, other: &Bitmap| {
        let mut only = one.clone();
        only.clear(other);
        only.lit()
    };
    let mut change = Change::default();
    if brighter >= CHANGE {
        change.brighter += lit_only(now, before);
    }
    if bright >= CHANGE {
        change.darker += lit_only(before, now);
    }
    if (bright - brighter).abs() >= CHANGE && bright.min(brighter) < DARK {
        let both = now.lit() - lit_only(now, before);
        *(if brighter > bright { &mut change.brighter } else { &mut change.darker }) += both;
    }
    change
}

/// The most flashes in any second over more than an area in pixels: as many as there are changes of either direction, and
/// at most half of all changes, since two opposing ones are a flash and one frame may brighten here and darken there.
fn count(changes: &[Change], allowed: f64, second: usize) -> Flashes {
    let over = |change: &Change| {
        let (up, down) = (change.brighter as f64 > allowed, change.darker as f64 > allowed);
        [up, down, up || down].map(usize::from)
    };
    let mut most = Flashes::default();
    let mut within = [0; 3];
    for (at, change) in changes.iter().enumerate() {
        let (new, old) = (over(change), at.checked_sub(second).map_or([0; 3], |old| over(&changes[old])));
        within = [0, 1, 2].map(|kind| within[kind] + new[kind] - old[kind]);
        let [up, down, either] = within;
        let flashes = up.min(down).min(either / 2);
        if flashes > most.most {
            most = Flashes { most: flashes, from: (at + 1).saturating_sub(second) };
        }
    }
    most
}

fn report(show: &Show, scene: &Scene, (glass, screen): (Flashes, Flashes), allowed: f64, findings: &mut Findings) {
    let worst = if glass.most > screen.most { glass } else { screen };
    if worst.most < MOST_FLASHES {
        return;
    }
    let layer = culprit(show, scene, worst.from);
    let span = layer.map_or(scene.span, |layer| layer.span);
    let named = layer.map_or(String::new(), |layer| format!("`{}` in ", layer.name));
    let place = if glass.most > MOST_FLASHES { "on the glass and in its preview" } else { "in a preview on a screen" };
    let seconds = show.frame_rate().seconds_at(worst.from as u32);
    let count = worst.most;
    if worst.most > MOST_FLASHES {
        let message = format!(
            "{named}scene `{}` flashes {count} times in the second from {seconds} s on, {place}; more than \
             {MOST_FLASHES} can harm photosensitive people",
            scene.name
        );
        let fewer = format!("or let fewer than {allowed:.0} pixels change at once");
        findings
            .push(Finding::warning(span, message).hint("blink more slowly: half a second on, half off").hint(fewer));
    } else {
        let message = format!(
            "{named}scene `{}` flashes {count} times in the second from {seconds} s on: the most that is safe",
            scene.name
        );
        findings.push(Finding::note(span, message).hint("a slower alert leaves room, and draws the eye as well"));
    }
}

/// The layer whose ink changes most in the second from a frame on.
fn culprit<'a>(show: &Show, scene: &'a Scene, from: usize) -> Option<&'a Layer> {
    let second = u32::from(show.frame_rate().frames_per_second());
    let (width, height) = show.view_size();
    let ink = |layer: &Layer, frame: u32| {
        layer_ink(show, layer, frame).map_or_else(|| Bitmap::new(width, height), |ink| ink.inside)
    };
    let changed = |layer: &Layer| -> usize {
        let frames = from as u32..(from as u32 + second).min(scene.frames.0.saturating_sub(1));
        frames
            .map(|frame| {
                let mut change = ink(layer, frame);
                change.toggle(&ink(layer, frame + 1));
                change.lit()
            })
            .sum()
    };
    scene
        .layers
        .iter()
        .map(|layer| (changed(layer), layer))
        .filter(|(changed, _)| *changed > 0)
        .max_by_key(|row| row.0)
        .map(|row| row.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blinking(on: usize, off: usize, length: usize) -> Vec<Change> {
        let state = |frame: usize| frame % (on + off) < on;
        let change = |frame: usize| match (state(frame), state(frame + 1)) {
            (false, true) => Change { brighter: 100, darker: 0 },
            (true, false) => Change { brighter: 0, darker: 100 },
            _ => Change::default(),
        };
        (0..length).map(change).collect()
    }

    /// Counted by hand at 20 frames a second: five frames of each state are two flashes a second, two of each five, three on
    /// and four off just under three.
    #[test]
    fn flashes_are_counted_in_any_second() {
        let most = |on, off| count(&blinking(on, off, 200), 50.0, 20).most;
        assert_eq!((most(10, 10), most(5, 5), most(3, 4), most(2, 2), most(1, 1)), (1, 2, 3, 5, 10));
        let inverted: Vec<Change> = (0..200)
            .map(|frame| if frame % 5 == 0 { Change { brighter: 100, darker: 80 } } else { Change::default() })
            .collect();
        assert_eq!(
            count(&inverted, 50.0, 20).most,
            2,
            "inversion every quarter of a second is two flashes at each place"
        );
        assert_eq!(count(&blinking(1, 1, 200), 100.0, 20).most, 0, "the area allowed may flash at any rate");
    }

    #[test]
    fn a_change_counts_by_its_luminance() {
        let picture = |text: &str| text.parse::<Bitmap>().expect("drawn");
        let (one, other) = (picture("##.\n"), picture(".##\n"));
        assert_eq!(change((&one, 1.0), (&other, 1.0)), Change { brighter: 1, darker: 1 });
        assert_eq!(change((&one, 0.05), (&other, 0.05)), Change::default());
        assert_eq!(change((&one, 0.05), (&other, 1.0)), Change { brighter: 2, darker: 0 });
        assert_eq!(change((&one, 1.0), (&one, 0.85)), Change::default(), "the darker state is above 80 %");
    }

    /// WCAG: 341 × 256 pixels stand for 10 degrees of 1024 × 768; a cone of 10 degrees is 0.0239 sr, a quarter 0.0060 (computed).
    #[test]
    fn the_area_limit_is_a_quarter_of_ten_degrees() {
        let cone = 2.0 * std::f64::consts::PI * (1.0 - 5f64.to_radians().cos());
        assert!((cone * FIELD_SHARE - MOST_STERADIANS).abs() < 5e-5);
    }
}
