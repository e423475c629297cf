//! The show: read from a script, checked as a whole, and from then on relied upon.

mod layer;
mod scene;

pub use layer::*;
pub use scene::*;
