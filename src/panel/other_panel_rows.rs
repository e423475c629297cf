//! The displays whose controllers are not of the SSD1306's kin, or which are liquid crystals, one row each.

use super::controller::row;
use super::panel_rows::{ORDINARY, PUMPED, RowOfPanels, wiring};
use super::{Certainty, CrystalDrive, Drive, Family, Source, Supply, Tint, Wiring};

/// Offsets that were found on boards sold under one number; the rule is (columns of memory − columns of the display) / 2.
const BY_BATCH: &[u8] = &[0, 2, 4];

const SSD1305_WIDE: RowOfPanels = RowOfPanels {
    name: "2.23in-128x32-ssd1305",
    controller: row(Family::Ssd1305),
    height: 32,
    pitch_micrometres: [430, 410],
    dot_micrometres: [410, 390],
    wiring: wiring(4, 32, 0x12),
    known_first_columns: BY_BATCH,
    drive: Drive { supply: Supply::External, clock: 0xA0, precharge: 0x22, deselect: 0x34, contrast: 0x80, ..PUMPED },
    geometry_source: Source::new("from memory (55.0 × 13.1 mm)", Certainty::Memory),
    set_up_source: Source::new(
        "first column by drivers' source; the rest reset values, clock A from memory",
        Certainty::DriverSource,
    ),
    ..ORDINARY
};

const SSD1312_GLASS: RowOfPanels = RowOfPanels {
    name: "0.96in-128x64-ssd1312",
    controller: row(Family::Ssd1312),
    wiring: Wiring { commons_reversed: false, ..wiring(0, 64, 0x12) },
    drive: Drive { supply: Supply::Pump8D(0x12), ..PUMPED },
    geometry_source: Source::new("taken to be as the 0.96 inch display of the SSD1306", Certainty::CommonPractice),
    set_up_source: Source::new(
        "display drivers' source: A1 with C0 is upright; pump 12 from a maker's demonstration",
        Certainty::DriverSource,
    ),
    ..ORDINARY
};

/// SH1107 data sheet V2.1: reset values; precharge and VCOM likewise. Boards have a boost converter of their own.
const SH1107_DRIVE: Drive =
    Drive { supply: Supply::External, clock: 0x50, precharge: 0x22, deselect: 0x35, contrast: 0x80, reference: None };

const PORTRAIT: RowOfPanels = RowOfPanels {
    name: "1.3in-64x128-sh1107",
    controller: row(Family::Sh1107),
    width: 64,
    height: 128,
    pitch_micrometres: [230, 230],
    dot_micrometres: [210, 210],
    wiring: Wiring { segments_reversed: false, commons_reversed: false, display_offset: 0x60, ..wiring(0, 64, 0x12) },
    drive: SH1107_DRIVE,
    geometry_source: Source::new(
        "1.3 inch module sheet (14.70 × 29.42 mm), pitch computed; its dot of 0.15 mm does not fit that area",
        Certainty::Computed,
    ),
    set_up_source: Source::new("display drivers' source, offset 96; directions from memory", Certainty::DriverSource),
    ..ORDINARY
};

const SQUARE: RowOfPanels = RowOfPanels {
    name: "1.12in-128x128-sh1107",
    width: 128,
    pitch_micrometres: [157, 157],
    dot_micrometres: [140, 140],
    wiring: Wiring { segments_reversed: false, commons_reversed: false, ..wiring(0, 128, 0x12) },
    geometry_source: Source::new("pitch computed from the diagonal; dot from memory", Certainty::Memory),
    set_up_source: Source::new("two makers' boards: offset 0; directions from memory", Certainty::DriverSource),
    ..PORTRAIT
};

/// A2 (1/9), ratio 5.0 and the middle of the volume: 8.49 V.
const CRYSTAL: Drive = Drive {
    supply: Supply::Crystal(CrystalDrive { ratio: 4, bias: 0, booster: None }),
    clock: 0,
    precharge: 0,
    deselect: 0,
    contrast: 0x20,
    reference: None,
};

/// Upright as a driver has it: A1, C0 and offset 4; the same display turned by half is A0, C8 and offset 0.
const LCD_WIRING: Wiring = Wiring { commons_reversed: false, ..wiring(4, 64, 0x02) };

const LCD: RowOfPanels = RowOfPanels {
    name: "lcd-128x64-st7567a",
    controller: row(Family::St7567a),
    pitch_micrometres: [420, 420],
    dot_micrometres: [390, 390],
    wiring: LCD_WIRING,
    known_first_columns: BY_BATCH,
    drive: CRYSTAL,
    tint: Tint::Crystal,
    geometry_source: Source::new("assumed as the ST7565R display of 58 × 28 mm: measure it", Certainty::Memory),
    set_up_source: Source::new(
        "ST7567A data sheet Ver 1.2a, flow of the set-up; directions and offset by a driver's source; ratio and volume differ from display to display: adjust them",
        Certainty::CommonPractice,
    ),
    ..ORDINARY
};

