//! The dense profile: the player keeps a copy of the picture, and each frame is a stream of choices that decision trees predict.

mod assemble;
mod choices;
mod coder;
mod leaves;
mod scene_code;
mod sighting;
mod story;
mod tree;
mod tree_code;
mod witness;

pub use assemble::{DenseReel, compile_dense};
pub use sighting::{Sighting, sighting};
pub use story::{Story, story};
pub use tree_code::Glass;
