//! A turning beam with a fading, dithered trail, and echoes that light up as it passes.

use crate::render::dither::dithered;
use crate::render::ink::{Area, Ink};
use crate::render::place::Moment;
use crate::render::shape::{self, WHOLE_TURN, bearing, polar};
use crate::render::track::{pixels_at, remainder};
use crate::show::{Echo, Sweep};

/// Angles are rounded to this share of a degree, so that one turn is the next turn's twin to the last pixel.
const ANGLE_STEPS: f64 = 1024.0;

/// The beam at a time.
#[derive(Clone, Copy)]
struct Beam {
    degrees: f64,
    /// 1 when it turns clockwise, −1 on the way back.
    direction: f64,
}

/// Marks the trail, the beam and the echoes.
pub fn sweep(layer: &Sweep, moment: Moment, ink: &mut Ink) {
    let centre = moment.point(&layer.at);
    let radius = pixels_at(&layer.radius, moment.seconds).max(0);
    let beam = beam(layer, moment.seconds);
    if layer.trail_degrees > 0.0 {
        trail(layer, beam, centre, radius, ink);
    }
    shape::line(ink, centre, polar(centre, beam.degrees, f64::from(radius)), 1);
    for echo in &layer.echoes {
        mark_echo(layer, echo, moment.seconds, centre, radius, ink);
    }
}

fn beam(layer: &Sweep, seconds: f64) -> Beam {
    let share = remainder(seconds, layer.seconds_a_turn) / layer.seconds_a_turn;
    let (moved, direction) = if layer.arc_degrees >= WHOLE_TURN {
        (share * WHOLE_TURN, 1.0)
    } else if share < 0.5 {
        (2.0 * share * layer.arc_degrees, 1.0)
    } else {
        (2.0 * (1.0 - share) * layer.arc_degrees, -1.0)
    };
    let degrees = ((layer.start_degrees + moved) * ANGLE_STEPS).round() / ANGLE_STEPS;
    Beam { degrees, direction }
}

fn trail(layer: &Sweep, beam: Beam, centre: (i32, i32), radius: i32, ink: &mut Ink) {
    for y in -radius..=radius {
        for x in -radius..=radius {
            if x * x + y * y > radius * radius || (x, y) == (0, 0) || !in_arc(layer, x, y) {
                continue;
            }
            let behind = ((beam.degrees - bearing(x, y)) * beam.direction).rem_euclid(WHOLE_TURN);
            if behind < layer.trail_degrees {
                let left = 1.0 - behind / layer.trail_degrees;
                if dithered(left * left, centre.0 + x, centre.1 + y) {
                    ink.mark(centre.0 + x, centre.1 + y);
                }
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
    let side = echo.size as i32;
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
