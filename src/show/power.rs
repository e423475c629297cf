//! What feeds the model and what draws on it, and how long each scene plays on a day.

use super::SceneId;
use crate::diag::Span;

/// The supply, and its loads other than the display.
#[derive(Clone, Debug, PartialEq)]
pub struct Power {
    pub cell: Cell,
    pub regulator: Regulator,
    /// The microcontroller's current; `None` if it is not given, and then a rough figure is used.
    pub microcontroller: Option<Draw>,
    pub loads: Vec<Load>,
}

/// A cell or a pack of cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    pub milliampere_hours: f64,
    /// Volts in the middle of a discharge.
    pub volts: f64,
    /// The part of the capacity that can be used, above 0, at most 1.
    pub usable: f64,
    pub span: Span,
}

/// The regulator between the cell and the loads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Regulator {
    /// Nothing.
    Direct,
    /// The current in is the current out and its own; the difference of the volts becomes heat.
    Linear { own_milliamperes: f64, most_milliamperes: f64 },
    /// The power out is the power in × efficiency.
    Switching { volts: f64, efficiency: f64, own_milliamperes: f64, most_milliamperes: f64 },
}

/// What the microcontroller draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    pub awake_milliamperes: f64,
    pub asleep_milliamperes: f64,
    /// The share of time awake, 0 to 1.
    pub awake: f64,
}

/// Something else that draws current, such as lamps or a sound module.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    pub name: String,
    pub milliamperes: f64,
    /// The share of its scenes' time that it is on, above 0, at most 1.
    pub share: f64,
    /// The scenes in which it is on; every scene when none is named.
    pub scenes: Vec<SceneId>,
}

impl Load {
    /// Whether it is on in a scene.
    pub fn on_in(&self, scene: SceneId) -> bool {
        self.scenes.is_empty() || self.scenes.contains(&scene)
    }
}

/// How long a scene plays on a day; the hours that no scene takes the model is switched off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stay {
    pub scene: SceneId,
    pub hours: f64,
}
