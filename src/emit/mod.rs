//! Firmware's files: shows and their player in C and in Rust, bare arrays, Intel HEX, and figures as JSON; text and bytes only.

mod arrays;
mod c;
mod config;
mod firmware;
mod font;
mod hex;
mod json;
mod lamps;
mod library;
mod namer;
mod needs;
mod record;
mod rust;
mod sketch;
mod sources;
mod text;
mod times;

pub use arrays::{ArrayFile, Language, frames_file};
pub use c::c;
pub(crate) use config::{C_CONFIG, read_config};
pub(crate) use firmware::Section;
pub use firmware::{CueTime, Firmware, FirmwareField, FirmwareLamp, FirmwareLive, SceneTime};
pub use font::font_file;
pub(crate) use hex::intel_hex;
pub(crate) use json::json;
pub(crate) use library::{library_name, manifests};
pub(crate) use needs::Needs;
pub use record::Record;
pub use rust::rust;
pub(crate) use sketch::{SKETCH_WRITE_LIMIT, sketch, sketch_name};
pub use sources::{SourceFile, firmware_sources};
pub use times::cue_sheet;
