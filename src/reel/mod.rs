//! From frames to bytes: page memory, the cheapest transfers, instructions, and their encoding as a reel.

mod cost;
mod memory;
mod windows;

pub use cost::Cost;
pub use memory::{Columns, Look, Memory};
pub use windows::{Window, plan};
