//! The show: read from a script, checked as a whole, and from then on relied upon.

mod check;
mod course;
mod device;
mod expand;
mod following;
mod lamp;
mod layer;
mod layers;
mod lettering;
mod live;
mod load;
mod natural;
mod photo;
mod place;
mod power;
mod read;
mod reference;
mod scene;
#[allow(clippy::module_inception, reason = "the show is what the module is about")]
mod show;
mod signal;
mod threshold;
mod track;

pub use check::{cannot_be_left, reachable};
pub use course::{eased, remainder, value_at};
pub use device::Device;
pub use following::{Following, LiveId, LiveValue};
pub use lamp::Lamp;
pub use layer::{Blink, Clip, Drawing, KINDS, Layer, Mode};
pub use layers::*;
pub use lettering::Lettering;
pub use live::{Align, LiveField};
pub use load::{load, load_at, script_tree};
pub use photo::Photo;
pub use place::{Anchor, Position, Side, Size};
pub use power::{Cell, Draw, Load, Power, Regulator, Stay};
pub use read::{COMMON, FieldRow, Kind};
pub use reference::{Construction, construction, construction_names, constructions};
pub use scene::*;
pub use show::{Profile, Room, Show, ShowSpans};
pub use signal::{ChartStyle, ClockForm, Dither, Signal, WaveForm};
pub use threshold::{Threshold, ThresholdSide, threshold_table};
pub use track::{Curve, Ease, Key, Slow, Track};
