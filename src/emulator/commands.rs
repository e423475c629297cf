//! The command tables: which first bytes are commands of which controller, and how many parameters follow.

use crate::panel::{Controller, Family};

/// What a command does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Action {
    ColumnLow,
    ColumnHigh,
    AddressingMode,
    ColumnWindow,
    PageWindow,
    Fade,
    ScrollSideways,
    ScrollDiagonally,
    ScrollOnce,
    ScrollStop,
    ScrollStart,
    ScrollArea,
    PumpVoltage,
    StartLine,
    Contrast,
    Pump,
    SegmentRemap,
    AllOn,
    Inverse,
    Multiplex,
    Reference,
    PumpAd,
    Power,
    Page,
    CommonScan,
    DisplayOffset,
    Clock,
    Zoom,
    Precharge,
    CommonPins,
    Deselect,
    KeepColumn,
    ColumnBack,
    Nothing,
    Lock,
}

/// Sets of controllers, one bit each.
const S1306: u8 = 1;
const S1306B: u8 = 2;
const S1309: u8 = 4;
const S1315: u8 = 8;
const SH1106: u8 = 16;
const SSD: u8 = S1306 | S1306B | S1309 | S1315;
const PUMPED: u8 = S1306 | S1306B | S1315;
const ALL: u8 = SSD | SH1106;

/// First and last opcode, parameters, action, controllers.
type Row = (u8, u8, u8, Action, u8);

/// SSD1306 data sheet Rev 1.5 Table 9-1; SSD1315 command table Rev 1.0; SH1106 data sheet as excerpted (E0, EE from memory);
/// SSD1309 as SSD1306 (from memory); the seven parameters of 2C and 2D from memory.
const COMMANDS: &[Row] = &[
    (0x00, 0x0F, 0, Action::ColumnLow, ALL),
    (0x10, 0x17, 0, Action::ColumnHigh, ALL),
    (0x18, 0x1F, 0, Action::ColumnHigh, S1306 | S1306B | S1309),
    (0x18, 0x18, 0, Action::ColumnHigh, SH1106),
    (0x20, 0x20, 1, Action::AddressingMode, SSD),
    (0x21, 0x21, 2, Action::ColumnWindow, SSD),
    (0x22, 0x22, 2, Action::PageWindow, SSD),
    (0x23, 0x23, 1, Action::Fade, SSD),
    (0x26, 0x27, 6, Action::ScrollSideways, SSD),
    (0x29, 0x2A, 5, Action::ScrollDiagonally, S1306 | S1306B | S1309),
    (0x29, 0x2A, 7, Action::ScrollDiagonally, S1315),
    (0x2C, 0x2D, 7, Action::ScrollOnce, S1315),
    (0x2E, 0x2E, 0, Action::ScrollStop, SSD),
    (0x2F, 0x2F, 0, Action::ScrollStart, SSD),
    (0x30, 0x33, 0, Action::PumpVoltage, SH1106),
    (0x40, 0x7F, 0, Action::StartLine, ALL),
    (0x81, 0x81, 1, Action::Contrast, ALL),
    (0x8D, 0x8D, 1, Action::Pump, PUMPED),
    (0xA0, 0xA1, 0, Action::SegmentRemap, ALL),
    (0xA3, 0xA3, 2, Action::ScrollArea, SSD),
    (0xA4, 0xA5, 0, Action::AllOn, ALL),
    (0xA6, 0xA7, 0, Action::Inverse, ALL),
    (0xA8, 0xA8, 1, Action::Multiplex, ALL),
    (0xAD, 0xAD, 1, Action::Reference, S1306B | S1315),
    (0xAD, 0xAD, 1, Action::PumpAd, SH1106),
    (0xAE, 0xAF, 0, Action::Power, ALL),
    (0xB0, 0xB7, 0, Action::Page, ALL),
    (0xC0, 0xC0, 0, Action::CommonScan, ALL),
    (0xC8, 0xC8, 0, Action::CommonScan, ALL),
    (0xD3, 0xD3, 1, Action::DisplayOffset, ALL),
    (0xD5, 0xD5, 1, Action::Clock, ALL),
    (0xD6, 0xD6, 1, Action::Zoom, PUMPED),
    (0xD9, 0xD9, 1, Action::Precharge, ALL),
    (0xDA, 0xDA, 1, Action::CommonPins, ALL),
    (0xDB, 0xDB, 1, Action::Deselect, ALL),
    (0xE0, 0xE0, 0, Action::KeepColumn, SH1106),
    (0xE3, 0xE3, 0, Action::Nothing, ALL),
    (0xEE, 0xEE, 0, Action::ColumnBack, SH1106),
    (0xFD, 0xFD, 1, Action::Lock, S1309),
];

impl Action {
    /// What the command sets, as the data sheets call it.
    fn words(self) -> &'static str {
        match self {
            Self::ColumnLow => "column, low digit",
            Self::ColumnHigh => "column, high digit",
            Self::AddressingMode => "addressing mode",
            Self::ColumnWindow => "column window",
            Self::PageWindow => "page window",
            Self::Fade => "fade",
            Self::ScrollSideways | Self::ScrollDiagonally | Self::ScrollOnce => "scroll",
            Self::ScrollStop => "scroll off",
            Self::ScrollStart => "scroll on",
            Self::ScrollArea => "scroll area",
            Self::PumpVoltage => "pump voltage",
            Self::StartLine => "start line",
            Self::Contrast => "contrast",
            Self::Pump | Self::PumpAd => "charge pump",
            Self::SegmentRemap => "segment remap",
            Self::AllOn => "all pixels on",
            Self::Inverse => "inversion",
            Self::Multiplex => "multiplex ratio",
            Self::Reference => "current reference",
            Self::Power => "display on or off",
            Self::Page => "page",
            Self::CommonScan => "COM scan direction",
            Self::DisplayOffset => "display offset",
            Self::Clock => "clock",
            Self::Zoom => "zoom",
            Self::Precharge => "precharge",
            Self::CommonPins => "COM pins",
            Self::Deselect => "VCOMH level",
            Self::KeepColumn => "column kept",
            Self::ColumnBack => "column restored",
            Self::Nothing => "no operation",
            Self::Lock => "command lock",
        }
    }
}

/// What an opcode sets on a controller in words, and how many parameters follow; `None` where it is prohibited.
pub fn command_words(controller: &Controller, opcode: u8) -> Option<(&'static str, u8)> {
    command(controller.family, opcode).map(|(action, parameters)| (action.words(), parameters))
}

/// Most parameters any command takes.
pub(super) const MOST_PARAMETERS: usize = 7;

/// What an opcode does on a controller and how many parameters follow; `None` where it is prohibited.
pub(super) fn command(family: Family, opcode: u8) -> Option<(Action, u8)> {
    let chip = match family {
        Family::Ssd1306 => S1306,
        Family::Ssd1306b => S1306B,
        Family::Ssd1309 => S1309,
        Family::Ssd1315 => S1315,
        Family::Sh1106 => SH1106,
    };
    let found =
        COMMANDS.iter().find(|&&(first, last, _, _, chips)| (first..=last).contains(&opcode) && chips & chip != 0);
    found.map(|&(_, _, parameters, action, _)| (action, parameters))
}
