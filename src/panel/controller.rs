//! Display controllers: memory, addressing, ranges, clocks and currents, one row each.

use super::{Certainty, Source, other_controllers};
use crate::units::Hertz;

/// The controllers known here; those of one kind share their command set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// The SSD1306.
    Ssd1306,
    /// The SSD1306 with the internal current reference of the SSD1315.
    Ssd1306b,
    /// The SSD1309, without a charge pump.
    Ssd1309,
    /// The SSD1315.
    Ssd1315,
    /// The SH1106, which is addressed by pages.
    Sh1106,
    /// The SSD1305, of 132 columns.
    Ssd1305,
    /// The SSD1312, which counts its segments the other way.
    Ssd1312,
    /// The SH1107, whose pages lie along the segments.
    Sh1107,
    /// The ST7567A, for liquid crystals.
    St7567a,
    /// The ST7565R, for liquid crystals.
    St7565r,
    /// The UC1701x, for liquid crystals.
    Uc1701x,
    /// The PCD8544, for liquid crystals of 84×48 pixels.
    Pcd8544,
}

/// Where the pointer goes after the last column of a page, in page addressing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowEnd {
    /// Nowhere: what comes after is lost.
    Stops,
    /// To the first column of the same page.
    Returns,
    /// To the first column of the same page if command FA says so; else nowhere.
    AsSet,
    /// To the first column of the next page.
    NextPage,
}

/// How the pointer is set, and which commands show, hide and invert the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CommandSet {
    /// B0, 00 and 10 set page and column; A6 and A7, AE and AF, and 81 with a value.
    Paged,
    /// 40 and 80 set bank and column; 08, 0C and 0D; the voltage by 80 and more while 21 is in force (PCD8544).
    Banked,
}

/// How the controller's memory is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Addressing {
    /// One page at a time.
    PagesOnly,
    /// Pages, or a window of pages and columns (commands 20, 21, 22).
    PagesAndWindows,
}

/// The command that switches the built-in voltage pump.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PumpCommand {
    /// None: the panel needs an outer supply.
    None,
    /// `8D` and one of these values; `10` switches off.
    Command8D { on_values: &'static [u8] },
    /// `AD` with these values switches on and off (only while the display is off); some have a voltage by `30`–`33`.
    CommandAd { on: u8, off: u8, has_voltages: bool },
    /// The power circuits of an LCD: `28` to `2F` switch booster, regulator and follower.
    PowerCircuits,
    /// The voltage multiplier of the PCD8544, which runs unless its voltage is 0 or the part sleeps.
    Multiplier,
}

/// The clock that refreshes the display: frequency = oscillator frequency / (clock divider × clocks per row × multiplex ratio).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FrameClock {
    /// Clocks per row in addition to the two phases of D9.
    pub fixed_clocks: u32,
    /// Clocks for each step of a D9 nibble.
    pub clocks_per_phase_step: u32,
    /// Oscillator at `nominal_code`: lowest, typical and highest.
    pub oscillator: [Hertz; 3],
    /// The high nibble of D5 for which `oscillator` holds.
    pub nominal_code: u8,
    /// Typical oscillator by high nibble of D5, for interpolation; rising codes.
    pub oscillator_by_code: &'static [(u8, Hertz)],
    /// Where the figures come from.
    pub source: Source,
}

/// Current of one lit segment: contrast / 256 × factor × reference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SegmentCurrent {
    /// Reference current in nanoamperes when nothing else is set.
    pub reference_nanoamperes: u32,
    /// How many times the reference flows at full contrast.
    pub factor: u32,
    /// Where the figures come from.
    pub source: Source,
}

