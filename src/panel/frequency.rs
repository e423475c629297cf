//! How often a second the controller refreshes the display.

use super::{Controller, FrameClock, Panel};

/// Refreshes a second in millihertz.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FrameFrequency {
    /// Lowest part of the controller's spread.
    pub lowest_millihertz: u32,
    /// Typical part.
    pub typical_millihertz: u32,
    /// Highest part.
    pub highest_millihertz: u32,
}

impl Panel {
    /// Refresh frequency with the panel's own D5, D9 and multiplex; `None` where the controller's clock is not known.
    pub fn frame_frequency(&self) -> Option<FrameFrequency> {
        self.controller.frame_frequency(self.drive.clock, self.drive.precharge, self.wiring.multiplex)
    }
}

impl Controller {
    /// Refresh frequency = oscillator frequency / (clock divider × clocks per row × multiplex ratio), SSD1306 data sheet Rev 1.5 §8.3, rounded down to a
    /// millihertz; clocks a row = phase 1 + phase 2 (nibbles of D9) + the controller's fixed part; divide = low nibble of D5 + 1.
    pub fn frame_frequency(&self, clock: u8, precharge: u8, multiplex: u8) -> Option<FrameFrequency> {
        let constants = self.clock.as_ref()?;
        let divide = u64::from(clock & 0x0F) + 1;
        let phases = u32::from(precharge & 0x0F) + u32::from(precharge >> 4);
        let row = u64::from(constants.fixed_clocks + constants.clocks_per_phase_step * phases);
        let cycles = divide * row * u64::from(multiplex.max(1));
        let (at_code, at_nominal) = (constants.oscillator_at(clock >> 4)?, constants.oscillator[1].0.max(1));
        let frequency = |oscillator: u32| {
            let scaled = u64::from(oscillator) * at_code / u64::from(at_nominal);
            u32::try_from(scaled * 1000 / cycles).unwrap_or(u32::MAX)
        };
        let [lowest, typical, highest] = constants.oscillator.map(|oscillator| frequency(oscillator.0));
        Some(FrameFrequency { lowest_millihertz: lowest, typical_millihertz: typical, highest_millihertz: highest })
    }
}

impl FrameClock {
    /// Typical oscillator in hertz for a high nibble of D5, straight between the known codes; `None` beyond them.
    fn oscillator_at(&self, code: u8) -> Option<u64> {
        let table = self.oscillator_by_code;
        if let Some((_, exact)) = table.iter().find(|(known, _)| *known == code) {
            return Some(u64::from(exact.0));
        }
        let (below, above) = table.windows(2).map(|pair| (pair[0], pair[1])).find(|(a, b)| a.0 < code && code < b.0)?;
        let (span, part) = (u64::from(above.0 - below.0), u64::from(code - below.0));
        Some(u64::from(below.1.0) + u64::from(above.1.0 - below.1.0) * part / span)
    }
}
