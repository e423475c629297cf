//! The displays known here, one row each, with where their geometry and set-up were read.
//!
//! The 0.87 inch display of 128×32 is left out: nothing certain is known of it, so describe it in the show.

use super::controller::row;
use super::other_panel_rows::OTHER_ROWS;
use super::{Certainty, Colour, Controller, Current, Drive, Family, Lifetime, Panel, Source, Supply, Tint, Wiring};
use std::borrow::Cow;
use std::sync::LazyLock;

/// Wiring that most displays share: upright as drivers set it (A1, C8), no offsets, alternative COM pins.
pub(super) const fn wiring(first_column: u8, multiplex: u8, common_pins: u8) -> Wiring {
    Wiring {
        first_column,
        segments_reversed: true,
        commons_reversed: true,
        multiplex,
        display_offset: 0,
        start_line: 0,
        common_pins,
    }
}

/// SSD1306 at reset clock with its pump; precharge F1 as sample code has it (common practice), VCOMH and contrast at reset.
pub(super) const PUMPED: Drive = Drive {
    supply: Supply::Pump8D(0x14),
    clock: 0x80,
    precharge: 0xF1,
    deselect: 0x20,
    contrast: 0x7F,
    reference: None,
};

/// HP7240 module specification Ver 1.0 §10, code listing.
const HP7240_DRIVE: Drive = Drive { precharge: 0x22, contrast: 0x2F, reference: Some(0x30), ..PUMPED };

/// 1.3 inch SH1106 panel specification §4.4, internal pump.
const SH1106_DRIVE: Drive = Drive {
    supply: Supply::PumpAd(0x33),
    clock: 0x80,
    precharge: 0x1F,
    deselect: 0x40,
    contrast: 0xFF,
    reference: None,
};

/// The same line stands in HP7240 Ver 1.0 (7.5 V) and in the 1.3 inch SH1106 panel specification (12 V): 25 °C, half-lit checkerboard.
const STOCK_LIFETIMES: &[Lifetime] = &[
    Lifetime { candela_per_square_metre: 120, hours: 10_000 },
    Lifetime { candela_per_square_metre: 80, hours: 30_000 },
    Lifetime { candela_per_square_metre: 60, hours: 50_000 },
];

const DRIVERS: Source =
    Source::new("display drivers' source and reset values; precharge F1 is common practice", Certainty::DriverSource);

/// A row of the table, constant throughout; the fields are those of [`Panel`].
#[derive(Clone, Copy)]
pub(super) struct RowOfPanels {
    pub name: &'static str,
    pub controller: &'static Controller,
    pub width: u32,
    pub height: u32,
    pub pitch_micrometres: [u32; 2],
    pub dot_micrometres: [u32; 2],
    pub wiring: Wiring,
    pub known_first_columns: &'static [u8],
    pub drive: Drive,
    pub tint: Tint,
    pub candela_per_square_metre: Option<u32>,
    pub current: Option<Current>,
    pub lifetimes: &'static [Lifetime],
    pub geometry_source: Source,
    pub set_up_source: Source,
}

impl From<RowOfPanels> for Panel {
    fn from(row: RowOfPanels) -> Self {
        Self {
            name: Cow::Borrowed(row.name),
            controller: row.controller,
            width: row.width,
            height: row.height,
            pitch_micrometres: row.pitch_micrometres,
            dot_micrometres: row.dot_micrometres,
            wiring: row.wiring,
            known_first_columns: row.known_first_columns,
            drive: row.drive,
            tint: row.tint,
            candela_per_square_metre: row.candela_per_square_metre,
            current: row.current,
            lifetimes: row.lifetimes,
            geometry_source: row.geometry_source,
            set_up_source: row.set_up_source,
        }
    }
}

/// What is not known of most displays, and 0.96 inch for the rest; rows change what differs.
pub(super) const ORDINARY: RowOfPanels = RowOfPanels {
    name: "0.96in-128x64-ssd1306",
    controller: row(Family::Ssd1306),
    width: 128,
    height: 64,
    pitch_micrometres: [170, 170],
    dot_micrometres: [154, 154],
    wiring: wiring(0, 64, 0x12),
    known_first_columns: &[],
    drive: PUMPED,
    tint: Tint::Plain(Colour::White),
    candela_per_square_metre: None,
    current: None,
    lifetimes: &[],
    geometry_source: Source::new(
        "0.96 inch panel data sheet (21.744 × 10.864 mm); dot size from a dealer's page",
        Certainty::Excerpt,
    ),
    set_up_source: DRIVERS,
};

const HP7240: RowOfPanels = RowOfPanels {
    name: "0.42in-72x40-ssd1306",
    controller: row(Family::Ssd1306b),
    width: 72,
    height: 40,
    pitch_micrometres: [128, 130],
    dot_micrometres: [108, 110],
    wiring: Wiring { segments_reversed: false, commons_reversed: false, ..wiring(28, 40, 0x12) },
    drive: HP7240_DRIVE,
    candela_per_square_metre: Some(430),
    current: Some(Current {
        all_lit_typical_microamperes: 22_000,
        all_lit_highest_microamperes: 25_000,
        asleep_highest_microamperes: 20,
    }),
    lifetimes: STOCK_LIFETIMES,
    geometry_source: Source::new("HP7240 module specification Ver 1.0 §5", Certainty::DataSheet),
    set_up_source: Source::new("HP7240 module specification Ver 1.0 §10 (code listing)", Certainty::DataSheet),
    ..ORDINARY
};

