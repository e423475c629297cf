//! Pictures as their files have them, in their own time, greys by threshold or dithering.

use crate::render::dither::{diffused, ordered};
use crate::render::ink::Ink;
use crate::render::place::LayerMoment;
use crate::show::{Dither, Picture, Show};
use crate::source;
use crate::whole::{floored, limited};

const OPAQUE: u32 = 255;
const MILLISECONDS: f64 = 1000.0;

/// Marks the picture whose time it is.
pub fn picture(show: &Show, layer: &Picture, moment: LayerMoment, ink: &mut Ink) {
    let Some(picture) = show.pictures().get(layer.picture.0) else { return };
    let (width, height) = (picture.frame_width(), picture.height());
    let left = frame_at(picture.delays(), moment.seconds, layer.repeat) * width;
    let area = moment.area(&layer.at, width.cast_signed(), height.cast_signed());
    let shade = |x: u32, y: u32| picture.ink(left + x, y).map_or(0, weighed);
    let lit: Vec<bool> = match layer.dither {
        Dither::Threshold => pixels(width, height).map(|(x, y)| shade(x, y) >= layer.threshold).collect(),
        Dither::Ordered => pixels(width, height).map(|(x, y)| ordered(shade(x, y), layer.threshold, x, y)).collect(),
        Dither::Diffusion => diffused(width, height, layer.threshold, shade),
    };
    for ((x, y), _) in pixels(width, height).zip(lit).filter(|(_, lit)| *lit) {
        ink.mark(area.left + x.cast_signed(), area.top + y.cast_signed());
    }
}

fn pixels(width: u32, height: u32) -> impl Iterator<Item = (u32, u32)> {
    (0..height).flat_map(move |y| (0..width).map(move |x| (x, y)))
}

/// Lightness weighed by opacity, rounded to the nearest.
fn weighed(ink: source::PixelInk) -> u8 {
    limited((u32::from(ink.lightness) * u32::from(ink.opacity) + OPAQUE / 2) / OPAQUE)
}

/// Which picture of an animation is shown at a time.
fn frame_at(delays: &[u32], seconds: f64, repeat: bool) -> u32 {
    let whole: u32 = delays.iter().sum();
    if whole == 0 {
        return 0;
    }
    let milliseconds: u64 = floored(seconds * MILLISECONDS + 1e-6);
    let mut left = if repeat { milliseconds % u64::from(whole) } else { milliseconds };
    let mut last = 0;
    for (number, delay) in (0..).zip(delays) {
        if left < u64::from(*delay) {
            return number;
        }
        left -= u64::from(*delay);
        last = number;
    }
    last
}

#[cfg(test)]
mod tests {
    use super::frame_at;

    #[test]
    fn an_animation_keeps_the_times_of_its_file() {
        let at = |seconds, repeat| frame_at(&[100, 250, 50], seconds, repeat);
        assert_eq!([0.0, 0.1, 0.34, 0.35, 0.4, 0.5].map(|seconds| at(seconds, true)), [0, 1, 1, 2, 0, 1]);
        assert_eq!([0.39, 0.4, 9.0].map(|seconds| at(seconds, false)), [2, 2, 2]);
        assert_eq!(frame_at(&[0], 3.0, true), 0);
    }
}
