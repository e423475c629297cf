//! Pictures of what the glass shows: an animated GIF, a PNG filmstrip, and rows of blocks for a terminal; bytes only, nothing is written here.

mod filmstrip;
mod gif;
mod look;
mod of_panel;
mod raster;
mod shown;
mod terminal;

pub use filmstrip::filmstrip;
pub use gif::{SHORTEST_DELAY, delays, gif};
pub use look::{Look, Opening};
pub use shown::{Shown, merged};
pub use terminal::half_blocks;