const NARROW: RowOfPanels = RowOfPanels {
    name: "0.91in-128x32-ssd1306",
    height: 32,
    pitch_micrometres: [175, 175],
    dot_micrometres: [159, 159],
    wiring: wiring(0, 32, 0x02),
    geometry_source: Source::new(
        "two 0.91 inch panel data sheets (22.384 × 5.584 mm); one gives the dot as 0.152 mm",
        Certainty::Excerpt,
    ),
    ..ORDINARY
};

const SH1106_GLASS: RowOfPanels = RowOfPanels {
    name: "1.3in-128x64-sh1106",
    controller: row(Family::Sh1106),
    pitch_micrometres: [230, 230],
    dot_micrometres: [210, 210],
    wiring: wiring(2, 64, 0x12),
    drive: SH1106_DRIVE,
    current: Some(Current {
        all_lit_typical_microamperes: 45_000,
        all_lit_highest_microamperes: 50_000,
        asleep_highest_microamperes: 5,
    }),
    lifetimes: STOCK_LIFETIMES,
    geometry_source: Source::new("1.3 inch SH1106 panel specification §1.2", Certainty::DataSheet),
    set_up_source: Source::new("1.3 inch SH1106 panel specification §4.4", Certainty::DataSheet),
    ..ORDINARY
};

const ROWS: [RowOfPanels; 14] = [
    HP7240,
    RowOfPanels {
        name: "0.42in-72x40-ssd1315",
        controller: row(Family::Ssd1315),
        set_up_source: Source::new("as HP7240 §10; sold with either controller", Certainty::CommonPractice),
        ..HP7240
    },
    RowOfPanels {
        name: "0.42in-72x40-sh1106",
        controller: row(Family::Sh1106),
        wiring: Wiring { display_offset: 0x0C, ..wiring(30, 40, 0x12) },
        drive: Drive { contrast: 0x7F, ..SH1106_DRIVE },
        candela_per_square_metre: None,
        current: None,
        lifetimes: &[],
        geometry_source: Source::new("taken to be as HP7240 §5", Certainty::CommonPractice),
        set_up_source: Source::new(
            "a display driver's board file; scan direction from memory",
            Certainty::DriverSource,
        ),
        ..HP7240
    },
    RowOfPanels {
        name: "0.49in-64x32-ssd1306",
        width: 64,
        height: 32,
        pitch_micrometres: [175, 175],
        dot_micrometres: [155, 155],
        wiring: wiring(32, 32, 0x12),
        geometry_source: Source::new("0.49 inch panel specification Ver 1.0 (11.18 × 5.58 mm)", Certainty::Excerpt),
        ..ORDINARY
    },
    RowOfPanels {
        name: "0.66in-64x48-ssd1306",
        width: 64,
        height: 48,
        pitch_micrometres: [210, 210],
        dot_micrometres: [190, 190],
        wiring: wiring(32, 48, 0x12),
        geometry_source: Source::new("from memory (13.42 × 10.06 mm)", Certainty::Memory),
        ..ORDINARY
    },
    RowOfPanels {
        name: "0.69in-96x16-ssd1306",
        width: 96,
        height: 16,
        pitch_micrometres: [180, 200],
        dot_micrometres: [160, 180],
        wiring: wiring(0, 16, 0x02),
        geometry_source: Source::new("from memory (17.26 × 3.18 mm)", Certainty::Memory),
        ..ORDINARY
    },
    NARROW,
    RowOfPanels { name: "0.91in-128x32-ssd1306-blue", tint: Tint::Plain(Colour::Blue), ..NARROW },
    ORDINARY,
    RowOfPanels { name: "0.96in-128x64-ssd1306-blue", tint: Tint::Plain(Colour::Blue), ..ORDINARY },
    RowOfPanels {
        name: "0.96in-128x64-ssd1306-yellow-blue",
        tint: Tint::Split { upper: Colour::Yellow, lower: Colour::Blue, first_lower_row: 16 },
        set_up_source: Source::new(
            "as 0.96 inch; which edge is yellow depends on the module (common practice: the top)",
            Certainty::CommonPractice,
        ),
        ..ORDINARY
    },
    RowOfPanels {
        name: "0.96in-128x64-ssd1315",
        controller: row(Family::Ssd1315),
        set_up_source: Source::new("as SSD1306; many modules sold as such carry it", Certainty::CommonPractice),
        ..ORDINARY
    },
    SH1106_GLASS,
    RowOfPanels {
        name: "1.54in-128x64-ssd1309",
        controller: row(Family::Ssd1309),
        pitch_micrometres: [274, 274],
        dot_micrometres: [254, 254],
        drive: Drive { supply: Supply::External, clock: 0xA0, deselect: 0x34, ..PUMPED },
        geometry_source: Source::new("from memory (35.052 × 17.516 mm)", Certainty::Memory),
        set_up_source: Source::new(
            "clock A and VCOMH 34 as a display driver has them; the rest from memory",
            Certainty::Memory,
        ),
        ..ORDINARY
    },
];

static PANELS: LazyLock<Vec<Panel>> = LazyLock::new(|| ROWS.into_iter().chain(OTHER_ROWS).map(Panel::from).collect());

/// Every panel known here: those with an SSD1306 or its kin, the smallest first, then the others.
pub fn panels() -> &'static [Panel] {
    &PANELS
}

/// The panel of a name.
pub fn find(name: &str) -> Option<&'static Panel> {
    PANELS.iter().find(|row| row.name == name)
}
