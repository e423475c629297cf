//! Each kind of layer as ink at a moment; one kind or family a file.

mod figure;
mod lettering;
mod sprite;
mod sweep;
mod text;

use super::ink::Ink;
use super::place::Moment;
use crate::show::{Drawing, Show};

/// Marks what a layer draws at a moment.
pub fn mark(show: &Show, drawing: &Drawing, moment: Moment, ink: &mut Ink) {
    match drawing {
        Drawing::Text(layer) => text::text(show, layer, moment, ink),
        Drawing::Typed(layer) => text::typed(show, layer, moment, ink),
        Drawing::Roll(layer) => text::roll(show, layer, moment, ink),
        Drawing::Marquee(layer) => text::marquee(show, layer, moment, ink),
        Drawing::Rectangle(layer) => figure::rectangle(layer, moment, ink),
        Drawing::Line(layer) => figure::line(layer, moment, ink),
        Drawing::Circle(layer) => figure::circle(layer, moment, ink),
        Drawing::Bar(layer) => figure::bar(layer, moment, ink),
        Drawing::Sweep(layer) => sweep::sweep(layer, moment, ink),
        Drawing::Sprite(layer) => sprite::sprite(show, layer, moment, ink),
    }
}
