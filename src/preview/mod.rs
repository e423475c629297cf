//! Pictures of what the display shows: an animated GIF, a PNG filmstrip, and rows of blocks for a terminal; bytes only, nothing is written here.

mod course;
mod events;
mod filmstrip;
mod gif;
mod live_check;
mod look;
mod of_panel;
mod photo;
mod raster;
mod rehearsal;
mod route;
mod scenes;
mod shown;
mod stage;
mod terminal;
mod tone;

pub use events::Events;
pub use filmstrip::filmstrip;
pub use gif::{SHORTEST_DELAY, delays, gif, gif_with_progress};
pub use live_check::check_live;
pub use look::{BezelOpening, Look};
pub use photo::{photo, photo_pitch};
pub use rehearsal::{Rehearsal, check_scenes, check_scenes_with_progress, rehearse, rehearse_events};
pub use scenes::{scenes_shown, start_shown};
pub use shown::{Shown, merged, slowed};
pub use stage::{Played, Stage};
pub use terminal::{eight_dots, half_blocks};
pub use tone::{Material, Surroundings, Tones, materials};
