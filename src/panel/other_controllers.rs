//! Controllers other than the SSD1306 family: those with 132 columns or 128 rows, and those of LCDs.

use super::controller::{
    CommandSet, Controller, Family, FrameClock, PumpCommand, RowEnd, SSD1306, SSD1306_CLOCK, SegmentCurrent, kilohertz,
};
use super::{Addressing, Certainty, Source};

/// What is not known of a relative.
const LIKE_SSD1306: SegmentCurrent = SegmentCurrent {
    reference_nanoamperes: 12_500,
    factor: 8,
    source: Source::new("taken to be as the SSD1306's", Certainty::Memory),
};

pub(super) const SSD1305: Controller = Controller {
    name: "SSD1305",
    family: Family::Ssd1305,
    memory_columns: 132,
    contrast_reset: 0x80,
    pump: PumpCommand::CommandAd { on: 0x8F, off: 0x8E, has_voltages: false },
    deselect_levels: &[0x00, 0x34, 0x3C],
    clock: Some(FrameClock {
        oscillator: [kilohertz(324), kilohertz(360), kilohertz(396)],
        nominal_code: 7,
        oscillator_by_code: &[(7, kilohertz(360))],
        source: Source::new("SSD1305 data sheet Rev 1.8; code 7 after reset, others unknown", Certainty::DataSheet),
        ..SSD1306_CLOCK
    }),
    segment_current: Some(LIKE_SSD1306),
    highest_spi_clock: Some(kilohertz(4_000)),
    takes_nine_bits: false,
    spi_source: Source::new("SSD1305 data sheet Rev 1.8 Table 13-4: 250 ns a cycle", Certainty::DataSheet),
    source: Source::new("SSD1305 data sheet Rev 1.8", Certainty::DataSheet),
    ..SSD1306
};

pub(super) const SSD1312: Controller = Controller {
    name: "SSD1312",
    family: Family::Ssd1312,
    // Values of a maker's demonstration code: 7.5, 8, 9 and 10 V; 14 is what widely used code sends.
    pump: PumpCommand::Command8D { on_values: &[0x12, 0x14, 0x52, 0x72, 0x92] },
    hardware_scroll: false,
    deselect_levels: &[],
    common_pin_values: &[0x00, 0x02, 0x10, 0x12],
    clock: None,
    segment_current: Some(LIKE_SSD1306),
    takes_nine_bits: false,
    spi_source: Source::new("as SSD1306; no data sheet was read", Certainty::Memory),
    source: Source::new("display drivers' source; no data sheet was read", Certainty::DriverSource),
    ..SSD1306
};

pub(super) const SH1107: Controller = Controller {
    name: "SH1107",
    family: Family::Sh1107,
    memory_columns: 128,
    memory_rows: 128,
    addressing: Addressing::PagesOnly,
    sideways: true,
    has_start_line: false,
    contrast_reset: 0x80,
    multiplex_lowest: 1,
    pump: PumpCommand::CommandAd { on: 0x8B, off: 0x8A, has_voltages: false },
    hardware_scroll: false,
    deselect_levels: &[],
    common_pin_values: &[],
    clock: Some(FrameClock {
        oscillator: [kilohertz(720), kilohertz(720), kilohertz(720)],
        nominal_code: 5,
        oscillator_by_code: &[(0, kilohertz(540)), (5, kilohertz(720)), (15, kilohertz(1_080))],
        source: Source::new(
            "SH1107 data sheet V2.1: 720 kHz / (54 × 128) = 104 Hz, steps of 5 %; its spread is not known",
            Certainty::DataSheet,
        ),
        ..SSD1306_CLOCK
    }),
    segment_current: Some(SegmentCurrent {
        reference_nanoamperes: 10_000,
        factor: 32,
        source: Source::new(
            "SH1107 data sheet V2.1: contrast / 256 × reference × 32; the reference as of the SH1106",
            Certainty::Memory,
        ),
    }),
    highest_spi_clock: Some(kilohertz(4_000)),
    spi_source: Source::new("SH1107 data sheet V2.1, 250 ns a cycle from 2.4 V on", Certainty::DataSheet),
    reset: "low for 10 µs or longer, ready after 2 µs",
    power_down: "AE, then the panel's high voltage off, 100 ms, then the logic supply off",
    source: Source::new("SH1107 data sheet V2.1, commands 1–23 and figure 10", Certainty::DataSheet),
    ..SSD1306
};

