//! The voltage of a liquid crystal: what ratio, volume and bias make of it, and what is safe.

use super::{Controller, Family, Panel, Supply};

/// How an LCD gets its voltage: from the built-in circuits, by these values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CrystalDrive {
    /// Regulator ratio (20–27), 0 to 7; none on the PCD8544.
    pub ratio: u8,
    /// Bias: A2 or A3 plus this (0, 1); on the PCD8544 the bias system (10–17), 0 to 7.
    pub bias: u8,
    /// Value of F8 (booster), if it is sent; on the PCD8544 the temperature coefficient (04–07), 0 to 3.
    pub booster: Option<u8>,
}

/// Regulator ratios in thousandths, by the low bits of 20–27: ST7567A Ver 1.2a and ST7565R Ver 1.5; UC1701x A1.0.
const ST_RATIOS: [u64; 8] = [3000, 3500, 4000, 4500, 5000, 5500, 6000, 6500];
const UC_RATIOS: [u64; 8] = [3769, 4396, 5020, 5643, 6266, 6891, 7517, 8143];
/// Reference voltages in millivolts (same sheets).
const ST_REFERENCE: u64 = 2100;
const UC_REFERENCE: u64 = 1680;
/// Steps of the electronic volume, and by how many parts of the reference each lowers it.
const VOLUME_STEPS: u64 = 63;
const VOLUME_PARTS: u64 = 162;
/// PCD8544: 3.06 V and 0.06 V for each step (data sheet of 1999-04-12).
const PCD_LOWEST: u64 = 3060;
const PCD_STEP: u64 = 60;

impl Controller {
    /// The voltage of the crystal in millivolts for a volume (81, or the PCD8544's Vop); `None` where the display is not an LCD.
    pub fn crystal_millivolts(&self, drive: CrystalDrive, volume: u8) -> Option<u64> {
        let regulated = |ratios: [u64; 8], reference: u64| {
            let parts = VOLUME_PARTS - (VOLUME_STEPS - u64::from(volume).min(VOLUME_STEPS));
            ratios[usize::from(drive.ratio & 7)] * reference * parts / (VOLUME_PARTS * 1000)
        };
        match self.family {
            Family::St7567a | Family::St7565r => Some(regulated(ST_RATIOS, ST_REFERENCE)),
            Family::Uc1701x => Some(regulated(UC_RATIOS, UC_REFERENCE)),
            Family::Pcd8544 if volume == 0 => Some(0),
            Family::Pcd8544 => Some(PCD_LOWEST + PCD_STEP * u64::from(volume)),
            _ => None,
        }
    }

    /// The highest voltage of its liquid crystal, in millivolts: ST7565R Ver 1.5 (13.5 V), UC1701x A1.0 (11.5 V), PCD8544 (8.5 V at
    /// −25 °C, so that a show is safe in the cold); ST7567A as the ST7565R (from memory).
    pub fn highest_crystal_millivolts(&self) -> Option<u64> {
        match self.family {
            Family::St7567a | Family::St7565r => Some(13_500),
            Family::Uc1701x => Some(11_500),
            Family::Pcd8544 => Some(8_500),
            _ => None,
        }
    }
}

impl Panel {
    /// The voltage of the crystal in millivolts at a contrast; `None` where the display is not an LCD.
    pub fn crystal_millivolts(&self, contrast: u8) -> Option<u64> {
        let Supply::Crystal(drive) = self.drive.supply else { return None };
        self.controller.crystal_millivolts(drive, contrast)
    }

    /// The highest contrast that is safe for the part: all of its range, or up to the highest voltage of an LCD.
    pub fn highest_safe_contrast(&self) -> u8 {
        let Some(highest) = self.controller.highest_crystal_millivolts() else {
            return self.controller.contrast_highest;
        };
        let safe = |contrast: &u8| self.crystal_millivolts(*contrast).is_none_or(|millivolts| millivolts <= highest);
        (0..=self.controller.contrast_highest).rev().find(safe).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::panel::controller;

    /// ST7567A Ver 1.2a: V0 = ratio × (1 − (63 − EV) / 162) × 2.1 V; ratio 5.0 and EV 32 give 8.49 V. PCD8544: Vop 16 gives 4.02 V
    /// (sheet of 1999-04-12, sample code). UC1701x A1.0: gain 5.643 and 40 give 8.13 V by its formula.
    #[test]
    fn voltages_are_those_of_the_data_sheets() {
        let drive = |ratio| CrystalDrive { ratio, bias: 0, booster: None };
        let volts = |name, ratio, volume| controller(name).expect("known").crystal_millivolts(drive(ratio), volume);
        assert_eq!(volts("ST7567A", 4, 32), Some(8490));
        assert_eq!(volts("ST7565R", 4, 32), Some(8490));
        assert_eq!(volts("PCD8544", 0, 16), Some(4020));
        assert_eq!(volts("UC1701x", 3, 40), Some(8134));
        assert_eq!(volts("SSD1306", 3, 40), None);
    }
}
