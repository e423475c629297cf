//! The trade's hardware: controllers, displays, mountings, buses and microcontrollers as rows with sources, and their arithmetic.

mod bus;
mod certainty;
mod check;
mod companion_code;
mod controller;
mod crystal;
mod frequency;
mod microcontroller;
mod mounting;
mod opening;
mod other_controllers;
mod other_panel_rows;
mod panel_row;
mod panel_rows;
mod panel_state;
mod player_cost;
mod power_order;
mod setup;

pub use bus::{Bus, BusMode, DataCommand, Wires};
pub use certainty::{Certainty, Source};
pub use check::Complaint;
pub use companion_code::{CompanionCode, lamp_code_on, supervisor_code_on, threshold_code_on};
pub use controller::{
    Addressing, CommandSet, Controller, Family, FrameClock, PumpCommand, RowEnd, SegmentCurrent, controller,
    controllers,
};
pub use crystal::CrystalDrive;
pub use frequency::FrameFrequency;
pub use microcontroller::{Core, Microcontroller, find_microcontroller, microcontrollers};
pub use mounting::{ControllerTurn, MemoryWindow, Mounting, Turn};
pub use opening::{Opening, PixelRectangle};
pub use panel_row::{Colour, Current, Drive, Lifetime, Panel, Supply, Tint, Wiring};
pub use panel_rows::{find, panels};
pub use panel_state::{BANKED_POINTER, PanelState};
pub use player_cost::{PlayerCost, PlayerParts, player_costs};
pub use power_order::{PowerStep, power_down_steps, power_up_steps};
pub use setup::{MovedByShow, refresh_commands, set_up_commands};
