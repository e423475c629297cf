//! Stars, hills and noise, all drawn from a seed.

use crate::player::grain::{PLACES_A_ROW, is_ink};
use crate::render::chance::{chance, start, wander};
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::{steps, value_at};
use crate::show::{Noise, Side, Stars, Terrain};

/// How often twinkling stars change, in times a second.
const TWINKLES_A_SECOND: f64 = 3.0;
/// After so many changes they repeat, so that a reel stores each picture once. Our own choice.
const TWINKLES: i64 = 8;

/// A field of stars.
pub fn stars(layer: &Stars, moment: LayerMoment, ink: &mut Ink) {
    (1..=distances(layer)).for_each(|distance| stars_at(layer, distance, moment, ink));
}

/// How many distances the stars have.
pub fn distances(layer: &Stars) -> usize {
    layer.distances.max(1) as usize
}

/// The stars at one of the distances, which count from 1; they move together.
pub fn stars_at(layer: &Stars, distance: usize, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    if area.width <= 0 || area.height <= 0 {
        return;
    }
    let twinkle = steps(moment.seconds, TWINKLES_A_SECOND).rem_euclid(TWINKLES);
    let moved = steps(moment.seconds, layer.pixels_a_second / distance as f64);
    for star in (distance as i64 - 1..i64::from(layer.count)).step_by(distances(layer)) {
        let place = |axis: i64, length: i32| (chance(layer.seed, star, axis) * f64::from(length)).floor() as i64;
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
        let (x, y) = (x.rem_euclid(i64::from(area.width)) as i32, y.rem_euclid(i64::from(area.height)) as i32);
        ink.mark(area.left + x, area.top + y);
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
        bottom - (height * f64::from((area.height - 1).max(0)) + 0.5).floor() as i32
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
    let density = (value_at(&layer.share, seconds).clamp(0.0, 1.0) * WHOLE).round() as u16;
    density << 8 | steps(seconds, layer.times_a_second) as u16 & 0xFF
}

/// Flickering grains.
pub fn noise(layer: &Noise, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let (seed, phase) = (noise_seed(layer), noise_phase(layer, moment.seconds));
    let grain = layer.grain.max(1) as i32;
    ink.clip(area);
    for down in 0..(area.height.max(0) + grain - 1) / grain {
        for across in 0..(area.width.max(0) + grain - 1) / grain {
            let place = (down as u16).wrapping_mul(PLACES_A_ROW).wrapping_add(across as u16);
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
