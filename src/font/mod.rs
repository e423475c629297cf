//! Fonts: glyph sheets checked into glyphs with metrics, set into lines, judged by numbers; knows nothing of controllers.
//!
//! A font is a RON file (see [`Description`]) beside a PNG sheet. [`Font::load`] reads both and reports every fault at
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
pub use canvas::{Canvas, Colour, Dot};
pub use compare::{Likeness, likeness};
pub use cut::{CellInk, Cut, cut};
pub use describe::{Advance, Description, Fallback};
pub use face::{Font, GlyphId, Metrics};
pub use glyph::Glyph;
pub use grid::{Grid, Spot};
pub use ink::{InkRule, Mark, Polarity};
pub use layout::{Line, Set};
pub use names::{code, name, wrapped};
pub use row::Row;
pub use shipped::{SHIPPED, Shipped, shipped};
pub use symbol::{Symbol, is_name, symbols};
