//! The sweep of a scene whose beam turns about a fixed pixel, so that a player can predict what it lights.

use super::frames::{moment, own_moment};
use super::layers::sweep;
use super::shape::WHOLE_TURN;
use super::track::pixels_at;
use crate::show::{Drawing, Layer, Scene, Show};

/// A beam that turns without end, as the viewer sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TurningSweep {
    pub centre: (i32, i32),
    /// Length of the beam in pixels.
    pub radius: i32,
    /// How many bearings behind the beam a pixel stays lit, by its row and column modulo 4.
    pub limits: [[u8; 4]; 4],
    /// Where it points at each frame, in 1/256 of a turn clockwise from the top; `None` while it is not shown.
    pub directions: Vec<Option<u8>>,
}

/// The widest beam of a scene that turns about a fixed pixel with a fixed radius.
pub fn turning(show: &Show, scene: &Scene) -> Option<TurningSweep> {
    let beams = scene.layers.iter().filter_map(|layer| turning_layer(show, scene, layer));
    beams.max_by_key(|beam| beam.radius)
}

fn turning_layer(show: &Show, scene: &Scene, layer: &Layer) -> Option<TurningSweep> {
    let Drawing::Sweep(sweep) = &layer.drawing else { return None };
    if sweep.arc_degrees < WHOLE_TURN {
        return None;
    }
    let (mut places, mut directions) = (Vec::new(), Vec::new());
    for frame in 0..scene.frames.0 {
        let moment = own_moment(layer, moment(show, frame));
        directions.push(moment.map(|moment| sweep::direction(sweep, moment.seconds)));
        places.extend(moment.map(|moment| (moment.point(&sweep.at), pixels_at(&sweep.radius, moment.seconds))));
    }
    places.dedup();
    let [(centre, radius)] = places[..] else { return None };
    let limits = [0, 1, 2, 3].map(|y| [0, 1, 2, 3].map(|x| sweep::limit(sweep, x, y)));
    Some(TurningSweep { centre, radius, limits, directions })
}
