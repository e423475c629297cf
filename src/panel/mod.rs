//! The trade's hardware: controllers, displays, mountings, buses and microcontrollers as rows with sources, and their arithmetic.

mod bus;
mod certainty;
mod check;
mod controller;
mod frequency;
mod glass;
mod glasses;
mod lamp_code;
mod microcontroller;
mod mounting;
mod opening;
mod player_cost;
mod setup;

pub use bus::{Bus, BusMode, Wires};
pub use certainty::{Certainty, Source};
pub use check::Complaint;
pub use controller::{
    Addressing, Controller, Family, FrameClock, PumpCommand, SegmentCurrent, controller, controllers,
};
pub use frequency::FrameFrequency;
pub use glass::{Colour, Current, Drive, Lifetime, Panel, Supply, Tint, Wiring};
pub use glasses::{find, panels};
pub use lamp_code::{LampCode, lamp_code_on};
pub use microcontroller::{Core, Microcontroller, find_microcontroller, microcontrollers};
pub use mounting::{ControllerTurn, MemoryWindow, Mounting, Turn};
pub use opening::{Opening, PixelRectangle};
pub use player_cost::{PlayerCost, PlayerParts, player_costs};
pub use setup::{MovedByShow, refresh_commands, set_up_commands};
