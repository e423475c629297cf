//! The commands that bring a panel from reset, or from anything else, to a dark display ready for its first picture.

use super::panel_state::{BASIC, BLANK, EXTENDED, SHOWN, VOP};
use super::{CommandSet, Controller, CrystalDrive, Mounting, Panel, PumpCommand, Supply, Wiring};

/// Command groups of at most eight bytes, each to be sent in one transaction; the display stays off and is left in page addressing.
///
/// The order is that of the makers' sample code (SSD1306 data sheet Rev 1.5 application chart from memory; HP7240 module
/// specification Ver 1.0 §10; 1.3 inch SH1106 panel specification §4.4). Windows are opened to the whole memory first,
/// since a microcontroller may restart without the panel. LCDs: power circuits one after another (2C, 2E, 2F) as in the flow of the
/// ST7567A data sheet Ver 1.2a and in the JLX12864G-086-PN module's demonstration; PCD8544 data sheet of 1999-04-12, table of an example.
pub fn set_up_commands(panel: &Panel, mounting: &Mounting, contrast: u8) -> Vec<Vec<u8>> {
    let wiring = mounting.wiring(panel);
    match (panel.drive.supply, panel.controller.command_set) {
        (Supply::Crystal(drive), CommandSet::Banked) => banked(drive, contrast),
        (Supply::Crystal(drive), CommandSet::Paged) => crystal(drive, wiring, contrast),
        _ => shining(panel, wiring, contrast),
    }
}

fn remap(wiring: Wiring) -> [u8; 2] {
    [if wiring.segments_reversed { 0xA1 } else { 0xA0 }, if wiring.commons_reversed { 0xC8 } else { 0xC0 }]
}

fn shining(panel: &Panel, wiring: Wiring, contrast: u8) -> Vec<Vec<u8>> {
    let (controller, drive) = (panel.controller, panel.drive);
    let mut groups = vec![vec![0xAE]];
    if controller.hardware_scroll {
        groups.push(vec![0x2E]);
    }
    groups.push(vec![0xD5, drive.clock]);
    groups.push(vec![0xA8, wiring.multiplex.saturating_sub(1)]);
    if controller.has_start_line {
        groups.push(vec![0xD3, wiring.display_offset, 0x40 | wiring.start_line & 0x3F]);
    } else {
        groups.push(vec![0xD3, wiring.display_offset, 0xDC, wiring.start_line]);
    }
    groups.extend(pump(controller, drive.supply));
    if controller.has_windows() {
        groups.push(vec![0x20, 0x00, 0x21, 0, controller.memory_columns - 1, 0x22, 0, controller.pages() - 1]);
        groups.push(vec![0x20, 0x02]);
    } else if controller.sideways {
        groups.push(vec![0x20]);
    }
    let mut sides = remap(wiring).to_vec();
    if !controller.common_pin_values.is_empty() {
        sides.extend([0xDA, wiring.common_pins]);
    }
    groups.push(sides);
    if let Some(reference) = drive.reference.filter(|_| controller.internal_reference) {
        groups.push(vec![0xAD, reference]);
    }
    groups.push(vec![0x81, contrast.max(controller.contrast_lowest), 0xD9, drive.precharge, 0xDB, drive.deselect]);
    groups.push(vec![0xA4, 0xA6]);
    groups
}

/// Switches the pump on, or off where the display does not use it.
fn pump(controller: &Controller, supply: Supply) -> Option<Vec<u8>> {
    match (supply, controller.pump) {
        (Supply::Pump8D(value), _) => Some(vec![0x8D, value]),
        (Supply::PumpAd(voltage), PumpCommand::CommandAd { on, has_voltages: true, .. }) => {
            Some(vec![0xAD, on, voltage])
        }
        (Supply::PumpAd(_), PumpCommand::CommandAd { on, .. }) => Some(vec![0xAD, on]),
        (_, PumpCommand::Command8D { .. }) => Some(vec![0x8D, 0x10]),
        (_, PumpCommand::CommandAd { off, .. }) => Some(vec![0xAD, off]),
        _ => None,
    }
}

fn crystal(drive: CrystalDrive, wiring: Wiring, volume: u8) -> Vec<Vec<u8>> {
    let mut groups = vec![vec![0xAE], vec![0x40 | wiring.start_line & 0x3F], remap(wiring).to_vec()];
    groups.push(vec![0xA2 | drive.bias]);
    groups.extend(drive.booster.map(|value| vec![0xF8, value]));
    groups.push(vec![0x2C, 0x2E, 0x2F, 0x20 | drive.ratio, 0x81, volume]);
    groups.push(vec![0xA4, 0xA6]);
    groups
}

fn banked(drive: CrystalDrive, volume: u8) -> Vec<Vec<u8>> {
    let temperature = 0x04 | drive.booster.unwrap_or(0);
    vec![vec![EXTENDED, temperature, 0x10 | drive.bias, VOP | volume, BASIC], vec![BLANK]]
}

/// The settings that the show itself changes, so that the supervisor must not repeat them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MovedByShow {
    /// It switches the display off at times.
    pub power: bool,
    /// Its contrast changes.
    pub contrast: bool,
    /// Its start line moves.
    pub start_line: bool,
    /// It inverts the whole picture at times.
    pub inversion: bool,
}

/// Returns the commands of the set-up that can be repeated while the display is on, without a flicker. They have the same values as
/// before. Left out are the settings that the show changes, those that are allowed only while the display is off (the pump of AD),
/// and the command that stops a scroll.
pub fn refresh_commands(panel: &Panel, mounting: &Mounting, contrast: u8, moved: MovedByShow) -> Vec<Vec<u8>> {
    let mut groups = set_up_commands(panel, mounting, contrast);
    if panel.controller.command_set == CommandSet::Banked {
        groups.truncate(1);
        groups[0].retain(|byte| byte & VOP == 0 || !moved.contrast);
        if !moved.power && !moved.inversion {
            groups.push(vec![SHOWN]);
        }
        return groups;
    }
    let lcd = panel.controller.is_lcd();
    groups.retain(|group| match group[0] {
        0xAE | 0x2E => false,
        0x40..=0x7F => !moved.start_line,
        // A window is open only in another addressing mode, in which no frame may be sent.
        0x20 if panel.controller.has_windows() => group.len() == 2,
        0xAD => !matches!(panel.controller.pump, PumpCommand::CommandAd { .. }),
        _ => true,
    });
    for group in &mut groups {
        match group[0] {
            0xD3 if panel.controller.has_start_line && moved.start_line => group.truncate(2),
            0xA4 if moved.inversion => group.truncate(1),
            0x81 if moved.contrast => drop(group.drain(..2)),
            0x2C if lcd => {
                // All power circuits stay on; the steps to them would switch two off.
                drop(group.drain(..2));
                group.truncate(if moved.contrast { 2 } else { 4 });
            }
            _ => {}
        }
    }
    if !moved.power {
        groups.push(vec![0xAF]);
    }
    groups
}