/// One controller.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Controller {
    /// Part number.
    pub name: &'static str,
    /// Command set.
    pub family: Family,
    /// Columns of its memory.
    pub memory_columns: u8,
    /// Rows of its memory; eight to a page.
    pub memory_rows: u8,
    /// How memory is reached.
    pub addressing: Addressing,
    /// Where the pointer goes at the end of a page.
    pub row_end: RowEnd,
    /// Which commands set the pointer and the display.
    pub command_set: CommandSet,
    /// Whether pages run along the segments, so that a column of memory is a row of commons on the display.
    pub sideways: bool,
    /// Whether a start line (40–7F) turns the rows.
    pub has_start_line: bool,
    /// Lowest and highest contrast value.
    pub contrast_lowest: u8,
    pub contrast_highest: u8,
    /// Contrast after reset.
    pub contrast_reset: u8,
    /// Fewest rows it can drive; the most is `memory_rows`.
    pub multiplex_lowest: u8,
    /// How its pump is switched.
    pub pump: PumpCommand,
    /// Whether AD sets an internal current reference.
    pub internal_reference: bool,
    /// Whether the scroll commands 26–2F exist.
    pub hardware_scroll: bool,
    /// Values that DB takes; empty: any.
    pub deselect_levels: &'static [u8],
    /// Values that DA takes.
    pub common_pin_values: &'static [u8],
    /// Refresh clock, where known.
    pub clock: Option<FrameClock>,
    /// Segment current, where known.
    pub segment_current: Option<SegmentCurrent>,
    /// Highest clock on I²C; `None` if the controller does not have this bus.
    pub highest_i2c_clock: Option<Hertz>,
    /// Highest clock on SPI; `None` if the controller does not have this bus.
    pub highest_spi_clock: Option<Hertz>,
    /// Whether it takes 3-wire SPI too, nine bits a byte, at the same clock.
    pub takes_nine_bits: bool,
    /// Where the highest clock on SPI comes from.
    pub spi_source: Source,
    /// From its supply being up to its reset pulse and first command, in milliseconds.
    pub power_up_milliseconds: u8,
    /// From its reset pulse to its first command, in milliseconds.
    pub reset_milliseconds: u8,
    /// What its reset pin needs.
    pub reset: &'static str,
    /// How it is to be switched off for good.
    pub power_down: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

impl Controller {
    /// Pages of eight rows.
    pub fn pages(&self) -> u8 {
        self.memory_rows / 8
    }
    /// Common drivers: what a row of the display hangs on, or a column where pages run along the segments.
    pub fn commons(&self) -> u8 {
        if self.sideways { self.memory_columns } else { self.memory_rows }
    }
    /// Segment drivers: what a column of the display hangs on, or a row where pages run along them.
    pub fn segments(&self) -> u8 {
        if self.sideways { self.memory_rows } else { self.memory_columns }
    }
    /// Whether columns and rows can be reversed by a command.
    pub fn reverses(&self) -> bool {
        self.command_set == CommandSet::Paged
    }
    /// Whether a start line can be set up: of rows, or where pages run along the segments, of columns.
    pub fn takes_start_line(&self) -> bool {
        self.has_start_line || self.sideways
    }
    /// Whether its display is a liquid crystal, which shows by the light around it.
    pub fn is_lcd(&self) -> bool {
        matches!(self.pump, PumpCommand::PowerCircuits | PumpCommand::Multiplier)
    }
    /// Whether windows of pages and columns can be set.
    pub fn has_windows(&self) -> bool {
        self.addressing == Addressing::PagesAndWindows
    }
}

pub(super) const fn kilohertz(count: u32) -> Hertz {
    Hertz(count * 1000)
}

/// From the supply being up to the first command. SSD1315 data sheet Rev 1.1 §6.9.2 asks for 20 ms at least before the reset
/// pulse; the others name none. Supplies of small boards rise slowly, so this is what most builders wait (common practice).
const POWER_UP_MILLISECONDS: u8 = 100;

const ALL_COMMON_PINS: &[u8] = &[0x02, 0x12, 0x22, 0x32];

pub(super) const SSD1306_CLOCK: FrameClock = FrameClock {
    fixed_clocks: 50,
    clocks_per_phase_step: 1,
    oscillator: [kilohertz(333), kilohertz(370), kilohertz(407)],
    nominal_code: 8,
    oscillator_by_code: &[
        (0, kilohertz(270)),
        (4, kilohertz(315)),
        (8, kilohertz(370)),
        (12, kilohertz(450)),
        (15, kilohertz(540)),
    ],
    source: Source::new(
        "SSD1306 data sheet Rev 1.5 §8.3, Table 13-1; codes other than 8 read by eye off Fig 10-7",
        Certainty::DataSheet,
    ),
};

