//! A turning beam with a fading, dithered trail, and echoes that light up as it passes.

use crate::player::beam::Beam;
use crate::render::dither::dithered;
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape::{WHOLE_TURN, bearing, polar};
use crate::render::track::{pixels_at, remainder};
use crate::show::{Echo, Sweep};
use crate::whole::{limited, rounded};

/// Angles are rounded to this share of a degree, so that one turn is the next turn's twin to the last pixel.
const ANGLE_STEPS: f64 = 1024.0;

/// Bearings of a whole turn, as the beam counts them.
const BEARINGS: f64 = 256.0;

/// Where the beam points at a time, and which way it turns.
#[derive(Clone, Copy)]
struct BeamPointer {
    direction: u8,
    clockwise: bool,
}

/// Marks the beam with its trail, and the echoes.
pub fn sweep(layer: &Sweep, moment: LayerMoment, ink: &mut Ink) {
    let centre = moment.point(&layer.at);
    let radius = pixels_at(&layer.radius, moment.seconds).max(0);
    turn(layer, moment.seconds, centre, radius, ink);
    for echo in &layer.echoes {
        mark_echo(layer, echo, moment.seconds, centre, radius, ink);
    }
}

fn pointer(layer: &Sweep, seconds: f64) -> BeamPointer {
    let share = remainder(seconds, layer.seconds_a_turn) / layer.seconds_a_turn;
    let (moved, clockwise) = if layer.arc_degrees >= WHOLE_TURN {
        (share * WHOLE_TURN, true)
    } else if share < 0.5 {
        (2.0 * share * layer.arc_degrees, true)
    } else {
        (2.0 * (1.0 - share) * layer.arc_degrees, false)
    };
    let degrees = ((layer.start_degrees + moved) * ANGLE_STEPS).round() / ANGLE_STEPS;
    let direction = rounded((degrees * BEARINGS / WHOLE_TURN).floor().rem_euclid(BEARINGS));
    BeamPointer { direction, clockwise }
}

/// The direction of the beam at a time by the layer's own clock, in 1/256 of a turn.
pub fn direction(layer: &Sweep, seconds: f64) -> u8 {
    pointer(layer, seconds).direction
}

/// How many bearings behind the beam a pixel stays lit.
pub fn limit(layer: &Sweep, x: i32, y: i32) -> u8 {
    let lit = |behind: &u8| {
        let behind = f64::from(*behind) * WHOLE_TURN / BEARINGS;
        let left = 1.0 - behind / layer.trail_degrees;
        behind < layer.trail_degrees && dithered(left * left, x, y)
    };
    (0..u8::MAX).find(|behind| !lit(behind)).unwrap_or(u8::MAX)
}

fn turn(layer: &Sweep, seconds: f64, centre: (i32, i32), radius: i32, ink: &mut Ink) {
    let BeamPointer { direction, clockwise } = pointer(layer, seconds);
    let limits = std::array::from_fn(|at| {
        let at: i32 = limited(at);
        limit(layer, centre.0 + at % 4, centre.1 + at / 4)
    });
    let reach = radius.unsigned_abs().pow(2);
    let beam = Beam { column: 0, row: 0, reach, mirrored: !clockwise, limits };
    let direction = if clockwise { direction } else { direction.wrapping_neg() };
    for y in -radius..=radius {
        for x in -radius..=radius {
            let (column, row) = (limited(x), limited(y));
            let lit = beam.lights(column, row, direction);
            // The line stays whole where it stands over the edge of its arc.
            if lit && (in_arc(layer, x, y) || beam.passes(column, row, direction)) {
                ink.mark(centre.0 + x, centre.1 + y);
            }
        }
    }
}

fn in_arc(layer: &Sweep, x: i32, y: i32) -> bool {
    layer.arc_degrees >= WHOLE_TURN || (bearing(x, y) - layer.start_degrees).rem_euclid(WHOLE_TURN) <= layer.arc_degrees
}

fn mark_echo(layer: &Sweep, echo: &Echo, seconds: f64, centre: (i32, i32), radius: i32, ink: &mut Ink) {
    let Some(since) = seconds_since_passed(layer, echo.degrees, seconds) else { return };
    if since >= echo.fade_seconds {
        return;
    }
    let coverage = 1.0 - since / echo.fade_seconds;
    let (x, y) = polar(centre, echo.degrees, echo.distance * f64::from(radius));
    let side = echo.size.cast_signed();
    let area = Area { left: x - (side - 1) / 2, top: y - (side - 1) / 2, width: side, height: side };
    for y in area.top..area.top + side {
        for x in area.left..area.left + side {
            if dithered(coverage, x, y) {
                ink.mark(x, y);
            } else {
                ink.unmark(x, y);
            }
        }
    }
}

/// Seconds since the beam last passed a bearing; `None` when it has not yet.
fn seconds_since_passed(layer: &Sweep, degrees: f64, seconds: f64) -> Option<f64> {
    let ahead = (degrees - layer.start_degrees).rem_euclid(WHOLE_TURN);
    let shares = if layer.arc_degrees >= WHOLE_TURN {
        vec![ahead / WHOLE_TURN]
    } else if ahead <= layer.arc_degrees {
        vec![ahead / layer.arc_degrees / 2.0, 1.0 - ahead / layer.arc_degrees / 2.0]
    } else {
        return None;
    };
    let since = shares.into_iter().map(|share| share * layer.seconds_a_turn).filter(|first| *first <= seconds);
    since.map(|first| remainder(seconds - first, layer.seconds_a_turn)).min_by(f64::total_cmp)
}
