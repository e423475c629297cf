//! The layers of a scene, each drawn separately, in memory order.

use super::carrier::NoAreas;
use super::cut::PixelRectangle;
use super::history::HistoryInk;
use super::live::{LiveInk, MOST_DRAWN, MOST_PICTURES, combinations, steps_at};
use super::noise::NoiseInk;
use crate::panel::{Mounting, Panel};
use crate::player::live::MOST_PARTS;
use crate::reel::compile::columns;
use crate::reel::memory::Rows;
use crate::render::{Bitmap, Ink, draw_layers, flicker, layer_ink, layer_ink_in_state, layer_parts};
use crate::show::{Drawing, LiveState, Mode, Scene, Show};
use crate::whole::limited;
use rayon::prelude::*;

/// A picture of ink in memory order: for each visible column its rows, the top one in bit 0.
pub type InkColumns = Vec<Rows>;

/// The ink of a layer, frame by frame.
#[derive(Clone, Debug)]
pub struct LayerInk {
    pub mode: Mode,
    /// The ink in each frame. Live values are at their samples.
    pub frames: Vec<InkColumns>,
    /// The ink at all steps, if it follows live values.
    pub live: Option<LiveInk>,
    /// Its noise, if the player can compute it.
    pub noise: Option<NoiseInk>,
    /// Its history, if it shows the latest values of a live value.
    pub history: Option<HistoryInk>,
    /// Its parts that move on their own; empty if it has none.
    pub parts: Vec<LayerInk>,
}

impl LayerInk {
    /// The ink of both, frame by frame.
    pub fn joined_with(&self, other: &Self) -> Self {
        let both = |(one, other): (&InkColumns, &InkColumns)| one.iter().zip(other).map(|(a, b)| a | b).collect();
        let frames = self.frames.iter().zip(&other.frames).map(both).collect();
        Self { frames, ..Self::one(self.mode) }
    }

    /// Whether it follows live values.
    pub fn is_live(&self) -> bool {
        self.live.is_some() || self.history.is_some()
    }

    /// A layer without parts, and without frames yet.
    pub fn one(mode: Mode) -> Self {
        Self { mode, frames: Vec::new(), live: None, noise: None, history: None, parts: Vec::new() }
    }
}

/// The layers of a scene, the lowest first.
#[derive(Clone, Debug)]
pub struct SceneInk {
    pub layers: Vec<LayerInk>,
    /// For each frame, whether the whole picture is inverted after all layers are drawn.
    pub inverted: Vec<bool>,
}

