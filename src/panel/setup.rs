//! The commands that bring a panel from reset, or from anything else, to a dark display ready for its first picture.

use super::{Mounting, Panel, Supply};

/// Command groups of at most eight bytes, each to be sent in one transaction; the display stays off (AE) and is left in page addressing.
///
/// The order is that of the makers' sample code (SSD1306 data sheet Rev 1.5 application chart from memory; HP7240 module
/// specification Ver 1.0 §10; 1.3 inch SH1106 panel specification §4.4). Windows are opened to the whole memory first,
/// since a microcontroller may restart without the panel.
pub fn set_up_commands(panel: &Panel, mounting: &Mounting, contrast: u8) -> Vec<Vec<u8>> {
    let controller = panel.controller;
    let wiring = mounting.wiring(panel);
    let drive = panel.drive;
    let mut groups = vec![vec![0xAE]];
    if controller.hardware_scroll {
        groups.push(vec![0x2E]);
    }
    groups.push(vec![0xD5, drive.clock]);
    groups.push(vec![0xA8, wiring.multiplex.saturating_sub(1)]);
    groups.push(vec![0xD3, wiring.display_offset, 0x40 | wiring.start_line & 0x3F]);
    match drive.supply {
        Supply::Pump8D(value) => groups.push(vec![0x8D, value]),
        Supply::PumpAd(voltage) => groups.push(vec![0xAD, 0x8B, voltage]),
        Supply::External => groups.extend(pump_off(panel)),
    }
    if controller.has_windows() {
        groups.push(vec![0x20, 0x00, 0x21, 0, controller.memory_columns - 1, 0x22, 0, controller.pages() - 1]);
        groups.push(vec![0x20, 0x02]);
    }
    let remap = if wiring.segments_reversed { 0xA1 } else { 0xA0 };
    let scan = if wiring.commons_reversed { 0xC8 } else { 0xC0 };
    groups.push(vec![remap, scan, 0xDA, wiring.common_pins]);
    if let Some(reference) = drive.reference.filter(|_| controller.internal_reference) {
        groups.push(vec![0xAD, reference]);
    }
    groups.push(vec![0x81, contrast.max(controller.contrast_lowest), 0xD9, drive.precharge, 0xDB, drive.deselect]);
    groups.push(vec![0xA4, 0xA6]);
    groups
}

/// What the show moves by itself, so that it is not to be sent again behind its back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MovedByShow {
    /// It switches the display off at times.
    pub power: bool,
    /// Its contrast changes.
    pub contrast: bool,
}

/// The registers of the set-up that can be sent again while the display shows something, without a flicker: the same values again,
/// but for what the show moves, what may be sent only while the display is off (the pump of the SH1106), the commands that stop a scroll
/// and start line and inversion, which any frame may move.
pub fn refresh_commands(panel: &Panel, mounting: &Mounting, contrast: u8, moved: MovedByShow) -> Vec<Vec<u8>> {
    let mut groups = set_up_commands(panel, mounting, contrast);
    groups.retain(|group| match group[0] {
        0xAE | 0x2E => false,
        // A window is open only in another addressing mode, in which no frame may be sent.
        0x20 => group.len() == 2,
        0xAD => panel.controller.pump != super::PumpCommand::CommandAd,
        _ => true,
    });
    for group in &mut groups {
        match group[0] {
            0xD3 => group.truncate(2),
            0xA4 => group.truncate(1),
            0x81 if moved.contrast => drop(group.drain(..2)),
            _ => {}
        }
    }
    if !moved.power {
        groups.push(vec![0xAF]);
    }
    groups
}

/// Switches off a pump that the display does not use.
fn pump_off(panel: &Panel) -> Option<Vec<u8>> {
    use super::PumpCommand;
    match panel.controller.pump {
        PumpCommand::None => None,
        PumpCommand::Command8D { .. } => Some(vec![0x8D, 0x10]),
        PumpCommand::CommandAd => Some(vec![0xAD, 0x8A]),
    }
}
