//! Which memory line each common driver shows, and which driver pin it comes out on.

use super::Registers;
use crate::panel::{Controller, Wiring};

/// Common drivers that DA spreads over two halves.
const HALF: u8 = 32;
/// Bits of DA.
const ALTERNATIVE_PINS: u8 = 0x10;
const LEFT_RIGHT_REMAP: u8 = 0x20;

/// What decides the rows, or where pages run along the segments, the columns.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scan {
    pub commons: u8,
    pub reversed: bool,
    pub multiplex: u8,
    pub display_offset: u8,
    pub start_line: u8,
    pub common_pins: u8,
    pub zoomed: bool,
}

impl Scan {
    /// By the present settings.
    pub(super) fn of_registers(registers: &Registers, controller: &Controller) -> Self {
        Self {
            commons: controller.commons(),
            reversed: registers.commons_reversed,
            multiplex: registers.multiplex,
            display_offset: registers.display_offset,
            start_line: registers.start_line,
            common_pins: registers.common_pins,
            zoomed: registers.zoomed,
        }
    }
}

impl Scan {
    /// As the panel is wired.
    pub(super) fn of_wiring(wiring: &Wiring, controller: &Controller) -> Self {
        Self {
            commons: controller.commons(),
            reversed: wiring.commons_reversed,
            multiplex: wiring.multiplex,
            display_offset: wiring.display_offset,
            start_line: wiring.start_line,
            common_pins: wiring.common_pins,
            zoomed: false,
        }
    }
}

impl Scan {
    /// The memory line that common `common` shows; `None` when it is not driven.
    ///
    /// r = (c + offset) mod 64, or (multiplex − 1 − c + offset) mod 64 when scanned from the last; driven if r < multiplex; the
    /// memory row is (r + start line) mod 64. Reproduces SSD1306 data sheet Rev 1.5 Tables 10-1 and 10-2; other
    /// controllers are taken to do the same, with their own number of commons. With vertical zoom each row shows twice (D6; halving from memory).
    pub(super) fn row_of_common(&self, common: u8) -> Option<u8> {
        let (common, offset, multiplex) =
            (i16::from(common), i16::from(self.display_offset), i16::from(self.multiplex));
        // Less than the number of commons, a byte.
        let place = if self.reversed { multiplex - 1 - common + offset } else { common + offset };
        let scanned = u8::try_from(place.rem_euclid(i16::from(self.commons.max(1)))).unwrap_or(u8::MAX);
        let shown = if self.zoomed { scanned / 2 } else { scanned };
        (scanned < self.multiplex).then_some(shown.wrapping_add(self.start_line) % self.commons.max(1))
    }

    /// The driver pin (COM0–COM63) that common `common` comes out on.
    ///
    /// Sequential pins: common c on pin c. Alternative pins: even commons on COM0–31, odd ones on COM32–63. Left/right
    /// remap changes the two halves over. (SSD1306 data sheet Rev 1.5 Table 9-1 DA, the figures from memory; it agrees
    /// with HP7240 Ver 1.0, whose 40 rows hang on COM0–19 and COM32–51 with DA 12.)
    pub(super) fn pin_of_common(&self, common: u8) -> u8 {
        if self.commons != 2 * HALF {
            return common;
        }
        let pin = if self.common_pins & ALTERNATIVE_PINS != 0 { common / 2 + HALF * (common % 2) } else { common };
        if self.common_pins & LEFT_RIGHT_REMAP != 0 { pin ^ HALF } else { pin }
    }

    /// Memory line by driver pin; `None` where the pin is not driven.
    pub(super) fn rows_by_pin(&self) -> Vec<Option<u8>> {
        let mut rows = vec![None; usize::from(self.commons)];
        for common in 0..self.commons {
            // `pin_of_common` permutes 0 to 63, and leaves all as they are on a controller with another number of commons.
            if let Some(pin) = rows.get_mut(usize::from(self.pin_of_common(common))) {
                *pin = self.row_of_common(common);
            }
        }
        rows
    }
}
