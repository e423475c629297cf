//! Checks of whole show, once every part is read.

mod graph;
mod panel;

pub use graph::{cannot_be_left, check_graph, reachable};
pub use panel::check_panel;
