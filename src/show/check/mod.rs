//! Checks of whole show, once every part is read.

mod glass;
mod graph;

pub use glass::check_glass;
pub use graph::{cannot_be_left, check_graph, reachable};
