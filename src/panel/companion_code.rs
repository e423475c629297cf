//! The size of C code in addition to the player: the supervisor, which all firmware should have, and the code of lamps.

use super::{Core, Microcontroller};
use crate::units::{FlashBytes, RamBytes};

/// The size of such code on a kind of microcontroller. tests/root/companions.rs builds it and compares each row.
#[derive(Debug, PartialEq, Eq)]
pub struct CompanionCode {
    /// The kind of part.
    pub core: Core,
    /// Bytes of flash.
    pub flash: FlashBytes,
    /// Its variable.
    pub ram: RamBytes,
    /// Stack of a call, in addition to that of the player's call in it; 0 if it does not call the player.
    pub stack: RamBytes,
    /// How it was measured, or what it is taken from.
    pub source: &'static str,
    /// Whether it was measured; otherwise it is an estimate.
    pub measured: bool,
}

/// The rows of one piece of code: on AVR, on Cortex-M, and on RISC-V as on Cortex-M.
const fn rows(avr: [u32; 3], arm: [u32; 3]) -> [CompanionCode; 3] {
    const fn row(core: Core, bytes: [u32; 3], source: &'static str, measured: bool) -> CompanionCode {
        let [flash, ram, stack] = bytes;
        CompanionCode { core, flash: FlashBytes(flash), ram: RamBytes(ram), stack: RamBytes(stack), source, measured }
    }
    [
        row(Core::Avr, avr, "avr-gcc 5.4 -Os, ATmega328P, avr-size", true),
        row(Core::CortexM, arm, "arm-none-eabi-gcc 12.2 -Os, Cortex-M3", true),
        row(Core::RiscV, arm, "estimated as Cortex-M3", false),
    ]
}

/// Measured at -Os: what `src/player/player.c` takes more with `PAGELOOM_LAMPS` than without.
static LAMPS: [CompanionCode; 3] = rows([246, 0, 0], [116, 0, 0]);

/// Measured in the same way with `PAGELOOM_SUPERVISOR`; RAM is the size of a `pageloom_supervisor`. Stack: on AVR of the example on the
/// simulated ATmega328P, on both as `-fstack-usage` says.
static SUPERVISOR: [CompanionCode; 3] = rows([506, 14, 7], [380, 20, 24]);

/// Measured in the same way: what `PAGELOOM_THRESHOLDS` takes more in a player with areas and a live value; RAM is the size of a
/// `pageloom_thresholds`.
static THRESHOLDS: [CompanionCode; 3] = rows([216, 4, 0], [128, 8, 0]);

/// Measured in the same way: what `PAGELOOM_TEXTS` takes more in a player with areas and a live value.
static TEXTS: [CompanionCode; 3] = rows([252, 0, 0], [124, 0, 0]);

impl Microcontroller {
    /// What the code of live texts takes here.
    pub fn text_code(&self) -> &'static CompanionCode {
        text_code_on(self.core)
    }

    /// What the code of thresholds takes here.
    pub fn threshold_code(&self) -> &'static CompanionCode {
        threshold_code_on(self.core)
    }

    /// What the lamps' code takes here.
    pub fn lamp_code(&self) -> &'static CompanionCode {
        lamp_code_on(self.core)
    }

    /// What the supervisor takes here.
    pub fn supervisor_code(&self) -> &'static CompanionCode {
        supervisor_code_on(self.core)
    }
}

/// What the lamps' code takes on an instruction set.
pub fn lamp_code_on(core: Core) -> &'static CompanionCode {
    row_of(&LAMPS, core)
}

/// What the supervisor takes on an instruction set.
pub fn supervisor_code_on(core: Core) -> &'static CompanionCode {
    row_of(&SUPERVISOR, core)
}

/// What the code of live texts takes on an instruction set.
pub fn text_code_on(core: Core) -> &'static CompanionCode {
    row_of(&TEXTS, core)
}

/// What the code of thresholds takes on an instruction set.
pub fn threshold_code_on(core: Core) -> &'static CompanionCode {
    row_of(&THRESHOLDS, core)
}

fn row_of(rows: &'static [CompanionCode; 3], core: Core) -> &'static CompanionCode {
    rows.iter().find(|row| row.core == core).unwrap_or(&rows[0])
}
