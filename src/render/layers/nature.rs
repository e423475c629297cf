//! Stars, hills and noise, all drawn from a seed.

use crate::player::grain::{PLACES_A_ROW, is_ink};
use crate::render::chance::{chance, start, wander};
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::{steps, value_at};
use crate::show::{Noise, Side, Stars, Terrain};
use crate::whole::{floored, limited, rounded};

/// How often twinkling stars change, in times a second.
const TWINKLES_A_SECOND: f64 = 3.0;
/// They repeat after this number of changes, so that a reel stores each picture once. Our own choice.
const TWINKLES: i64 = 8;

/// A field of stars.
pub fn stars(layer: &Stars, moment: LayerMoment, ink: &mut Ink) {
    (1..=distances(layer)).for_each(|distance| stars_at(layer, distance, moment, ink));
}

/// How many distances the stars have.
pub fn distances(layer: &Stars) -> u32 {
    layer.distances.max(1)
}

/// The stars at one of the distances, which count from 1; they move together.
pub fn stars_at(layer: &Stars, distance: u32, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    if area.width <= 0 || area.height <= 0 {
        return;
    }
    let twinkle = steps(moment.seconds, TWINKLES_A_SECOND).rem_euclid(TWINKLES);
    let moved = steps(moment.seconds, layer.pixels_a_second / f64::from(distance));
    for star in (distance - 1..layer.count).step_by(distances(layer) as usize).map(i64::from) {
        let place = |axis: i64, length: i32| floored::<i64>(chance(layer.seed, star, axis) * f64::from(length));
        let (mut x, mut y) = (place(0, area.width), place(1, area.height));
        match layer.towards {
            Side::Left => x -= moved,
            Side::Right => x += moved,
            Side::Top => y -= moved,
            Side::Bottom => y += moved,
        }
        if layer.twinkle > 0.0 && chance(layer.seed ^ 0x5D, star, twinkle + 2) < layer.twinkle {
            continue;
        }
        let within = |place: i64, length: i32| limited::<i32, _>(place.rem_euclid(i64::from(length)));
        ink.mark(area.left + within(x, area.width), area.top + within(y, area.height));
    }
}

/// A line of hills: a smooth course with a finer one on it.
pub fn terrain(layer: &Terrain, moment: LayerMoment, ink: &mut Ink) {
    const FINER: f64 = 2.7;
    const FINE_SHARE: f64 = 0.25;
    let area = moment.sized(&layer.at, &layer.size);
    let moved = steps(moment.seconds, layer.columns_a_second);
    let bottom = area.top + area.height - 1;
    let row = |column: i32| {
        let place = (i64::from(column) + moved) as f64 / f64::from(layer.bump.max(1));
        let rough = wander(layer.seed ^ 0xA7, place * FINER);
        let height = (1.0 - FINE_SHARE) * wander(layer.seed, place) + FINE_SHARE * rough;
        bottom - floored::<i32>(height * f64::from((area.height - 1).max(0)) + 0.5)
    };
    for column in 0..area.width.max(0) {
        let (x, y) = (area.left + column, row(column));
        let to = if layer.fill {
            bottom
        } else {
            let before = if column == 0 { y } else { row(column - 1) };
            before - (before - y).signum()
        };
        shape::line(ink, (x, y), (x, to), 1);
    }
}

/// The seed of a layer's noise.
pub fn noise_seed(layer: &Noise) -> u16 {
    start(layer.seed, 0)
}

/// The phase of noise at a time by the layer's own clock. The upper byte is the density of ink in 1/128. The lower byte counts
/// pictures; after 256 they repeat.
pub fn noise_phase(layer: &Noise, seconds: f64) -> u16 {
    const WHOLE: f64 = 128.0;
    const PICTURES: i64 = 256;
    let density: u16 = rounded(value_at(&layer.share, seconds).clamp(0.0, 1.0) * WHOLE);
    density << 8 | limited::<u16, _>(steps(seconds, layer.times_a_second).rem_euclid(PICTURES))
}

/// Flickering grains.
pub fn noise(layer: &Noise, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let (seed, phase) = (noise_seed(layer), noise_phase(layer, moment.seconds));
    let grain = layer.grain.max(1).cast_signed();
    ink.clip(area);
    for down in 0..(area.height.max(0) + grain - 1) / grain {
        for across in 0..(area.width.max(0) + grain - 1) / grain {
            let place = limited::<u16, _>(down).wrapping_mul(PLACES_A_ROW).wrapping_add(limited(across));
            if is_ink(seed, phase, place) {
                let (left, top) = (area.left + across * grain, area.top + down * grain);
                if grain == 1 {
                    ink.mark(left, top);
                } else {
                    shape::fill(ink, Area { left, top, width: grain, height: grain });
                }
            }
        }
    }
}
