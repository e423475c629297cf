//! From frames to bytes: page memory, the cheapest transfers, instructions, and their encoding as a reel.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "pixels, pages, frames and bytes of small displays fit in every type"
)]

mod areas;
mod avoiding;
mod beam;
mod cheaper_places;
#[cfg(test)]
mod code_tests;
mod compile;
mod cost;
mod data;
mod dense;
mod densely;
mod dimming;
mod display;
mod display_states;
mod draft;
mod encode;
mod explain;
mod field_check;
mod fields;
mod film;
mod format;
mod generated;
mod instruction;
mod lamps;
mod lines;
mod listing;
mod memory;
mod motion;
pub(crate) mod operations;
mod part_sets;
mod prefetch;
mod profile;
mod replay;
mod roll;
mod round;
mod scene;
mod scene_code;
mod shares;
mod simulated_bus;
mod start;
mod step;
mod strips;
mod sweep;
mod tokens;
#[cfg(test)]
mod weight_tests;
mod windows;

pub(crate) use cheaper_places::{CheaperPlace, TouchedPages, cheaper_places};
pub use compile::{Reel, columns, compile_lean, planner};
pub use cost::Cost;
pub use densely::{compile_as_film, compile_densely};
pub use display::display_table;
pub(crate) use display::refresh_groups;
pub(crate) use draft::draft_reel;
pub(crate) use encode::SceneLayout;
pub use encode::{BACK, Header, IGNORED, LONGEST_REEL, Layout, REEL_VERSION, encode, joined, period};
pub(crate) use explain::{Share, explain};
pub use fields::FieldTable;
pub(crate) use fields::shares_bytes;
pub use format::format_page;
pub use instruction::LONGEST_GROUP;
pub use lamps::LampTable;
pub use listing::{ListedLine, list};
pub use memory::PageBitmap;
pub use profile::{Options, candidates};
pub use scene::{Next, Planned, SceneFrames, plan_scene};
pub(crate) use shares::shared_out;
pub(crate) use start::starting_with;
pub use step::Planner;
