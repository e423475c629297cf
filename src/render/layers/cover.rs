//! Covers: areas of ink that grow or shrink by a share, to hide or uncover what lies below.

use super::figure::filled;
use crate::render::dither::dithered;
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::{pixels_at, value_at};
use crate::show::{Dissolve, Iris, Shutter, Side, Wipe};

/// A cover from one side on.
pub fn wipe(layer: &Wipe, moment: LayerMoment, ink: &mut Ink) {
    let share = value_at(&layer.share, moment.seconds).clamp(0.0, 1.0);
    shape::fill(ink, filled(moment.sized(&layer.at, &layer.size), layer.from_side, share));
}

/// A cover of scattered grains.
pub fn dissolve(layer: &Dissolve, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let share = value_at(&layer.share, moment.seconds).clamp(0.0, 1.0);
    let grain = layer.grain.max(1).cast_signed();
    for y in 0..area.height.max(0) {
        for x in 0..area.width.max(0) {
            if dithered(share, x / grain, y / grain) {
                ink.mark(area.left + x, area.top + y);
            }
        }
    }
}

/// A cover of slats; rows that do not divide evenly go to the first slats.
pub fn shutter(layer: &Shutter, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let share = value_at(&layer.share, moment.seconds).clamp(0.0, 1.0);
    let (length, slats) = (if layer.upright { area.width } else { area.height }, layer.slats.max(1).cast_signed());
    let edge = |slat: i32| (slat * length + slats - 1) / slats;
    for slat in 0..slats {
        let (from, to) = (edge(slat), edge(slat + 1));
        let (room, side) = if layer.upright {
            (Area { left: area.left + from, width: to - from, ..area }, Side::Left)
        } else {
            (Area { top: area.top + from, height: to - from, ..area }, Side::Top)
        };
        let closed = filled(room, side, share);
        shape::fill(ink, closed);
    }
}

/// Everything of the view outside a disc.
pub fn iris(layer: &Iris, moment: LayerMoment, ink: &mut Ink) {
    let (centre_x, centre_y) = moment.point(&layer.at);
    let radius = pixels_at(&layer.radius, moment.seconds).max(0);
    for y in 0..moment.height {
        for x in 0..moment.width {
            if radius == 0 || !shape::in_circle(radius, x - centre_x, y - centre_y) {
                ink.mark(x, y);
            }
        }
    }
}
