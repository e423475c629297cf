//! Patterns over an area: frames of dashes, slanting stripes, grids, passing lines.

use crate::render::dither::dithered;
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::{pixels_at, remainder, steps};
use crate::show::{Border, Grid, ScanLine, Side, Stripes};
use crate::whole::floored;

/// A frame, solid or of running dashes.
pub fn border(layer: &Border, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    if layer.dash == 0 {
        shape::outline(ink, area, layer.stroke);
        return;
    }
    let period = i64::from(layer.dash + layer.gap);
    let moved = moved(moment.seconds, layer.pixels_a_second);
    for depth in 0..layer.stroke.cast_signed() {
        let ring = area.shrunk(depth);
        // Corners of the inner rings stand as many pixels nearer to one another, so the dashes keep side by side.
        for (along, (x, y)) in (0..).zip(round(ring)) {
            let side_steps = 2 * i64::from(depth) * side_of(ring, along) + i64::from(depth);
            let place = (i64::from(along) + side_steps - moved).rem_euclid(period);
            if place < i64::from(layer.dash) {
                ink.mark(x, y);
            }
        }
    }
}

/// By how many whole pixels a pattern has moved, backwards at a rate below 0.
fn moved(seconds: f64, pixels_a_second: f64) -> i64 {
    let far = steps(seconds, pixels_a_second.abs());
    if pixels_a_second < 0.0 { -far } else { far }
}

/// Which side of a ring a step lies on, from 0 for the upper one, clockwise.
fn side_of(ring: Area, along: i32) -> i64 {
    let (width, height) = ((ring.width - 1).max(0), (ring.height - 1).max(0));
    [width, width + height, 2 * width + height].iter().map(|end| i64::from(along >= *end)).sum()
}

/// The pixels round the edge of an area, clockwise from its top left corner.
fn round(area: Area) -> impl Iterator<Item = (i32, i32)> {
    let (right, bottom) = (area.left + area.width - 1, area.top + area.height - 1);
    let (left, top) = (area.left, area.top);
    let upper = (left..right).map(move |x| (x, top));
    let right_side = (top..bottom).map(move |y| (right, y));
    let lower = (left + 1..=right).rev().map(move |x| (x, bottom));
    let left_side = (top + 1..=bottom).rev().map(move |y| (left, y));
    upper.chain(right_side).chain(lower).chain(left_side)
}

/// Slanting stripes.
pub fn stripes(layer: &Stripes, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let width = i64::from(layer.width.max(1));
    let moved = moved(moment.seconds, layer.pixels_a_second);
    for y in 0..area.height.max(0) {
        for x in 0..area.width.max(0) {
            let slant = if layer.leaning_left { x - y } else { x + y };
            if (i64::from(slant) - moved).rem_euclid(2 * width) < width {
                ink.mark(area.left + x, area.top + y);
            }
        }
    }
}

/// A grid of upright and level lines.
pub fn grid(layer: &Grid, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let (columns, rows, dots) =
        (layer.columns.cast_signed(), layer.rows.cast_signed(), layer.dots.max(1).cast_signed());
    let (across, down) = (pixels_at(&layer.x, moment.seconds), pixels_at(&layer.y, moment.seconds));
    let on = |place: i32, every: i32| every > 0 && place.rem_euclid(every) == 0;
    for y in 0..area.height.max(0) {
        for x in 0..area.width.max(0) {
            let upright = on(x - across, columns) && on(y - down, dots);
            let level = on(y - down, rows) && on(x - across, dots);
            if upright || level {
                ink.mark(area.left + x, area.top + y);
            }
        }
    }
}

/// A line that passes over an area with a fading trail.
pub fn scan_line(layer: &ScanLine, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let upright = matches!(layer.from_side, Side::Left | Side::Right);
    let length = if upright { area.width } else { area.height };
    let share = remainder(moment.seconds, layer.seconds) / layer.seconds;
    let front = floored::<i32>(share * f64::from(length) + 1e-9);
    let (stroke, trail) = (layer.stroke.cast_signed(), layer.trail.cast_signed());
    for y in 0..area.height.max(0) {
        for x in 0..area.width.max(0) {
            let along = match layer.from_side {
                Side::Left => x,
                Side::Right => area.width - 1 - x,
                Side::Top => y,
                Side::Bottom => area.height - 1 - y,
            };
            let behind = front - along;
            let line = (0..stroke).contains(&behind);
            let faded = (stroke..stroke + trail).contains(&behind) && {
                let left = 1.0 - f64::from(behind - stroke + 1) / f64::from(trail + 1);
                dithered(left, area.left + x, area.top + y)
            };
            if line || faded {
                ink.mark(area.left + x, area.top + y);
            }
        }
    }
}
