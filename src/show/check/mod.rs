//! Checks of whole show, once every part is read.

mod graph;

pub use graph::{cannot_be_left, check_graph, reachable};
