//! A show with one layer at another place, to compute what this would save.

use super::layers::Group;
use super::{Drawing, Layer, Mode, SceneId, Show, Track};

impl Show {
    /// The show with a layer of a scene moved to the right and down. Unchanged if there is no such layer.
    pub(crate) fn with_layer_moved(&self, scene: SceneId, layer: usize, (right, down): (i32, i32)) -> Self {
        let mut show = self.clone();
        if let Some(own) = show.scenes.get_mut(scene.0).and_then(|scene| scene.layers.get_mut(layer)) {
            *own = moved(own, (right, down));
        }
        show
    }
}

/// The layer in a group that is moved: its times and clips go with it, and how its ink meets what lies below is the group's.
fn moved(layer: &Layer, (right, down): (i32, i32)) -> Layer {
    let inner = Layer { mode: Mode::Paint, ..layer.clone() };
    let group = Group {
        layers: vec![inner],
        x: Track::still(f64::from(right)),
        y: Track::still(f64::from(down)),
        stagger_seconds: 0.0,
        repeat_seconds: 0.0,
        mask: Vec::new(),
    };
    Layer {
        from: 0.0,
        until: f64::INFINITY,
        blink: None,
        clip: None,
        shown: None,
        drawing: Drawing::Group(group),
        ..layer.clone()
    }
}
