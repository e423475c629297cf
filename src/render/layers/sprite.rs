//! Pictures cut from a strip, shown in turn.

use crate::render::ink::Ink;
use crate::render::place::LayerMoment;
use crate::render::track::{steps, value_at};
use crate::show::{Show, Sprite};
use crate::whole::{floored, limited};

const OPAQUE: u32 = 255;
/// Added before rounding down, so that what is whole by the script's numbers is whole here too.
const WHOLE_TOLERANCE: f64 = 1e-9;

/// Marks the picture whose turn it is.
pub fn sprite(show: &Show, layer: &Sprite, moment: LayerMoment, ink: &mut Ink) {
    let Some(picture) = show.pictures().get(layer.picture.0) else { return };
    let turn: u32 = limited(steps(moment.seconds, layer.pictures_a_second).rem_euclid(i64::from(layer.count.max(1))));
    let shows = |track| floored(value_at(track, moment.seconds) + WHOLE_TOLERANCE);
    let number = layer.shows.as_ref().map_or(layer.first + turn, shows);
    let first_column = number * layer.columns;
    let area = moment.area(&layer.at, layer.columns.cast_signed(), picture.height().cast_signed());
    for y in 0..picture.height() {
        for x in 0..layer.columns {
            let lit = picture.ink(first_column + x, y).is_some_and(|ink| {
                u32::from(ink.lightness) * u32::from(ink.opacity) >= u32::from(layer.threshold) * OPAQUE
            });
            if lit {
                ink.mark(area.left + x.cast_signed(), area.top + y.cast_signed());
            }
        }
    }
}
