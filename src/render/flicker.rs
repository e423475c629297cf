//! The noise of a layer whose area does not move, as the player generates it.

use super::frames::{moment, own_moment};
use super::ink::Area;
use super::layers::nature::{noise_phase, noise_seed};
use crate::show::{Drawing, Layer, Show};
use crate::whole::limited;

/// Noise of grains of one pixel over an area, in the viewer's space.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flicker {
    pub area: Area,
    pub seed: u16,
    /// The phase of each frame; 0 while the layer is not shown.
    pub phases: Vec<u16>,
}

/// The noise of a layer at some frames of its scene, if a player can make it.
pub fn flicker(show: &Show, layer: &Layer, frames: &[usize]) -> Option<Flicker> {
    let Drawing::Noise(noise) = &layer.drawing else { return None };
    if noise.grain > 1 || layer.clip.is_some() || !layer.follows.is_empty() {
        return None;
    }
    let (mut areas, mut phases) = (Vec::new(), Vec::new());
    for frame in frames {
        let moment = own_moment(layer, moment(show, limited(*frame)));
        areas.extend(moment.map(|moment| moment.sized(&noise.at, &noise.size)));
        phases.push(moment.map_or(0, |moment| noise_phase(noise, moment.seconds)));
    }
    areas.dedup();
    let [area] = areas[..] else { return None };
    Some(Flicker { area, seed: noise_seed(noise), phases })
}
