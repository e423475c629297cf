//! A contrast that follows a live value, and its table in the reel.

use super::encode::Layout;
use crate::show::{Scene, Show};
use crate::whole::limited;

/// The number of the live value that the contrast of a scene follows, and the contrast at each of its steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LiveContrast {
    pub value: u8,
    pub contrasts: Vec<u8>,
}

impl LiveContrast {
    /// That of a scene. `None` if its contrast follows no live value.
    pub fn of(show: &Show, scene: &Scene) -> Option<Self> {
        let lowest = show.panel().controller.contrast_lowest;
        let (value, contrasts) = scene.contrast.at_steps()?;
        Some(Self { value: limited(value.0), contrasts: contrasts.into_iter().map(|one| one.max(lowest)).collect() })
    }
}

/// Appends the contrast tables of scenes to a reel, equal ones once. Returns the offset of each scene's table.
pub fn put_contrasts(reel: &mut Vec<u8>, layout: &mut Layout, scenes: &[Option<&LiveContrast>]) -> Vec<u16> {
    let mut known: Vec<(&[u8], u16)> = Vec::new();
    let before = reel.len();
    let mut places = Vec::with_capacity(scenes.len());
    for scene in scenes {
        let Some(contrasts) = scene.map(|dimming| dimming.contrasts.as_slice()) else {
            places.push(0);
            continue;
        };
        let place = known.iter().find(|(other, _)| *other == contrasts).map(|(_, place)| *place).unwrap_or_else(|| {
            let place = limited(reel.len());
            reel.extend(contrasts);
            known.push((contrasts, place));
            place
        });
        places.push(place);
    }
    layout.contrast_bytes = reel.len() - before;
    places
}
