//! The controller's settings and what reset leaves in them.

use crate::panel::{CommandSet, Panel, PumpCommand};

/// The controller's settings, as last commanded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Registers {
    /// Display on (AF).
    pub on: bool,
    /// All pixels lit (A5).
    pub all_on: bool,
    /// Set bits dark (A7).
    pub inverted: bool,
    /// Contrast (81).
    pub contrast: u8,
    /// Start line (40–7F).
    pub start_line: u8,
    /// Rows driven (A8 plus one).
    pub multiplex: u8,
    /// Display offset (D3).
    pub display_offset: u8,
    /// Segments reversed (A1).
    pub segments_reversed: bool,
    /// Commons scanned from the last (C8).
    pub commons_reversed: bool,
    /// COM pins (DA).
    pub common_pins: u8,
    /// Built-in pump running.
    pub pump: bool,
    /// Clock (D5).
    pub clock: u8,
    /// Precharge (D9).
    pub precharge: u8,
    /// VCOMH or VCOM level (DB).
    pub deselect: u8,
    /// Each row shown twice (D6).
    pub zoomed: bool,
    /// Fade or blink (23).
    pub fade: u8,
    /// Current reference (AD of SSD1315).
    pub reference: u8,
    /// Pump voltage (30–33 of SH1106).
    pub pump_voltage: u8,
    /// Scrolling set up (26–2A).
    pub scroll_set_up: bool,
    /// Scrolling (2F).
    pub scrolling: bool,
    /// Commands refused until unlocked (FD of SSD1309).
    pub locked: bool,
    /// Power circuits of an LCD (28–2F): booster 4, regulator 2, follower 1.
    pub power_circuits: u8,
    /// Regulator ratio (20–27).
    pub ratio: u8,
    /// Bias (A2, A3, or 10–17 of the PCD8544).
    pub bias: u8,
    /// The PCD8544 sleeps (PD), and takes its extended commands (H).
    pub sleeping: bool,
    pub extended: bool,
}

impl Registers {
    /// What RES# leaves (SSD1306 data sheet Rev 1.5 §8.5 and Table 9-1; SH1106 clock 50, pump on and contrast 80: excerpts of
    /// its data sheet, VCOM 35 from memory; SSD1309 clock A0 and VCOMH 34: a display driver's source).
    ///
    /// ST7567A Ver 1.2a and ST7565R Ver 1.5: ratio, volume and power circuits 0 but for the volume 20; UC1701x likewise. PCD8544 of
    /// 1999-04-12: asleep and blank. Their multiplex ratio is strapped, so it is the panel's own, and so are pins that no command sets.
    pub(super) fn after_reset(panel: &Panel) -> Self {
        let controller = panel.controller;
        use crate::panel::Family;
        let (clock, deselect) = match controller.family {
            Family::Ssd1306 | Family::Ssd1306b | Family::Ssd1315 => (0x80, 0x20),
            Family::Ssd1309 => (0xA0, 0x34),
            Family::Sh1106 | Family::Sh1107 => (0x50, 0x35),
            Family::Ssd1305 => (0x70, 0x34),
            Family::Ssd1312 => (0x80, 0x20),
            Family::St7567a | Family::St7565r | Family::Uc1701x | Family::Pcd8544 => (0, 0),
        };
        Self {
            on: false,
            all_on: false,
            inverted: false,
            contrast: controller.contrast_reset,
            start_line: 0,
            multiplex: if controller.is_lcd() { panel.wiring.multiplex } else { controller.commons() },
            display_offset: 0,
            segments_reversed: false,
            commons_reversed: false,
            common_pins: if controller.common_pin_values.is_empty() { panel.wiring.common_pins } else { 0x12 },
            pump: matches!(controller.pump, PumpCommand::CommandAd { .. }) && controller.family != Family::Ssd1305,
            clock,
            precharge: 0x22,
            deselect,
            zoomed: false,
            fade: 0,
            reference: 0,
            pump_voltage: 0x32,
            scroll_set_up: false,
            scrolling: false,
            locked: false,
            power_circuits: 0,
            ratio: 0,
            bias: 0,
            sleeping: controller.command_set == CommandSet::Banked,
            extended: false,
        }
    }
}
