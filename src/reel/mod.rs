//! From frames to bytes: page memory, the cheapest transfers, instructions, and their encoding as a reel.

mod compile;
mod cost;
mod data;
mod encode;
mod instruction;
mod listing;
mod memory;
mod replay;
mod scene;
mod step;
mod windows;

pub use compile::{Reel, columns, compile, planner};
pub use cost::Cost;
pub use encode::{BACK, Header, IGNORED, LONGEST_REEL, Layout, REEL_VERSION, SceneLayout, encode, period};
pub use instruction::{Instruction, LONGEST_GROUP, command};
pub use listing::{Line, list};
pub use memory::{Columns, Look, Memory, PAGES, RING_ROWS};
pub use scene::{Footage, Next, Planned, PlannedFrame, plan_scene};
pub use step::{Planner, Step};
pub use windows::{Window, plan};
