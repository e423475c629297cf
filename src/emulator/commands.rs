//! The command tables: which first bytes are commands of which controller, and how many parameters follow.

use crate::panel::{Controller, Family};

/// What a command does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CommandAction {
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
    /// Page or vertical addressing by one byte (SH1107).
    PlainMode,
    StartLineByte,
    Bias,
    PowerCircuits,
    Ratio,
    Wrap,
    Reset,
    /// A setting that is checked and has no effect on the picture here.
    Other,
    Bank,
    BankColumn,
    Function,
    Shown,
    Temperature,
    BiasSystem,
    Voltage,
}

/// Sets of controllers, one bit each.
type Set = u16;
const S1306: Set = 1;
const S1306B: Set = 2;
const S1309: Set = 4;
const S1315: Set = 8;
const SH1106: Set = 16;
const S1305: Set = 32;
const S1312: Set = 64;
const SH1107: Set = 128;
const ST7567A: Set = 256;
const ST7565R: Set = 512;
const UC1701: Set = 1024;
const PCD_BASIC: Set = 2048;
const PCD_EXTENDED: Set = 4096;
const SCROLLING: Set = S1306 | S1306B | S1309 | S1315;
const SSD: Set = SCROLLING | S1305 | S1312;
const PUMPED: Set = S1306 | S1306B | S1315;
const SHINING: Set = SSD | SH1106 | SH1107;
const LCD: Set = ST7567A | ST7565R | UC1701;
const ALL: Set = SHINING | LCD;
const WIDE: Set = SH1106 | S1305 | LCD;
const PCD: Set = PCD_BASIC | PCD_EXTENDED;

/// First and last opcode, parameters, action, controllers.
type CommandRow = (u8, u8, u8, CommandAction, Set);

/// SSD1306 data sheet Rev 1.5 Table 9-1; SSD1315 command table Rev 1.0; SH1106 data sheet as excerpted (E0, EE from memory);
/// SSD1309 as SSD1306 (from memory); the seven parameters of 2C and 2D from memory. SSD1305 Rev 1.8; SSD1312 from drivers' source;
/// SH1107 V2.1, commands 1–23; ST7567A Ver 1.2a; ST7565R Ver 1.5, whose FC to FF are tests; UC1701x A1.0; PCD8544 of 1999-04-12.
const COMMANDS: &[CommandRow] = &[
    (0x00, 0x0F, 0, CommandAction::ColumnLow, ALL),
    (0x10, 0x17, 0, CommandAction::ColumnHigh, ALL),
    (0x18, 0x1F, 0, CommandAction::ColumnHigh, S1306 | S1306B | S1309),
    (0x18, 0x18, 0, CommandAction::ColumnHigh, WIDE),
    (0x20, 0x20, 1, CommandAction::AddressingMode, SSD),
    (0x20, 0x21, 0, CommandAction::PlainMode, SH1107),
    (0x20, 0x27, 0, CommandAction::Ratio, LCD),
    (0x28, 0x2F, 0, CommandAction::PowerCircuits, LCD),
    (0x21, 0x21, 2, CommandAction::ColumnWindow, SSD),
    (0x22, 0x22, 2, CommandAction::PageWindow, SSD),
    (0x23, 0x23, 1, CommandAction::Fade, SCROLLING),
    (0x26, 0x27, 6, CommandAction::ScrollSideways, SCROLLING),
    (0x26, 0x27, 4, CommandAction::ScrollSideways, S1305),
    (0x29, 0x2A, 5, CommandAction::ScrollDiagonally, S1306 | S1306B | S1309 | S1305),
    (0x29, 0x2A, 7, CommandAction::ScrollDiagonally, S1315),
    (0x2C, 0x2D, 7, CommandAction::ScrollOnce, S1315),
    (0x2E, 0x2E, 0, CommandAction::ScrollStop, SCROLLING | S1305),
    (0x2F, 0x2F, 0, CommandAction::ScrollStart, SCROLLING | S1305),
    (0x30, 0x33, 0, CommandAction::PumpVoltage, SH1106),
    (0x40, 0x7F, 0, CommandAction::StartLine, ALL & !SH1107),
    (0x81, 0x81, 1, CommandAction::Contrast, ALL),
    (0x82, 0x82, 1, CommandAction::Other, S1305),
    (0x84, 0x84, 0, CommandAction::Other, ST7567A),
    (0x85, 0x85, 1, CommandAction::Other, ST7567A),
    (0x8D, 0x8D, 1, CommandAction::Pump, PUMPED | S1312),
    (0x90, 0x9F, 0, CommandAction::Other, ST7567A),
    (0x91, 0x93, 4, CommandAction::Other, S1305),
    (0xA0, 0xA1, 0, CommandAction::SegmentRemap, ALL),
    (0xA2, 0xA3, 0, CommandAction::Bias, LCD),
    (0xA3, 0xA3, 2, CommandAction::ScrollArea, SCROLLING | S1305),
    (0xA4, 0xA5, 0, CommandAction::AllOn, ALL),
    (0xA6, 0xA7, 0, CommandAction::Inverse, ALL),
    (0xA8, 0xA8, 1, CommandAction::Multiplex, SHINING),
    (0xAB, 0xAB, 3, CommandAction::Other, S1305),
    (0xAC, 0xAC, 0, CommandAction::Power, S1305),
    (0xAC, 0xAC, 0, CommandAction::Nothing, LCD),
    (0xAD, 0xAD, 1, CommandAction::Reference, S1306B | S1315),
    (0xAD, 0xAD, 1, CommandAction::PumpAd, SH1106 | SH1107 | S1305),
    (0xAD, 0xAD, 1, CommandAction::Other, LCD),
    (0xAE, 0xAF, 0, CommandAction::Power, ALL),
    (0xB0, 0xB7, 0, CommandAction::Page, ALL),
    (0xB8, 0xB8, 0, CommandAction::Page, LCD),
    (0xB8, 0xBF, 0, CommandAction::Page, SH1107),
    (0xC0, 0xC0, 0, CommandAction::CommonScan, ALL),
    (0xC8, 0xC8, 0, CommandAction::CommonScan, ALL),
    (0xD0, 0xD7, 0, CommandAction::Other, ST7567A),
    (0xD3, 0xD3, 1, CommandAction::DisplayOffset, SHINING),
    (0xD5, 0xD5, 1, CommandAction::Clock, SHINING),
    (0xD6, 0xD6, 1, CommandAction::Zoom, PUMPED),
    (0xD8, 0xD8, 1, CommandAction::Other, S1305),
    (0xD9, 0xD9, 1, CommandAction::Precharge, SHINING),
    (0xDA, 0xDA, 1, CommandAction::CommonPins, SHINING & !SH1107),
    (0xDB, 0xDB, 1, CommandAction::Deselect, SHINING),
    (0xDC, 0xDC, 1, CommandAction::StartLineByte, SH1107),
    (0xE0, 0xE0, 0, CommandAction::KeepColumn, SH1106 | SH1107 | S1305 | LCD),
    (0xE2, 0xE2, 0, CommandAction::Reset, LCD),
    (0xE3, 0xE3, 0, CommandAction::Nothing, ALL & !UC1701),
    (0xEE, 0xEE, 0, CommandAction::ColumnBack, SH1106 | SH1107 | S1305 | LCD),
    (0xF8, 0xF8, 1, CommandAction::Other, LCD),
    (0xFA, 0xFA, 1, CommandAction::Wrap, UC1701),
    (0xFE, 0xFE, 0, CommandAction::Other, ST7567A),
    (0xFF, 0xFF, 1, CommandAction::Other, ST7567A),
    (0xFD, 0xFD, 1, CommandAction::Lock, S1309),
    (0x00, 0x00, 0, CommandAction::Nothing, PCD),
    (0x20, 0x27, 0, CommandAction::Function, PCD),
    (0x04, 0x07, 0, CommandAction::Temperature, PCD_EXTENDED),
    (0x10, 0x17, 0, CommandAction::BiasSystem, PCD_EXTENDED),
    (0x80, 0xFF, 0, CommandAction::Voltage, PCD_EXTENDED),
    (0x08, 0x09, 0, CommandAction::Shown, PCD_BASIC),
    (0x0C, 0x0D, 0, CommandAction::Shown, PCD_BASIC),
    (0x40, 0x47, 0, CommandAction::Bank, PCD_BASIC),
    (0x80, 0xFF, 0, CommandAction::BankColumn, PCD_BASIC),
];

