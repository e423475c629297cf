//! Each kind of layer as ink at a moment; one kind or family a file.

mod chart;
mod cover;
mod figure;
mod glitch;
pub mod group;
mod lettering;
mod live_text;
mod meter;
pub mod nature;
mod number;
mod pattern;
mod picture;
mod ring;
mod sprite;
pub mod sweep;
mod text;

use super::Bitmap;
use super::ink::Ink;
use super::place::LayerMoment;
use crate::show::{Drawing, Show};

/// Marks what a layer draws at a moment.
pub fn mark(show: &Show, drawing: &Drawing, moment: LayerMoment, ink: &mut Ink) {
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
        Drawing::Picture(layer) => picture::picture(show, layer, moment, ink),
        Drawing::Counter(layer) => number::counter(show, layer, moment, ink),
        Drawing::Odometer(layer) => number::odometer(show, layer, moment, ink),
        Drawing::Countdown(layer) => number::countdown(show, layer, moment, ink),
        Drawing::LiveText(layer) => live_text::live_text(show, layer, moment, ink),
        Drawing::Status(layer) => number::status(show, layer, moment, ink),
        Drawing::Arc(layer) => ring::arc(layer, moment, ink),
        Drawing::Rings(layer) => ring::rings(layer, moment, ink),
        Drawing::Dial(layer) => ring::dial(layer, moment, ink),
        Drawing::Iris(layer) => cover::iris(layer, moment, ink),
        Drawing::Border(layer) => pattern::border(layer, moment, ink),
        Drawing::Stripes(layer) => pattern::stripes(layer, moment, ink),
        Drawing::Grid(layer) => pattern::grid(layer, moment, ink),
        Drawing::ScanLine(layer) => pattern::scan_line(layer, moment, ink),
        Drawing::Meter(layer) => meter::meter(layer, moment, ink),
        Drawing::Steps(layer) => meter::steps(layer, moment, ink),
        Drawing::Chart(layer) => chart::chart(layer, moment, ink),
        Drawing::Stars(layer) => nature::stars(layer, moment, ink),
        Drawing::Terrain(layer) => nature::terrain(layer, moment, ink),
        Drawing::Noise(layer) => nature::noise(layer, moment, ink),
        Drawing::Wipe(layer) => cover::wipe(layer, moment, ink),
        Drawing::Dissolve(layer) => cover::dissolve(layer, moment, ink),
        Drawing::Shutter(layer) => cover::shutter(layer, moment, ink),
        Drawing::Group(layer) => group::group(show, layer, moment, ink),
        // It has no ink; it bends what lies below.
        Drawing::Glitch(_) => {}
    }
}

/// Returns the picture below a layer that distorts it. `None` for a layer that has ink instead.
pub fn bend(drawing: &Drawing, moment: LayerMoment, below: &Bitmap) -> Option<Bitmap> {
    match drawing {
        Drawing::Glitch(layer) => Some(glitch::glitch(layer, moment, below)),
        _ => None,
    }
}
