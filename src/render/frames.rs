//! Whole frames: the layers of a scene laid over one another at a frame's time, in the viewer's space.

use super::Bitmap;
use super::ink::Ink;
use super::layers::mark;
use super::place::Moment;
use super::track::remainder;
use crate::show::{Layer, Mode, Scene, Show};
use rayon::prelude::*;

/// Times closer than this count as equal.
const SECONDS_TOLERANCE: f64 = 1e-9;

/// Every frame of every scene, in the show's order.
pub fn render(show: &Show) -> Vec<Vec<Bitmap>> {
    let scenes = show.scenes().par_iter();
    scenes.map(|scene| (0..scene.frames.0).into_par_iter().map(|frame| draw(show, scene, frame)).collect()).collect()
}

/// One frame of a scene.
pub fn draw(show: &Show, scene: &Scene, frame: u32) -> Bitmap {
    let (width, height) = show.view_size();
    let mut picture = Bitmap::new(width, height);
    for layer in &scene.layers {
        if let Some(ink) = layer_ink(show, layer, frame) {
            match layer.mode {
                Mode::Paint => picture.unite(&ink.inside),
                Mode::Erase => picture.clear(&ink.inside),
                Mode::Invert => picture.toggle(&ink.inside),
            }
        }
    }
    picture
}

/// What a layer marks at a frame of its scene; `None` while it is not shown.
pub fn layer_ink(show: &Show, layer: &Layer, frame: u32) -> Option<Ink> {
    let seconds = show.frame_rate().seconds_at(frame);
    if seconds + SECONDS_TOLERANCE < layer.from || seconds + SECONDS_TOLERANCE >= layer.until {
        return None;
    }
    let since = (seconds - layer.from).max(0.0);
    if layer.blink.is_some_and(|blink| remainder(since, blink.on + blink.off) >= blink.on - SECONDS_TOLERANCE) {
        return None;
    }
    let (width, height) = show.view_size();
    let mut ink = Ink::new(width, height);
    let moment = Moment { width: width as i32, height: height as i32, seconds: since };
    mark(show, &layer.drawing, moment, &mut ink);
    Some(ink)
}
