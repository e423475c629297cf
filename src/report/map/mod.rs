//! The map of a show: its scenes as boxes, what follows and what triggers lead to as arrows, drawn as SVG in our own layout.

mod draw;
mod graph;
mod layout;
mod order;
mod route;

use crate::show::Show;
use graph::Graph;
use maud::Markup;

/// The map as a separate file.
pub fn map(show: &Show) -> String {
    drawn(show).into_string() + "\n"
}

/// The map as a part of a page.
pub fn drawn(show: &Show) -> Markup {
    let graph = Graph::of(show);
    let layout = layout::layout(&graph);
    draw::draw(&graph, &layout)
}