pub(super) const ST7567A: Controller = Controller {
    name: "ST7567A",
    family: Family::St7567a,
    memory_columns: 132,
    addressing: Addressing::PagesOnly,
    contrast_highest: 0x3F,
    contrast_reset: 0x20,
    multiplex_lowest: 1,
    pump: PumpCommand::PowerCircuits,
    hardware_scroll: false,
    deselect_levels: &[],
    common_pin_values: &[],
    clock: None,
    segment_current: None,
    highest_spi_clock: Some(kilohertz(10_000)),
    spi_source: Source::new(
        "ST7567A data sheet Ver 1.2a: 100 ns a cycle at 2.8 V; 50 ns at 3.3 V",
        Certainty::DataSheet,
    ),
    reset: "low for 5 µs or longer, after 1 ms of stable supply",
    power_down: "AE and A5 (power save), 250 ms, then the supply off",
    source: Source::new("ST7567A data sheet Ver 1.2a", Certainty::DataSheet),
    ..SSD1306
};

pub(super) const ST7565R: Controller = Controller {
    name: "ST7565R",
    family: Family::St7565r,
    row_end: RowEnd::Stops,
    highest_i2c_clock: None,
    takes_nine_bits: false,
    spi_source: Source::new(
        "ST7565R data sheet Ver 1.5: 100 ns a cycle at 2.7 V; 50 ns at 3.3 V",
        Certainty::DataSheet,
    ),
    reset: "needed: low for 1 µs or longer at 3.3 V (3 µs at 1.8 V); without it the state after power-up is undefined",
    power_down: "AE and A5 (power save), wait until the panel's voltage has fallen, then the supply off",
    source: Source::new("ST7565R data sheet Ver 1.5", Certainty::DataSheet),
    ..ST7567A
};

pub(super) const UC1701X: Controller = Controller {
    name: "UC1701x",
    family: Family::Uc1701x,
    row_end: RowEnd::AsSet,
    highest_i2c_clock: None,
    highest_spi_clock: Some(kilohertz(16_000)),
    takes_nine_bits: false,
    spi_source: Source::new(
        "UC1701x data sheet A1.0: 60 ns a cycle at 1.65 V; 30 ns from 2.5 V on",
        Certainty::DataSheet,
    ),
    // 6 ms, and one more, since a clock of whole milliseconds may be one short.
    reset_milliseconds: 7,
    reset: "optional: low for 3 µs or longer, then 6 ms before the first command",
    power_down: "E2, 3 ms, then the supply off",
    source: Source::new("UC1701x data sheet A1.0", Certainty::DataSheet),
    ..ST7567A
};

pub(super) const PCD8544: Controller = Controller {
    name: "PCD8544",
    family: Family::Pcd8544,
    memory_columns: 84,
    memory_rows: 48,
    row_end: RowEnd::NextPage,
    command_set: CommandSet::Banked,
    has_start_line: false,
    contrast_highest: 0x7F,
    contrast_reset: 0,
    multiplex_lowest: 48,
    pump: PumpCommand::Multiplier,
    highest_i2c_clock: None,
    highest_spi_clock: Some(kilohertz(4_000)),
    takes_nine_bits: false,
    spi_source: Source::new("PCD8544 data sheet of 1999-04-12: 250 ns a cycle", Certainty::DataSheet),
    power_up_milliseconds: 10,
    reset: "needed: low for 100 ns or longer, within 30 ms of the supply being up; without it the part may be damaged",
    power_down: "all memory 0, then 24 (power-down mode), then the supply off",
    source: Source::new("PCD8544 data sheet of 1999-04-12", Certainty::DataSheet),
    ..ST7567A
};
