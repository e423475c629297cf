//! Reading the script: each value by the table row of its field, with every fault at its own place.

mod apart;
mod context;
mod devices;
mod field;
mod following;
mod hardware;
mod kind;
mod lamps;
mod layer;
mod lettering;
mod live;
mod live_text;
mod names;
mod number;
mod off;
mod panel;
mod photo;
mod place;
mod power;
mod resources;
mod scene;
mod signal;
mod status;
mod thresholds;
mod track;
mod words;

pub use context::{Context, View};
pub use field::{FieldRow, FieldSlot, ReadField};
pub use hardware::{check_wires, read_bus, read_microcontroller, read_mounting, read_panel};
pub use kind::Kind;
pub(super) use kind::layer;
pub use lamps::read_lamps;
pub use layer::{COMMON, read_layers};
pub use lettering::note_lacking;
pub use names::Names;
pub use number::{Axis, Numeric};
pub use photo::read_photos;
pub use power::{read_day, read_power};
pub use resources::{
    MOST_FILES, MOST_NAMED, read_cue_names, read_fonts, read_pictures, read_scene_names, read_trigger_names,
};
pub use scene::{Usual, read_scene, read_trigger};
pub use thresholds::read_thresholds;
pub use words::word;
