//! Drawing: pictures of pixels and the layers of a scene evaluated at a frame; knows nothing of pages or buses.

mod bitmap;
mod chance;
mod dither;
mod flicker;
mod frames;
mod ink;
mod layers;
mod live;
mod parts;
mod place;
mod shape;
mod track;
mod turning;

pub use bitmap::Bitmap;
pub use dither::diffused;
pub(crate) use flicker::{Flicker, flicker};
pub use frames::{draw, draw_in_state, layer_ink, render};
pub(crate) use frames::{draw_layers, layer_ink_in_state, render_with_progress};
pub(crate) use ink::{Area, Ink};
pub use live::write_live;
pub(crate) use live::{Cells, glyph, with_samples};
pub(crate) use parts::layer_parts;
pub(crate) use turning::{TurningSweep, turning};
