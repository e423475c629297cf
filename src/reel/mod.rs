//! From frames to bytes: page memory, the cheapest transfers, instructions, and their encoding as a reel.

mod around;
mod atoms;
mod beam;
#[cfg(test)]
mod code_tests;
mod compile;
mod cost;
mod data;
pub mod dense;
mod densely;
mod encode;
mod explain;
mod fields;
mod foresight;
mod instruction;
mod lamps;
mod lines;
mod listing;
mod looks;
mod memory;
mod motion;
mod noise;
mod profile;
mod reckoned;
mod recorder;
mod replay;
mod roll;
mod round;
mod scene;
mod scene_code;
mod shares;
mod step;
mod strips;
mod sweep;
mod ways;
#[cfg(test)]
mod weight_tests;
mod windows;

pub use beam::{SeenBeam, seen_beam};
pub use compile::{Reel, columns, compile_lean, planner};
pub use cost::Cost;
pub use dense::Effort;
pub use densely::compile_densely;
pub use encode::{BACK, Header, IGNORED, LONGEST_REEL, Layout, REEL_VERSION, SceneLayout, encode, joined, period};
pub use explain::{Share, explain};
pub use fields::{FieldTable, field_tables};
pub use instruction::{Instruction, LONGEST_GROUP, command};
pub use lamps::{LampTable, lamp_tables};
pub use listing::{Line, list};
pub use memory::{Columns, Look, Memory, PAGES, RING_ROWS};
pub use profile::{Manner, compile, compile_in};
pub use scene::{Footage, Next, Planned, PlannedFrame, plan_scene};
pub use shares::shared_out;
pub use step::{Band, Planner, Step, Wanted};
pub use sweep::Sweep;
pub use windows::{Window, plan};
