//! What the player in C costs on a part: measured where it was built and run, else taken from a part of the same kind.

use super::{Core, Microcontroller, Panel};
use crate::units::{FlashBytes, RamBytes};

/// The allowance in bytes at which the longest call was measured.
pub const MEASURED_ALLOWANCE: u32 = 16;

/// What the player costs on a part; tests/root/firmware builds and runs it again and holds each row to that.
#[derive(Debug, PartialEq, Eq)]
pub struct PlayerCost {
    /// Part number of what was measured.
    pub part: &'static str,
    /// Instruction set.
    pub core: Core,
    /// Code of the player, without the reel and without the functions that drive the bus.
    pub flash: FlashBytes,
    /// State of one player.
    pub state: RamBytes,
    /// Deepest stack under one call, the example's bus functions and the return address counted, interrupts not.
    pub stack: RamBytes,
    /// CPU cycles beyond the time on the wire; none where the bus was not that of a two-wire peripheral.
    pub cycles: Option<PlayerCycles>,
    /// How it was measured.
    pub source: &'static str,
}

/// CPU cycles that the player and the example's bus functions take beyond the time on the wire, over the demo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlayerCycles {
    /// Of each byte on the bus, as a mean over all.
    pub a_byte: u32,
    /// Of the longest call, at an allowance of [`MEASURED_ALLOWANCE`].
    pub longest_call: u32,
}

static COSTS: [PlayerCost; 3] = [
    PlayerCost {
        part: "ATmega328P",
        core: Core::Avr,
        flash: FlashBytes(1534),
        state: RamBytes(57),
        stack: RamBytes(26),
        cycles: Some(PlayerCycles { a_byte: 44, longest_call: 1096 }),
        source: "measured, avr-gcc 5.4 -Os, the demo on the simulated part",
    },
    PlayerCost {
        part: "ATtiny85",
        core: Core::Avr,
        flash: FlashBytes(1468),
        state: RamBytes(57),
        stack: RamBytes(26),
        cycles: None,
        source: "measured, avr-gcc 5.4 -Os, its example on the simulated part, bus moved by hand",
    },
    PlayerCost {
        part: "Cortex-M3",
        core: Core::CortexM,
        flash: FlashBytes(1596),
        state: RamBytes(60),
        stack: RamBytes(116),
        cycles: None,
        source: "measured, arm-none-eabi-gcc 12.2 -Os, the demo in QEMU, which tells no cycles",
    },
];

/// Every part on which the player was measured.
pub fn player_costs() -> &'static [PlayerCost] {
    &COSTS
}

impl Microcontroller {
    /// What the player costs here, and whether that was measured on this very part.
    pub fn player_cost(&self) -> (&'static PlayerCost, bool) {
        let same = COSTS.iter().find(|row| row.part.eq_ignore_ascii_case(&self.name));
        // RISC-V is taken to be near the other 32-bit parts.
        let kind = if self.core == Core::Avr { Core::Avr } else { Core::CortexM };
        let alike = || COSTS.iter().find(|row| row.core == kind).unwrap_or(&COSTS[0]);
        same.map_or_else(|| (alike(), false), |row| (row, true))
    }
}

/// Code that a dense reel needs beside the lean player's, on 8-bit AVR and on Arm parts: measured with `avr-size` and
/// `arm-none-eabi-size` on the C player (Debian's gcc-avr 5.4 and gcc-arm-none-eabi 12.2, -Os), 72×40.
const DENSE_CODE: [(Core, FlashBytes); 2] = [(Core::Avr, FlashBytes(3550)), (Core::CortexM, FlashBytes(2376))];

/// RAM of a copy of the picture: its bytes, a mark for each cell, and the state of drawing.
pub fn picture_ram(panel: &Panel) -> RamBytes {
    const STATE: u32 = 44;
    let pages = panel.height.div_ceil(8);
    RamBytes(panel.width * pages + panel.width.div_ceil(8) * pages + STATE)
}

impl PlayerCost {
    /// Code of the player that plays a lean reel, or a dense one.
    pub fn flash_in(&self, dense: bool) -> FlashBytes {
        let kind = if self.core == Core::Avr { Core::Avr } else { Core::CortexM };
        let more = DENSE_CODE.iter().find(|(core, _)| *core == kind).map_or(0, |(_, bytes)| bytes.0);
        FlashBytes(self.flash.0 + if dense { more } else { 0 })
    }

    /// The source in words, for a part that was measured itself or not.
    pub fn told(&self, measured: bool) -> String {
        if measured { self.source.to_owned() } else { format!("estimated from the {}: {}", self.part, self.source) }
    }
}
