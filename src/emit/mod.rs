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

pub use arrays::{ArrayFile, Language, frames_file, page_bytes};
pub use c::{C, c};
pub use config::{C_CONFIG, read_config};
pub use firmware::{CueTime, Firmware, FirmwareField, FirmwareLamp, FirmwareLive, SceneTime, Section};
pub use font::font_file;
pub use hex::intel_hex;
pub use json::json;
pub use library::{library_name, manifests};
pub use namer::{Case, Namer};
pub use needs::{Needs, stem};
pub use record::Record;
pub use rust::rust;
pub use sketch::{SKETCH_WRITE_LIMIT, sketch, sketch_name};
pub use sources::{SourceFile, firmware_sources};
pub use times::cue_sheet;
