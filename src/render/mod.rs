//! Drawing: pictures of pixels and the layers of a scene evaluated at a frame; knows nothing of pages or buses.

mod bitmap;
mod chance;
mod dither;
mod flicker;
mod frames;
mod ink;
mod layers;
mod live;
mod place;
mod shape;
mod track;
mod turning;

pub use bitmap::Bitmap;
pub use dither::{diffused, dithered, ordered};
pub use flicker::{Flicker, flicker};
pub use frames::{draw, draw_at_steps, layer_ink, layer_ink_at_steps, render, render_with_progress};
pub use ink::{Area, Ink};
pub use live::{Cells, glyph, with_samples, write_live};
pub use turning::{Turning, turning};
