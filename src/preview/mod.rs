//! Pictures of what the display shows: an animated GIF, a PNG filmstrip, and rows of blocks for a terminal; bytes only, nothing is written here.
mod course;
mod events;
mod filmstrip;
mod gif;
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a part of a count fits where the count does"
)]
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
pub use gif::gif;
pub(crate) use gif::gif_with_progress;
pub(crate) use live_check::check_live;
pub(crate) use look::BezelOpening;
pub use look::Look;
pub(crate) use photo::{photo, photo_pitch};
pub(crate) use rehearsal::check_scenes_with_progress;
pub use rehearsal::{Rehearsal, check_scenes, rehearse, rehearse_events};
pub(crate) use scenes::{scenes_shown, start_shown};
pub use shown::Shown;
pub(crate) use shown::slowed;
pub(crate) use stage::{Played, Stage};
pub(crate) use terminal::{eight_dots, half_blocks};
pub use tone::{Material, Surroundings, Tones, materials};
