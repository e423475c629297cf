//! The noise of a scene whose area stands still, so that a player can make it from the same numbers.

use super::Bitmap;
use super::frames::{draw, moment, own_moment};
use super::ink::Area;
use super::layers::nature;
use crate::show::{Drawing, Layer, Mode, Scene, Show};

/// Noise of grains of one pixel over an area, in the viewer's space.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flicker {
    pub area: Area,
    /// For each frame the number that the grains come of, and their share in 1/256; `None` while there is no noise, or only ink.
    pub grains: Vec<Option<(u16, u8)>>,
    /// For each frame the picture without it; dark where there are no grains.
    pub beneath: Vec<Bitmap>,
}

/// The largest noise of a scene that a player can make.
pub fn flicker(show: &Show, scene: &Scene) -> Option<Flicker> {
    let noises =
        scene.layers.iter().enumerate().filter_map(|(at, layer)| Some((at, flickering_layer(show, scene, layer)?)));
    let (at, noise) = noises.max_by_key(|(_, noise)| noise.area.width * noise.area.height)?;
    let mut rest = scene.clone();
    rest.layers.remove(at);
    let (width, height) = show.view_size();
    let beneath = |(frame, grains): (usize, &Option<(u16, u8)>)| match grains {
        Some(_) => draw(show, &rest, frame as u32),
        None => Bitmap::new(width, height),
    };
    let beneath = noise.grains.iter().enumerate().map(beneath).collect();
    Some(Flicker { beneath, ..noise })
}

fn flickering_layer(show: &Show, scene: &Scene, layer: &Layer) -> Option<Flicker> {
    let Drawing::Noise(noise) = &layer.drawing else { return None };
    if noise.grain > 1 || layer.mode != Mode::Paint || layer.clip.is_some() {
        return None;
    }
    let (mut areas, mut grains) = (Vec::new(), Vec::new());
    for frame in 0..scene.frames.0 {
        let moment = own_moment(layer, moment(show, frame));
        areas.extend(moment.map(|moment| moment.sized(&noise.at, &noise.size)));
        grains.push(moment.and_then(|moment| {
            let (seed, density) = nature::grains(noise, moment.seconds);
            Some((seed, u8::try_from(density).ok()?))
        }));
    }
    areas.dedup();
    let [area] = areas[..] else { return None };
    Some(Flicker { area, grains, beneath: Vec::new() })
}
