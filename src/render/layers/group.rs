//! Layers taken together: moved, staggered, repeated and masked as one.

use crate::render::frames::lay;
use crate::render::ink::Ink;
use crate::render::place::LayerMoment;
use crate::render::track::{pixels_at, remainder};
use crate::show::{Group, Layer, Show};

/// Puts the layers of a group together as the group's ink.
pub fn group(show: &Show, layer: &Group, moment: LayerMoment, ink: &mut Ink) {
    for (part, moment) in layer.layers.iter().zip(moments(layer, moment)) {
        lay(show, part, moment, ink);
    }
    if !layer.mask.is_empty() {
        let mask = masked(show, &layer.mask, within(layer, moment), ink);
        ink.inside.mask(&mask.inside);
    }
}

/// The moments of its layers, which start one after another.
pub fn moments(layer: &Group, moment: LayerMoment) -> impl Iterator<Item = LayerMoment> {
    let (inner, stagger) = (within(layer, moment), layer.stagger_seconds);
    (0u32..).map(move |number| LayerMoment { seconds: inner.seconds - f64::from(number) * stagger, ..inner })
}

/// The moment within a group.
fn within(layer: &Group, moment: LayerMoment) -> LayerMoment {
    let (x, y) = (pixels_at(&layer.x, moment.seconds), pixels_at(&layer.y, moment.seconds));
    let moved = (moment.moved.0 + x, moment.moved.1 + y);
    let seconds =
        if layer.repeat_seconds > 0.0 { remainder(moment.seconds, layer.repeat_seconds) } else { moment.seconds };
    LayerMoment { seconds, moved, ..moment }
}

fn masked(show: &Show, layers: &[Layer], moment: LayerMoment, ink: &Ink) -> Ink {
    let mut mask = ink.fresh();
    for part in layers {
        lay(show, part, moment, &mut mask);
    }
    mask
}
