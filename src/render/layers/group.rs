//! Layers taken together: moved, staggered, repeated and masked as one.

use crate::render::frames::lay;
use crate::render::ink::Ink;
use crate::render::place::LayerMoment;
use crate::render::track::{pixels_at, remainder};
use crate::show::{Group, Layer, Show};

/// Puts the layers of a group together as the group's ink.
pub fn group(show: &Show, layer: &Group, moment: LayerMoment, ink: &mut Ink) {
    let (x, y) = (pixels_at(&layer.x, moment.seconds), pixels_at(&layer.y, moment.seconds));
    let moved = (moment.moved.0 + x, moment.moved.1 + y);
    let seconds =
        if layer.repeat_seconds > 0.0 { remainder(moment.seconds, layer.repeat_seconds) } else { moment.seconds };
    let inner = LayerMoment { seconds, moved, ..moment };
    let starts = |number: usize| number as f64 * layer.stagger_seconds;
    for (number, part) in layer.layers.iter().enumerate() {
        lay(show, part, LayerMoment { seconds: seconds - starts(number), ..inner }, ink);
    }
    if !layer.mask.is_empty() {
        let mask = masked(show, &layer.mask, inner, ink);
        ink.inside.mask(&mask.inside);
    }
}

fn masked(show: &Show, layers: &[Layer], moment: LayerMoment, ink: &Ink) -> Ink {
    let mut mask = ink.fresh();
    for part in layers {
        lay(show, part, moment, &mut mask);
    }
    mask
}
