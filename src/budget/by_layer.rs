//! Flash by layer: each frame's bytes shared out among the layers by what they change in it.

use super::flash::TITLE;
use super::study::Study;
use super::{Budget, Figure};
use crate::reel::{Reel, SceneLayout, shared_out};
use crate::show::{Layer, Scene};
use std::collections::BTreeMap;

const SHARED: &str = "estimated by drawing each layer alone; removing a layer can save more or less than this, because repeated content is stored once";
const FORMULA: &str = "sum over all frames: bytes of the frame × display bytes that the layer changes in it / display bytes that all layers change";

/// Each scene's bytes shared out among its layers.
pub fn by_layer(reel: &Reel, studies: &[Vec<Study<'_>>]) -> Vec<Figure> {
    let mut figures = Vec::new();
    for (studies, layout) in studies.iter().zip(&reel.layout.scenes) {
        for (study, part) in studies.iter().zip(parts(layout, studies)) {
            let figure = Figure::new(layer_flash_name(study.scene, study.layer), part as f64, "B");
            figures.push(figure.from(FORMULA, SHARED).rough().detail());
        }
    }
    figures
}

/// The bytes of each layer. Frames in which no layer changes anything, and what belongs to no frame, count by what the
/// layers change over all of the scene.
fn parts(layout: &SceneLayout, studies: &[Study<'_>]) -> Vec<usize> {
    let mut weights = vec![0.0; studies.len()];
    let mut placed = 0;
    for (frame, bytes) in layout.frames.iter().enumerate() {
        let cells = |study: &Study<'_>| study.cells.get(frame).copied().unwrap_or(0);
        let all: usize = studies.iter().map(cells).sum();
        if all > 0 {
            placed += bytes;
            for (weight, study) in weights.iter_mut().zip(studies) {
                *weight += (bytes * cells(study)) as f64 / all as f64;
            }
        }
    }
    let cells: Vec<usize> = studies.iter().map(|study| study.cells.iter().sum()).collect();
    let all = cells.iter().sum::<usize>().max(1) as f64;
    let rest = layout.all().saturating_sub(placed) as f64;
    weights.iter_mut().zip(cells).for_each(|(weight, cells)| *weight += rest * cells as f64 / all);
    shared_out(layout.all(), &weights)
}

/// The name of the figure that tells a layer's part of its scene's bytes.
fn layer_flash_name(scene: &Scene, layer: &Layer) -> String {
    format!("`{}` of scene {}", layer.name, scene.name)
}

/// The layers of a scene that take flash, with their bytes as the budgets tell them, the largest first.
pub fn layers_by_flash<'s>(scene: &'s Scene, budgets: &[Budget]) -> Vec<(&'s Layer, f64)> {
    let figures = budgets.iter().filter(|budget| budget.title == TITLE).flat_map(|budget| &budget.figures);
    let amounts: BTreeMap<&str, f64> = figures.map(|figure| (figure.name.as_str(), figure.value)).collect();
    let part = |layer: &'s Layer| amounts.get(layer_flash_name(scene, layer).as_str()).map(|bytes| (layer, *bytes));
    let mut parts: Vec<(&Layer, f64)> = scene.layers.iter().filter_map(part).filter(|part| part.1 > 0.0).collect();
    parts.sort_by(|one, other| other.1.total_cmp(&one.1));
    parts
}
