//! A panel: a display, the part of controller memory it shows, how it is driven, and its size.

use super::{Controller, CrystalDrive, Source};
use std::borrow::Cow;

/// The light of a pixel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colour {
    White,
    Blue,
    Yellow,
    Green,
    Amber,
}

impl Colour {
    /// Red, green and blue (0–255) for pictures of the display; chosen by eye.
    pub fn rgb(self) -> [u8; 3] {
        match self {
            Self::White => [235, 243, 255],
            Self::Blue => [92, 190, 255],
            Self::Yellow => [255, 220, 60],
            Self::Green => [110, 255, 120],
            Self::Amber => [255, 176, 48],
        }
    }
}

/// The light of the whole display.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tint {
    /// One colour.
    Plain(Colour),
    /// Rows above `first_lower_row` of the upright display in one colour, the others in another, with a dark gap between.
    Split { upper: Colour, lower: Colour, first_lower_row: u32 },
    /// None of its own: an LCD, whose pixels darken a light background.
    Crystal,
}

impl Tint {
    /// The colour of a row of the upright display; an LCD has that of its background.
    pub fn colour_at(self, glass_row: u32) -> Colour {
        match self {
            Self::Crystal => Colour::White,
            Self::Plain(colour) => colour,
            Self::Split { upper, first_lower_row, .. } if glass_row < first_lower_row => upper,
            Self::Split { lower, .. } => lower,
        }
    }
}

/// How the display hangs on the controller, as set-up values that show memory upright: row 0 of memory at the top.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wiring {
    /// Memory column shown at the left edge of the upright display.
    pub first_column: u8,
    /// Whether upright needs the segments reversed (A1 instead of A0).
    pub segments_reversed: bool,
    /// Whether upright needs the commons scanned from the last (C8 instead of C0).
    pub commons_reversed: bool,
    /// Rows driven; the value of A8 plus one.
    pub multiplex: u8,
    /// Value of D3.
    pub display_offset: u8,
    /// Start line (40 | value) at which memory row 0 is the top row.
    pub start_line: u8,
    /// Value of DA.
    pub common_pins: u8,
}

/// Where the display gets its high voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// The controller's pump, by `8D` and this value.
    Pump8D(u8),
    /// The controller's pump, by `AD`, and this voltage command (30–33) where it has one.
    PumpAd(u8),
    /// The controller's circuits for a liquid crystal.
    Crystal(CrystalDrive),
    /// An outer supply.
    External,
}

/// Drive values of the set-up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drive {
    /// Where the high voltage comes from.
    pub supply: Supply,
    /// Value of D5.
    pub clock: u8,
    /// Value of D9.
    pub precharge: u8,
    /// Value of DB.
    pub deselect: u8,
    /// Contrast (81) when the show says nothing.
    pub contrast: u8,
    /// Value of AD as internal current reference, where the controller has one.
    pub reference: Option<u8>,
}

/// Supply current of the panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Current {
    /// Every pixel lit, typical, in microamperes.
    pub all_lit_typical_microamperes: u32,
    /// Every pixel lit, highest, in microamperes.
    pub all_lit_highest_microamperes: u32,
    /// Display off, highest, in microamperes over all supplies.
    pub asleep_highest_microamperes: u32,
}

/// Hours until a half-lit checkerboard has lost half its brightness.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lifetime {
    /// Brightness in candela a square metre.
    pub candela_per_square_metre: u32,
    /// Hours.
    pub hours: u32,
}

/// A display with its controller. A script can describe its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Panel {
    /// Its name without a brand, such as `0.42in-72x40-ssd1306`.
    pub name: Cow<'static, str>,
    /// The controller bonded to it.
    pub controller: &'static Controller,
    /// Columns of pixels.
    pub width: u32,
    /// Rows of pixels.
    pub height: u32,
    /// Distance from pixel to pixel, across and down, in micrometres.
    pub pitch_micrometres: [u32; 2],
    /// Lit part of a pixel, across and down, in micrometres.
    pub dot_micrometres: [u32; 2],
    /// How it hangs on the controller.
    pub wiring: Wiring,
    /// First columns that batches of this panel are known with, where they differ.
    pub known_first_columns: &'static [u8],
    /// How it is driven.
    pub drive: Drive,
    /// Its light.
    pub tint: Tint,
    /// Typical brightness at the default contrast, candela a square metre, where known.
    pub candela_per_square_metre: Option<u32>,
    /// Supply current, where known.
    pub current: Option<Current>,
    /// Lifetime at some brightnesses, the brightest first; empty where unknown.
    pub lifetimes: &'static [Lifetime],
    /// Where the geometry comes from.
    pub geometry_source: Source,
    /// Where wiring and drive values come from.
    pub set_up_source: Source,
}

impl Panel {
    /// Pages that the display covers, the last perhaps in part.
    pub fn pages(&self) -> u32 {
        self.height.div_ceil(8)
    }
    /// Bytes of controller memory that the display shows.
    pub fn visible_bytes(&self) -> u32 {
        self.width * self.pages()
    }
    /// Width and height of the lit area in millimetres: pitch × count less one gap.
    pub fn active_area_millimetres(&self) -> (f64, f64) {
        let side = |count: u32, axis: usize| {
            let gap = self.pitch_micrometres[axis].saturating_sub(self.dot_micrometres[axis]);
            f64::from((count * self.pitch_micrometres[axis]).saturating_sub(gap)) / MICROMETRES_PER_MILLIMETRE
        };
        (side(self.width, 0), side(self.height, 1))
    }
    /// Distance from pixel to pixel, across and down the upright display, in millimetres.
    pub fn pitch_millimetres(&self) -> (f64, f64) {
        let [across, down] = self.pitch_micrometres.map(|length| f64::from(length) / MICROMETRES_PER_MILLIMETRE);
        (across, down)
    }
    /// Current of one lit segment in nanoamperes while its row is driven, where the controller's model is known.
    pub fn segment_current_nanoamperes(&self, contrast: u8) -> Option<u32> {
        let model = self.controller.segment_current.as_ref()?;
        let reference = match self.drive.reference {
            Some(value) if self.controller.internal_reference && value & LARGE_REFERENCE != 0 => 30_000,
            Some(_) if self.controller.internal_reference => 19_000,
            _ => model.reference_nanoamperes,
        };
        u32::try_from(u64::from(contrast) * u64::from(model.factor) * u64::from(reference) / 256).ok()
    }
}

/// Bit of AD that selects 30 µA rather than 19 µA (SSD1315 data sheet Rev 1.1).
const LARGE_REFERENCE: u8 = 0x20;
const MICROMETRES_PER_MILLIMETRE: f64 = 1000.0;