const SSD1306_CURRENT: SegmentCurrent = SegmentCurrent {
    reference_nanoamperes: 12_500,
    factor: 8,
    source: Source::new("SSD1306 data sheet Rev 1.5 §8.8", Certainty::DataSheet),
};

pub(super) const SSD1306: Controller = Controller {
    name: "SSD1306",
    family: Family::Ssd1306,
    memory_columns: 128,
    memory_rows: 64,
    addressing: Addressing::PagesAndWindows,
    row_end: RowEnd::Returns,
    command_set: CommandSet::Paged,
    sideways: false,
    has_start_line: true,
    contrast_lowest: 0,
    contrast_highest: u8::MAX,
    contrast_reset: 0x7F,
    multiplex_lowest: 16,
    pump: PumpCommand::Command8D { on_values: &[0x14] },
    internal_reference: false,
    hardware_scroll: true,
    deselect_levels: &[0x00, 0x20, 0x30],
    common_pin_values: ALL_COMMON_PINS,
    clock: Some(SSD1306_CLOCK),
    segment_current: Some(SSD1306_CURRENT),
    highest_i2c_clock: Some(kilohertz(400)),
    highest_spi_clock: Some(kilohertz(10_000)),
    takes_nine_bits: true,
    spi_source: Source::new("SSD1306 data sheet Rev 1.5 Tables 13-4 and 13-5: 100 ns a cycle", Certainty::DataSheet),
    power_up_milliseconds: POWER_UP_MILLISECONDS,
    reset_milliseconds: 1,
    reset: "low for 3 µs or longer; a module without the pin resets itself",
    power_down: "AE, then the panel's high voltage off, 100 ms, then the logic supply off",
    source: Source::new("SSD1306 data sheet Rev 1.5 §8.7, Table 9-1", Certainty::DataSheet),
};

