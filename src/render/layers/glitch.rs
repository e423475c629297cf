//! Bands of a picture torn sideways.

use crate::render::Bitmap;
use crate::render::chance::chance;
use crate::render::place::LayerMoment;
use crate::render::track::{pixels_at, steps, value_at};
use crate::show::Glitch;
use crate::whole::floored;

/// The shifts repeat after this number of changes, so that a reel of a still picture stores each picture once. Our own choice.
const SHIFTS: i64 = 16;

/// The picture with bands of an area moved sideways; what leaves the area on one side comes in on the other.
pub fn glitch(layer: &Glitch, moment: LayerMoment, below: &Bitmap) -> Bitmap {
    let area = moment.sized(&layer.at, &layer.size);
    let share = value_at(&layer.share, moment.seconds);
    let most = pixels_at(&layer.pixels, moment.seconds).max(0);
    let tick = steps(moment.seconds, layer.times_a_second).rem_euclid(SHIFTS);
    let moved = |y: i32| {
        let band = i64::from((y - area.top) / layer.rows.max(1).cast_signed());
        let torn = chance(layer.seed, tick, 2 * band) < share;
        let by = floored::<i32>(chance(layer.seed, tick, 2 * band + 1) * f64::from(2 * most + 1)) - most;
        if torn { by } else { 0 }
    };
    let mut torn = below.clone();
    let (top, bottom) = (area.top.max(0), (area.top + area.height).min(below.height().cast_signed()));
    let (left, right) = (area.left.max(0), (area.left + area.width).min(below.width().cast_signed()));
    for y in top..bottom {
        let by = moved(y);
        if by != 0 {
            for x in left..right {
                torn.set(x, y, below.get(area.left + (x - area.left - by).rem_euclid(area.width), y));
            }
        }
    }
    torn
}
