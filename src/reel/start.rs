//! Changes the start scene of a reel, so that each scene can be played from power-up.

use crate::player::header::HEADER_START;
use crate::show::SceneId;
use crate::whole::limited;

/// Returns the reel with this scene as its start scene. A reel without a header is returned unchanged.
pub fn starting_with(reel: &[u8], scene: SceneId) -> Vec<u8> {
    let mut bytes = reel.to_vec();
    if let Some(start) = bytes.get_mut(usize::from(HEADER_START)) {
        *start = limited(scene.0);
    }
    bytes
}