impl SceneInk {
    /// Draws the layers of a scene. `kept` has, for each frame, the number of the frame whose picture is in memory. The uppermost layer
    /// that shifts others has the picture of all layers up to it. If the display `inverts` on its own, uppermost layers that only invert the
    /// whole picture are not drawn. An error if a layer is shifted and follows live values.
    pub fn of(show: &Show, scene: &Scene, kept: &[usize], inverts: bool) -> Result<Self, NoAreas> {
        let bends = scene.layers.iter().rposition(|layer| matches!(layer.drawing, Drawing::Glitch(_)));
        let bent = &scene.layers[..bends.map_or(0, |at| at + 1)];
        if bent.iter().any(|layer| !layer.follows.is_empty()) {
            return Err(NoAreas::Bends);
        }
        let (panel, mounting) = (show.panel(), show.mounting());
        let (width, height) = show.view_size();
        let blank = Bitmap::new(width, height);
        let seen = |ink: Option<Ink>| in_memory(panel, mounting, ink.as_ref().map_or(&blank, |ink| &ink.inside));
        let layer = |number: usize| {
            let layer = &scene.layers[number];
            if number < bent.len() {
                let is_last = number + 1 == bent.len();
                let frame = |frame: &usize| {
                    is_last.then(|| draw_layers(show, bent, limited(*frame), &show.sample_state(limited(*frame))))
                };
                let frames =
                    kept.iter().map(|at| in_memory(panel, mounting, &frame(at).unwrap_or_else(|| blank.clone())));
                return Ok(LayerInk { frames: frames.collect(), ..LayerInk::one(Mode::Paint) });
            }
            let history = HistoryInk::of(show, scene, number, kept).transpose()?;
            let live = (history.is_none() && !layer.follows.is_empty()).then(|| live_ink(show, (scene, number), kept));
            let frames = kept.iter().map(|frame| seen(layer_ink(show, layer, limited(*frame)))).collect();
            let mut parts: Vec<LayerInk> = Vec::new();
            for frame in kept {
                let inks = layer_parts(show, layer, limited(*frame));
                parts.resize(inks.len(), LayerInk::one(layer.mode));
                parts.iter_mut().zip(inks).for_each(|(part, ink)| part.frames.push(seen(ink)));
            }
            parts.truncate(if parts.len() > 1 { parts.len() } else { 0 });
            let noise = flicker(show, layer, kept).and_then(|noise| NoiseInk::of(&noise, panel, mounting));
            Ok(LayerInk { mode: layer.mode, frames, live: live.transpose()?, noise, history, parts })
        };
        let layers: Vec<Result<LayerInk, NoAreas>> = (0..scene.layers.len()).into_par_iter().map(layer).collect();
        let mut layers: Vec<LayerInk> = layers.into_iter().collect::<Result<_, _>>()?;
        let mut inverted = vec![false; kept.len()];
        let all = crate::reel::memory::visible(panel.height);
        while let Some(top) = layers.last().filter(|layer| inverts && layer.mode == Mode::Invert && !layer.is_live()) {
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

    /// The same scene without parts of layers.
    pub fn in_one_piece(&self) -> Self {
        let mut whole = self.clone();
        whole.layers.iter_mut().for_each(|layer| layer.parts.clear());
        whole
    }
}

/// Draws a layer of a scene at all steps of its live values and in all frames.
fn live_ink(show: &Show, (scene, number): (&Scene, usize), kept: &[usize]) -> Result<LiveInk, NoAreas> {
    let layer = &scene.layers[number];
    let values: Vec<(usize, usize)> =
        layer.follows.iter().map(|value| (value.0, usize::from(show.live()[value.0].steps))).collect();
    let (all, times) = (combinations(&values), if layer.still { 1 } else { kept.len() });
    if values.len() > MOST_PARTS {
        return Err(NoAreas::ManyValues { layer: number, values: values.len() });
    }
    let (panel, mounting) = (show.panel(), show.mounting());
    let (width, height) = show.view_size();
    let blank = Bitmap::new(width, height);
    let picture = |frame: usize, combination: usize| {
        let mut steps = vec![0; show.live().len()];
        for ((value, _), step) in values.iter().zip(steps_at(&values, combination)) {
            steps[*value] = limited(step);
        }
        let ink = layer_ink_in_state(show, layer, limited(frame), &LiveState::at_steps(steps));
        in_memory(panel, mounting, ink.as_ref().map_or(&blank, |ink| &ink.inside))
    };
    if all > MOST_PICTURES || all.saturating_mul(times) > MOST_DRAWN {
        let ends = [0, all / 2, all - 1].map(|at| picture(kept[0], at));
        let bytes = cells(&ends).saturating_mul(all);
        return Err(NoAreas::ManySteps { layer: number, pictures: all, frames: times, bytes });
    }
    let frame = |frame: &usize| (0..all).into_par_iter().map(|at| picture(*frame, at)).collect::<Vec<_>>();
    if layer.still {
        let pictures = kept.first().map_or(Vec::new(), frame);
        return Ok(LiveInk { values, pictures, times: vec![0; kept.len()] });
    }
    let frames = kept.iter().map(frame).collect();
    Ok(LiveInk::of(values, frames))
}

/// The number of cells of the rectangle around the ink of all pictures.
fn cells(pictures: &[InkColumns]) -> usize {
    let mut ink = pictures.first().cloned().unwrap_or_default();
    pictures.iter().for_each(|picture| ink.iter_mut().zip(picture).for_each(|(all, bits)| *all |= bits));
    PixelRectangle::around(&ink).map_or(0, |around| around.columns.len() * around.pages().len())
}

pub fn in_memory(panel: &Panel, mounting: &Mounting, picture: &Bitmap) -> InkColumns {
    columns(panel, mounting, picture).bits().to_vec()
}
