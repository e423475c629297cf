//! The show: read from a script, checked as a whole, and from then on relied upon.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "pixels, pages, frames and bytes of small displays fit in every type"
)]

mod check;
mod contrast;
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
mod moved;
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

pub(crate) use check::{cannot_be_left, reachable};
pub(crate) use contrast::Contrast;
pub(crate) use course::remainder;
pub use course::value_at;
pub(crate) use device::Device;
pub use following::LiveId;
pub(crate) use following::{Following, LiveValue};
pub use lamp::Lamp;
pub(crate) use layer::{Blink, Clip, Drawing, Layer};
pub use layer::{KINDS, Mode};
pub(crate) use layers::*;
pub(crate) use lettering::Lettering;
pub(crate) use live::{Align, LiveField};
pub use load::load;
pub(crate) use load::{load_at, script_tree};
pub(crate) use photo::Photo;
pub(crate) use place::{Anchor, Position, Side, Size};
pub(crate) use power::{Cell, Draw, Load, Power, Regulator, Stay};
pub use read::{COMMON, FieldRow, Kind};
pub use reference::{Construction, construction, construction_names, constructions};
pub use scene::*;
pub use show::{Profile, Show};
pub(crate) use show::{Room, ShowSpans};
pub(crate) use signal::{ChartStyle, ClockForm, Dither, Signal, WaveForm};
pub use threshold::{Threshold, ThresholdSide, threshold_table};
pub use track::Ease;
pub(crate) use track::{Curve, Key, Slow, Track};
