//! Plain figures: rectangle, line, circle, bar.

use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::{pixels_at, value_at};
use crate::show::{Bar, Circle, Line, Rectangle, Side};
use crate::whole::floored;

/// A bar's frame and the dark gap inside it, in pixels each.
const BAR_FRAME: u32 = 1;
const BAR_GAP: i32 = 1;

/// A rectangle.
pub fn rectangle(layer: &Rectangle, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    if layer.fill { shape::fill(ink, area) } else { shape::outline(ink, area, layer.stroke) }
}

/// A straight line.
pub fn line(layer: &Line, moment: LayerMoment, ink: &mut Ink) {
    shape::line(ink, moment.point(&layer.start), moment.point(&layer.end), layer.stroke);
}

/// A circle.
pub fn circle(layer: &Circle, moment: LayerMoment, ink: &mut Ink) {
    let radius = pixels_at(&layer.radius, moment.seconds).max(0);
    shape::circle(ink, moment.point(&layer.at), radius, layer.fill, layer.stroke);
}

/// A bar filled from one side.
pub fn bar(layer: &Bar, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let room = if layer.frame {
        shape::outline(ink, area, BAR_FRAME);
        area.shrunk(BAR_FRAME.cast_signed() + BAR_GAP)
    } else {
        area
    };
    let value = value_at(&layer.value, moment.seconds).clamp(0.0, 1.0);
    shape::fill(ink, filled(room, layer.from_side, value));
}

/// The part of an area that a share fills from a side.
pub fn filled(room: Area, side: Side, value: f64) -> Area {
    let share = |length: i32| floored(f64::from(length) * value + 0.5);
    let (width, height) = (share(room.width), share(room.height));
    match side {
        Side::Left => Area { width, ..room },
        Side::Right => Area { left: room.left + room.width - width, width, ..room },
        Side::Top => Area { height, ..room },
        Side::Bottom => Area { top: room.top + room.height - height, height, ..room },
    }
}