static CONTROLLERS: [Controller; 12] = [
    SSD1306,
    Controller {
        name: "SSD1306B",
        family: Family::Ssd1306b,
        internal_reference: true,
        clock: Some(FrameClock {
            source: Source::new(
                "as SSD1306 Rev 1.5 §8.3; a data sheet of this part was not read, its panel's maker hints at SSD1315 figures",
                Certainty::Memory,
            ),
            ..SSD1306_CLOCK
        }),
        segment_current: Some(SegmentCurrent {
            reference_nanoamperes: 30_000,
            factor: 8,
            source: Source::new("as SSD1315 data sheet Rev 1.1 with AD 30", Certainty::Memory),
        }),
        spi_source: Source::new("as SSD1306 data sheet Rev 1.5 Table 13-4", Certainty::Memory),
        source: Source::new(
            "HP7240 module specification Ver 1.0 §10; for the rest SSD1306 data sheet Rev 1.5",
            Certainty::Excerpt,
        ),
        ..SSD1306
    },
    Controller {
        name: "SSD1309",
        family: Family::Ssd1309,
        pump: PumpCommand::None,
        deselect_levels: &[0x00, 0x34, 0x3C],
        clock: None,
        segment_current: None,
        spi_source: Source::new(
            "SPD0301 data sheet Rev 0.10 Tables 12-4 and 12-5, which a maker files under this part",
            Certainty::DataSheet,
        ),
        source: Source::new(
            "as SSD1306, without pump and with VCOMH 34: display drivers' source; the rest from memory",
            Certainty::Memory,
        ),
        ..SSD1306
    },
    Controller {
        name: "SSD1315",
        family: Family::Ssd1315,
        contrast_lowest: 1,
        pump: PumpCommand::Command8D { on_values: &[0x14, 0x94, 0x95] },
        internal_reference: true,
        deselect_levels: &[0x00, 0x10, 0x20, 0x30],
        clock: Some(FrameClock {
            fixed_clocks: 99,
            clocks_per_phase_step: 2,
            oscillator: [kilohertz(620), kilohertz(688), kilohertz(756)],
            nominal_code: 8,
            oscillator_by_code: &[(8, kilohertz(688))],
            source: Source::new("SSD1315 data sheet Rev 1.1, frame frequency and AC tables", Certainty::DataSheet),
        }),
        segment_current: Some(SegmentCurrent {
            reference_nanoamperes: 19_000,
            factor: 8,
            source: Source::new("SSD1315 data sheet Rev 1.1, current reference and command AD", Certainty::DataSheet),
        }),
        spi_source: Source::new("SSD1315 data sheet Rev 1.1 Tables 9-4 and 9-5: 100 ns a cycle", Certainty::DataSheet),
        source: Source::new("SSD1315 data sheet Rev 1.1 and command table Rev 1.0", Certainty::DataSheet),
        ..SSD1306
    },
    Controller {
        name: "SH1106",
        family: Family::Sh1106,
        memory_columns: 132,
        addressing: Addressing::PagesOnly,
        row_end: RowEnd::Stops,
        contrast_reset: 0x80,
        multiplex_lowest: 1,
        pump: PumpCommand::CommandAd { on: 0x8B, off: 0x8A, has_voltages: true },
        hardware_scroll: false,
        deselect_levels: &[],
        common_pin_values: &[0x02, 0x12],
        clock: Some(FrameClock {
            oscillator: [kilohertz(315), kilohertz(360), kilohertz(420)],
            nominal_code: 5,
            oscillator_by_code: &[(0, kilohertz(270)), (5, kilohertz(360)), (15, kilohertz(540))],
            source: Source::new(
                "54 clocks a row and 360 kHz from memory; steps of 5 percent from an excerpt of the data sheet",
                Certainty::Memory,
            ),
            ..SSD1306_CLOCK
        }),
        segment_current: Some(SegmentCurrent {
            reference_nanoamperes: 10_000,
            factor: 32,
            source: Source::new("SH1106 data sheet, as transcribed in a public header", Certainty::Excerpt),
        }),
        highest_spi_clock: Some(kilohertz(4_000)),
        spi_source: Source::new("SH1106 data sheet V2.2, 250 ns a cycle from 2.4 V on", Certainty::DataSheet),
        reset: "low for 10 µs or longer; a module without the pin resets itself",
        source: Source::new(
            "SH1106 data sheet V2.3 (first pages) and 1.3 inch panel specification §4.4",
            Certainty::Excerpt,
        ),
        ..SSD1306
    },
    other_controllers::SSD1305,
    other_controllers::SSD1312,
    other_controllers::SH1107,
    other_controllers::ST7567A,
    other_controllers::ST7565R,
    other_controllers::UC1701X,
    other_controllers::PCD8544,
];

/// Every controller known here.
pub fn controllers() -> &'static [Controller] {
    &CONTROLLERS
}

/// The controller of a part number, in any case.
pub fn controller(name: &str) -> Option<&'static Controller> {
    CONTROLLERS.iter().find(|row| row.name.eq_ignore_ascii_case(name))
}

/// The row of a family; for tables of panels.
pub(super) const fn row(family: Family) -> &'static Controller {
    match family {
        Family::Ssd1306 => &CONTROLLERS[0],
        Family::Ssd1306b => &CONTROLLERS[1],
        Family::Ssd1309 => &CONTROLLERS[2],
        Family::Ssd1315 => &CONTROLLERS[3],
        Family::Sh1106 => &CONTROLLERS[4],
        Family::Ssd1305 => &CONTROLLERS[5],
        Family::Ssd1312 => &CONTROLLERS[6],
        Family::Sh1107 => &CONTROLLERS[7],
        Family::St7567a => &CONTROLLERS[8],
        Family::St7565r => &CONTROLLERS[9],
        Family::Uc1701x => &CONTROLLERS[10],
        Family::Pcd8544 => &CONTROLLERS[11],
    }
}
