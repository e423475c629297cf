//! A reel that starts with another scene, so that each scene can be played from power-up.

use crate::player::header::HEADER_START;
use crate::show::SceneId;
use crate::whole::limited;

/// The bytes of a reel, with this scene as the one that it starts with. A reel without a header stays as it is.
pub fn starting_with(reel: &[u8], scene: SceneId) -> Vec<u8> {
    let mut bytes = reel.to_vec();
    if let Some(start) = bytes.get_mut(usize::from(HEADER_START)) {
        *start = limited(scene.0);
    }
    bytes
}
