//! The show: read from a script, checked as a whole, and from then on relied upon.

mod layer;
mod scene;
#[allow(clippy::module_inception, reason = "the show is what the module is about")]
mod show;

pub use layer::*;
pub use scene::*;
pub use show::*;
