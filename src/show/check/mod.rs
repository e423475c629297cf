//! Checks of the show as a whole, once every part is read.

mod graph;

pub use graph::check_graph;
