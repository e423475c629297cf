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

pub use bus::{BusSettings, DataCommand, Wires};
pub(crate) use certainty::{Certainty, Source};
pub use companion_code::{CompanionCode, lamp_code_on, supervisor_code_on, text_code_on, threshold_code_on};
pub(crate) use controller::{Addressing, Controller, FrameClock, PumpCommand, RowEnd, controllers};
pub use controller::{CommandSet, Family, controller};
pub(crate) use crystal::CrystalDrive;
pub use microcontroller::{Core, find_microcontroller};
pub(crate) use microcontroller::{Microcontroller, microcontrollers};
pub use mounting::{Mounting, MountingTurn};
pub use opening::{OpeningPixels, PanelOpening};
pub(crate) use panel_row::{Colour, Current, Lifetime, Tint};
pub use panel_row::{Drive, Panel, Supply, Wiring};
pub use panel_rows::{find, panels};
pub use panel_state::{BANKED_POINTER, PanelState};
pub use player_cost::{PlayerCost, PlayerParts, player_costs};
pub(crate) use power_order::{PowerStep, power_down_steps, power_up_steps};
pub use setup::set_up_commands;
pub(crate) use setup::{MovedByShow, refresh_commands};
