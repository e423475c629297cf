//! Whole frames: the layers of a scene laid over one another at a frame's time, in the viewer's space.

use super::Bitmap;
use super::ink::Ink;
use super::layers::{bend, mark};
use super::place::LayerMoment;
use super::track::{pixels_at, remainder, value_at};
use crate::show::{Clip, Layer, LiveState, Mode, Scene, Show};
use rayon::prelude::*;
use std::borrow::Cow;

/// Times closer than this count as equal.
const SECONDS_TOLERANCE: f64 = 1e-9;
/// From which value of its `shown` on a layer is shown; a bit less, so that what is ½ by the script's numbers counts.
const SHOWN_FROM: f64 = 0.5 - 1e-9;

/// Every frame of every scene, in the show's order.
pub fn render(show: &Show) -> Vec<Vec<Bitmap>> {
    render_with_progress(show, &|_| {})
}

/// The same; `done` is called for each frame drawn, with how many there are.
pub fn render_with_progress(show: &Show, done: &(dyn Fn(usize) + Sync)) -> Vec<Vec<Bitmap>> {
    let all = show.scenes().iter().map(|scene| scene.frames.0 as usize).sum();
    let drawn = |scene, frame| {
        let picture = draw(show, scene, frame);
        done(all);
        picture
    };
    let scenes = show.scenes().par_iter();
    scenes.map(|scene| (0..scene.frames.0).into_par_iter().map(|frame| drawn(scene, frame)).collect()).collect()
}

/// One frame of a scene as the viewer is to see it, live values at their samples: dark while the display is off.
pub fn draw(show: &Show, scene: &Scene, frame: u32) -> Bitmap {
    draw_in_state(show, scene, frame, &show.sample_state(frame))
}

/// The same in a state of the live values.
pub fn draw_in_state(show: &Show, scene: &Scene, frame: u32, state: &LiveState) -> Bitmap {
    if scene.is_off(moment(show, frame).seconds) {
        let (width, height) = show.view_size();
        return Bitmap::new(width, height);
    }
    draw_layers(show, &scene.layers, frame, state)
}

/// The picture of some layers of a scene in a frame and a state of the live values.
pub fn draw_layers(show: &Show, layers: &[Layer], frame: u32, state: &LiveState) -> Bitmap {
    let (moment, (width, height)) = (moment(show, frame), show.view_size());
    let mut picture = Ink::new(width, height);
    for layer in layers {
        lay(show, &in_state(layer, state), moment, &mut picture);
    }
    picture.inside
}

/// Returns the ink of a layer in a frame of its scene, with live values at their samples. `None` while the layer is hidden, or if
/// it has no ink.
pub fn layer_ink(show: &Show, layer: &Layer, frame: u32) -> Option<Ink> {
    layer_ink_in_state(show, layer, frame, &show.sample_state(frame))
}

/// The same in a state of the live values.
pub fn layer_ink_in_state(show: &Show, layer: &Layer, frame: u32, state: &LiveState) -> Option<Ink> {
    let (width, height) = show.view_size();
    let layer = &in_state(layer, state);
    Some(ink(show, layer, own_moment(layer, moment(show, frame))?, &Ink::new(width, height)))
}

/// The layer in a state of the live values.
fn in_state<'l>(layer: &'l Layer, state: &LiveState) -> Cow<'l, Layer> {
    if layer.follows.is_empty() { Cow::Borrowed(layer) } else { Cow::Owned(layer.in_state(state)) }
}

/// Lays a layer on what is there already; the moment's seconds count from the start of the scene or group.
pub fn lay(show: &Show, layer: &Layer, moment: LayerMoment, picture: &mut Ink) {
    let Some(moment) = own_moment(layer, moment) else { return };
    if let Some(bent) = bend(&layer.drawing, moment, &picture.inside) {
        picture.inside = bent;
        return;
    }
    let ink = ink(show, layer, moment, picture);
    match layer.mode {
        Mode::Paint => picture.inside.unite(&ink.inside),
        Mode::Erase => picture.inside.clear(&ink.inside),
        Mode::Invert => picture.inside.toggle(&ink.inside),
    }
    picture.outside += ink.outside;
}

/// The moment of a frame by its scene's clock.
pub(super) fn moment(show: &Show, frame: u32) -> LayerMoment {
    let (width, height) = show.view_size();
    let seconds = show.frame_rate().seconds_at(frame);
    LayerMoment { width: width.cast_signed(), height: height.cast_signed(), seconds, moved: (0, 0) }
}

/// The moment by the layer's own clock; `None` while it is not shown.
pub(super) fn own_moment(layer: &Layer, moment: LayerMoment) -> Option<LayerMoment> {
    let seconds = moment.seconds + SECONDS_TOLERANCE;
    if seconds < layer.from || seconds >= layer.until {
        return None;
    }
    let since = (moment.seconds - layer.from).max(0.0);
    let hidden =
        layer.blink.is_some_and(|blink| remainder(since, blink.on + blink.off) >= blink.on - SECONDS_TOLERANCE);
    let shown = layer.shown.as_ref().is_none_or(|shown| value_at(shown, since) >= SHOWN_FROM);
    (shown && !hidden).then_some(LayerMoment { seconds: since, ..moment })
}

/// The ink of a layer by its own clock, within the clips of what it is laid on and its own.
pub(super) fn ink(show: &Show, layer: &Layer, moment: LayerMoment, on: &Ink) -> Ink {
    let mut ink = clipped(layer, moment, on);
    mark(show, &layer.drawing, moment, &mut ink);
    ink
}

/// No ink yet, within the clips of what a layer is laid on and its own.
pub(super) fn clipped(layer: &Layer, moment: LayerMoment, on: &Ink) -> Ink {
    let mut ink = on.fresh();
    match &layer.clip {
        Some(Clip::Window { at, size }) => ink.clip(moment.sized(at, size)),
        Some(Clip::Disc { at, radius }) => ink.clip_disc(moment.point(at), pixels_at(radius, moment.seconds)),
        None => {}
    }
    ink
}
