//! Fonts: reads glyph sheets, sets lines of text, and judges fonts by numbers. It knows nothing of controllers.
//!
//! A font is a RON file beside a PNG sheet. [`Font::load`] reads both and reports every fault at
//! its own cell and pixel; [`Font::layout`] sets a line.
mod bdf;
mod canvas;
mod compare;
mod cut;
mod describe;
mod face;
mod glyph;
mod grid;
mod ink;
pub mod judge;
mod layout;
mod load;
mod names;
pub mod proof;
mod row;
pub mod sheet;
mod shipped;
mod symbol;
#[cfg(test)]
mod tests;

pub use bdf::{from_bdf, to_bdf};
pub use canvas::Dot;
pub(crate) use canvas::RgbColour;
pub use compare::likeness;
pub(crate) use cut::cut;
pub(crate) use describe::{Advance, Description, Fallback};
pub(crate) use face::Metrics;
pub use face::{Font, GlyphId};
pub(crate) use glyph::Glyph;
pub(crate) use grid::{Grid, Spot};
pub(crate) use ink::{InkRule, Mark, Polarity};
pub(crate) use names::{code, name, wrapped};
pub(crate) use row::CellRow;
pub use shipped::SHIPPED;
pub(crate) use shipped::{Shipped, shipped};
pub(crate) use symbol::{Symbol, is_name, symbols};
