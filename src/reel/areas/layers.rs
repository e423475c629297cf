//! The layers of a scene, each drawn alone, in memory order.

use super::carrier::NoAreas;
use crate::panel::{Mounting, Panel};
use crate::reel::compile::columns;
use crate::reel::memory::Rows;
use crate::render::{Bitmap, layer_ink};
use crate::show::{Drawing, Layer, Mode, Scene, Show};
use rayon::prelude::*;

/// A picture of ink in memory order: for each visible column its rows, the top one in bit 0.
pub type InkColumns = Vec<Rows>;

/// What a layer marks, frame by frame.
#[derive(Clone, Debug)]
pub struct LayerInk {
    pub mode: Mode,
    pub frames: Vec<InkColumns>,
}

impl LayerInk {
    /// What both mark, frame by frame.
    pub fn joined_with(&self, other: &Self) -> Self {
        let both = |(one, other): (&InkColumns, &InkColumns)| one.iter().zip(other).map(|(a, b)| a | b).collect();
        Self { mode: self.mode, frames: self.frames.iter().zip(&other.frames).map(both).collect() }
    }
}

/// The layers of a scene, the lowest first.
#[derive(Clone, Debug)]
pub struct SceneInk {
    pub layers: Vec<LayerInk>,
    /// For each frame whether the whole picture is changed over, behind all layers.
    pub inverted: Vec<bool>,
}

impl SceneInk {
    /// The layers of a scene, of which `kept` tells for each frame the one whose picture memory holds; an error where a layer bends what
    /// lies below it.
    pub fn of(show: &Show, scene: &Scene, kept: &[usize]) -> Result<Self, NoAreas> {
        if scene.layers.iter().any(|layer| matches!(layer.drawing, Drawing::Glitch(_))) {
            return Err(NoAreas::Bends);
        }
        let (panel, mounting) = (show.panel(), show.mounting());
        let (width, height) = show.view_size();
        let blank = Bitmap::new(width, height);
        let ink = |layer: &Layer, frame: &usize| {
            let ink = layer_ink(show, layer, *frame as u32);
            in_memory(panel, mounting, ink.as_ref().map_or(&blank, |ink| &ink.inside))
        };
        let layer = |layer: usize| LayerInk {
            mode: scene.layers[layer].mode,
            frames: kept.iter().map(|frame| ink(&scene.layers[layer], frame)).collect(),
        };
        let mut layers: Vec<LayerInk> = (0..scene.layers.len()).into_par_iter().map(layer).collect();
        let mut inverted = vec![false; kept.len()];
        let all = crate::reel::memory::visible(panel.height);
        while let Some(top) = layers.last().filter(|layer| layer.mode == Mode::Invert) {
            let states =
                top.frames.iter().map(|ink| (ink.iter().all(|bits| *bits == all), ink.iter().all(|bits| *bits == 0)));
            let states: Vec<(bool, bool)> = states.collect();
            if states.iter().any(|(all, none)| !all && !none) {
                break;
            }
            inverted.iter_mut().zip(states).for_each(|(inverted, (all, _))| *inverted ^= all);
            layers.pop();
        }
        Ok(Self { layers, inverted })
    }
}

fn in_memory(panel: &Panel, mounting: &Mounting, picture: &Bitmap) -> InkColumns {
    columns(panel, mounting, picture).bits().to_vec()
}