pub(super) const OTHER_ROWS: [RowOfPanels; 13] = [
    SSD1305_WIDE,
    RowOfPanels {
        name: "2.23in-128x64-ssd1305",
        height: 64,
        pitch_micrometres: [396, 396],
        dot_micrometres: [376, 376],
        wiring: wiring(4, 64, 0x12),
        geometry_source: Source::new("pitch computed from the diagonal; dot from memory", Certainty::Memory),
        ..SSD1305_WIDE
    },
    SSD1312_GLASS,
    RowOfPanels {
        name: "0.63in-120x28-ssd1312",
        width: 120,
        height: 28,
        pitch_micrometres: [130, 130],
        dot_micrometres: [110, 110],
        wiring: Wiring { commons_reversed: false, ..wiring(4, 28, 0x12) },
        geometry_source: Source::new("pitch computed from the diagonal; dot from memory", Certainty::Memory),
        set_up_source: Source::new("as 0.96 inch; first column by the rule of halves, from memory", Certainty::Memory),
        ..SSD1312_GLASS
    },
    RowOfPanels {
        // Held upright it has 64×128 pixels: its segments run along the long side.
        name: "1.3in-128x64-ssd1312",
        pitch_micrometres: [230, 230],
        dot_micrometres: [210, 210],
        geometry_source: Source::new(
            "taken to be as the 1.3 inch display of the SH1107; for a picture of 64×128, mount it with `turn: Left` or `Right`",
            Certainty::Memory,
        ),
        set_up_source: Source::new("as 0.96 inch, which display drivers' source covers", Certainty::DriverSource),
        ..SSD1312_GLASS
    },
    PORTRAIT,
    RowOfPanels {
        name: "1.3in-64x128-sh1107-columns-32",
        wiring: Wiring { display_offset: 0, ..wiring_of_columns_32() },
        set_up_source: Source::new(
            "measured on one board, and a driver's source; directions from memory",
            Certainty::DriverSource,
        ),
        ..PORTRAIT
    },
    SQUARE,
    RowOfPanels {
        name: "1.5in-128x128-sh1107",
        pitch_micrometres: [210, 210],
        dot_micrometres: [190, 190],
        geometry_source: Source::new("from memory", Certainty::Memory),
        set_up_source: Source::new(
            "display drivers' source: some need an offset; directions from memory",
            Certainty::DriverSource,
        ),
        ..SQUARE
    },
    LCD,
    RowOfPanels {
        name: "lcd-128x64-st7565r",
        controller: row(Family::St7565r),
        geometry_source: Source::new(
            "visible 58 × 28 mm by a module's sheet; pitch and dot from memory",
            Certainty::Memory,
        ),
        set_up_source: Source::new(
            "ST7565R data sheet Ver 1.5; directions and offset taken to be as the ST7567A's; ratio and volume differ from display to display: adjust them",
            Certainty::CommonPractice,
        ),
        ..LCD
    },
    RowOfPanels {
        name: "lcd-128x64-uc1701x",
        controller: row(Family::Uc1701x),
        wiring: Wiring { segments_reversed: false, ..wiring(0, 64, 0x02) },
        pitch_micrometres: [290, 360],
        dot_micrometres: [260, 330],
        known_first_columns: &[],
        drive: Drive {
            supply: Supply::Crystal(CrystalDrive { ratio: 3, bias: 0, booster: None }),
            contrast: 0x28,
            ..CRYSTAL
        },
        geometry_source: Source::new("JLX12864G-086-PN module sheet (37.09 × 23.01 mm)", Certainty::DataSheet),
        set_up_source: Source::new("JLX12864G-086-PN module sheet, demonstration", Certainty::DataSheet),
        ..LCD
    },
    RowOfPanels {
        name: "1.5in-84x48-pcd8544",
        controller: row(Family::Pcd8544),
        width: 84,
        height: 48,
        pitch_micrometres: [350, 410],
        dot_micrometres: [330, 390],
        wiring: Wiring { segments_reversed: false, commons_reversed: false, ..wiring(0, 48, 0x02) },
        known_first_columns: &[],
        drive: Drive {
            // 1:48, and 6.42 V, in the middle of what such displays need (from memory).
            supply: Supply::Crystal(CrystalDrive { ratio: 0, bias: 3, booster: None }),
            contrast: 0x38,
            ..CRYSTAL
        },
        geometry_source: Source::new("from memory (29.4 × 19.7 mm); pixels are taller than wide", Certainty::Memory),
        set_up_source: Source::new(
            "PCD8544 data sheet of 1999-04-12; its voltage differs from display to display: adjust it",
            Certainty::CommonPractice,
        ),
        ..LCD
    },
];

/// All 128 commons driven, of which the display hangs on 32 to 95.
const fn wiring_of_columns_32() -> Wiring {
    Wiring { segments_reversed: false, commons_reversed: false, ..wiring(32, 128, 0x12) }
}
