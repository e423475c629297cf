//! The orders in which a panel is switched on and off for good, with the waits that data sheets ask for between commands.

use super::{CommandSet, Family, Panel, PumpCommand, Supply};

/// Commands, and how long they wait for what was sent before them, or for the reset pulse. Steps end with one without commands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PowerStep {
    pub wait_milliseconds: u8,
    pub commands: Vec<u8>,
}

const OFF: u8 = 0xAE;
const ALL_ON: u8 = 0xA5;
const SOFT_RESET: u8 = 0xE2;
const PUMP: u8 = 0x8D;
const PUMP_OFF: u8 = 0x10;
const PUMP_AD: u8 = 0xAD;
const BOOSTER: u8 = 0x2C;
const REGULATOR: u8 = 0x2E;
const FOLLOWER: u8 = 0x2F;
/// PCD8544: function set with PD.
const POWER_DOWN: u8 = 0x24;
/// Between the power circuits of an LCD: "a short wait" in the demonstration of the JLX12864G-086-PN module's sheet. ST7567A Ver 1.2a wants
/// 2F within 5 ms of the reset.
const CIRCUIT_MILLISECONDS: u8 = 1;
/// From the start of the SH1106's pump to AF, about (data sheet V2.2).
const PUMP_MILLISECONDS: u8 = 100;
/// From AE and the high voltage off to the logic supply off (SSD1306 Rev 1.5 §8.9.2; others taken to be the same).
const DARK_MILLISECONDS: u8 = 100;
/// From power save to the supply off (ST7567A Ver 1.2a; ST7565R, whose sheet asks for the voltage to have fallen, taken to be the same).
const CRYSTAL_MILLISECONDS: u8 = 250;
/// From E2 to the supply off (UC1701x A1.0: 1 to 3 ms; a clock of whole milliseconds may be one short).
const SOFT_RESET_MILLISECONDS: u8 = 4;

fn step(wait_milliseconds: u8, commands: &[u8]) -> PowerStep {
    PowerStep { wait_milliseconds, commands: commands.to_vec() }
}

/// What is sent between the reset pulse and the set-up, which then sends all of it again.
pub fn power_up_steps(panel: &Panel) -> Vec<PowerStep> {
    let reset = panel.controller.reset_milliseconds;
    match (panel.drive.supply, panel.controller.pump) {
        (Supply::Crystal(_), PumpCommand::PowerCircuits) => vec![
            step(reset, &[BOOSTER]),
            step(CIRCUIT_MILLISECONDS, &[REGULATOR]),
            step(CIRCUIT_MILLISECONDS, &[FOLLOWER]),
            step(CIRCUIT_MILLISECONDS, &[]),
        ],
        (Supply::PumpAd(voltage), PumpCommand::CommandAd { on, has_voltages: true, .. }) => {
            vec![step(reset, &[OFF, PUMP_AD, on, voltage]), step(PUMP_MILLISECONDS, &[])]
        }
        _ => vec![step(reset, &[])],
    }
}

/// What is sent before the supply is cut, and how long that must wait. The memory of a PCD8544 is not cleared, as its sheet asks for
/// the rated current of a part that stays powered: here the supply is cut.
pub fn power_down_steps(panel: &Panel) -> Vec<PowerStep> {
    let controller = panel.controller;
    match (panel.drive.supply, controller.pump) {
        _ if controller.command_set == CommandSet::Banked => vec![step(0, &[POWER_DOWN]), step(1, &[])],
        _ if controller.family == Family::Uc1701x => {
            vec![step(0, &[SOFT_RESET]), step(SOFT_RESET_MILLISECONDS, &[])]
        }
        (Supply::Crystal(_), _) => vec![step(0, &[OFF, ALL_ON]), step(CRYSTAL_MILLISECONDS, &[])],
        (Supply::Pump8D(_), _) => vec![step(0, &[OFF, PUMP, PUMP_OFF]), step(DARK_MILLISECONDS, &[])],
        (Supply::PumpAd(_), PumpCommand::CommandAd { off, .. }) => {
            vec![step(0, &[OFF, PUMP_AD, off]), step(DARK_MILLISECONDS, &[])]
        }
        _ => vec![step(0, &[OFF]), step(DARK_MILLISECONDS, &[])],
    }
}