impl CommandAction {
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
            Self::PlainMode => "addressing mode",
            Self::StartLineByte => "start line",
            Self::Bias | Self::BiasSystem => "bias",
            Self::PowerCircuits => "power circuits",
            Self::Ratio => "regulator ratio",
            Self::Wrap => "wrap of the pointer",
            Self::Reset => "reset",
            Self::Other => "another setting",
            Self::Bank => "page",
            Self::BankColumn => "column",
            Self::Function => "function set",
            Self::Shown => "display control",
            Self::Temperature => "temperature coefficient",
            Self::Voltage => "crystal voltage",
        }
    }
}

/// Says in words what an opcode sets, and how many parameters follow. `None` if the controller prohibits it.
pub fn command_words(controller: &Controller, opcode: u8) -> Option<(&'static str, u8)> {
    command(controller.family, false, opcode).map(|(action, parameters)| (action.words(), parameters))
}

/// Most parameters any command takes.
pub(super) const MOST_PARAMETERS: usize = 7;

/// What an opcode does on a controller and how many parameters follow; `None` where it is prohibited.
/// `extended` is the H bit of the PCD8544.
pub(super) fn command(family: Family, extended: bool, opcode: u8) -> Option<(CommandAction, u8)> {
    let chip = match family {
        Family::Ssd1306 => S1306,
        Family::Ssd1306b => S1306B,
        Family::Ssd1309 => S1309,
        Family::Ssd1315 => S1315,
        Family::Sh1106 => SH1106,
        Family::Ssd1305 => S1305,
        Family::Ssd1312 => S1312,
        Family::Sh1107 => SH1107,
        Family::St7567a => ST7567A,
        Family::St7565r => ST7565R,
        Family::Uc1701x => UC1701,
        Family::Pcd8544 if extended => PCD_EXTENDED,
        Family::Pcd8544 => PCD_BASIC,
    };
    let found =
        COMMANDS.iter().find(|&&(first, last, _, _, chips)| (first..=last).contains(&opcode) && chips & chip != 0);
    found.map(|&(_, _, parameters, action, _)| (action, parameters))
}
