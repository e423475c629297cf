//! Flash of the lamps' C code, which firmware carries when its show has a lamp.

use super::{Core, Microcontroller};
use crate::units::FlashBytes;

/// What the lamps' code takes on a kind of part; tests/root/lamps.rs builds it again and holds each row to that.
#[derive(Debug, PartialEq, Eq)]
pub struct LampCode {
    pub core: Core,
    pub flash: FlashBytes,
    /// How it was measured, or what it is taken from.
    pub source: &'static str,
    pub measured: bool,
}

/// Measured at -Os: what `src/player/player.c` takes more with `PAGELOOM_LAMPS` than without.
static CODES: [LampCode; 3] = [
    LampCode {
        core: Core::Avr,
        flash: FlashBytes(246),
        source: "avr-gcc 5.4 -Os, ATmega328P, avr-size",
        measured: true,
    },
    LampCode {
        core: Core::CortexM,
        flash: FlashBytes(116),
        source: "arm-none-eabi-gcc 12.2 -Os, Cortex-M3",
        measured: true,
    },
    LampCode { core: Core::RiscV, flash: FlashBytes(116), source: "estimated as Cortex-M3", measured: false },
];

impl Microcontroller {
    /// What the lamps' code takes here.
    pub fn lamp_code(&self) -> &'static LampCode {
        lamp_code_on(self.core)
    }
}

/// What the lamps' code takes on an instruction set.
pub fn lamp_code_on(core: Core) -> &'static LampCode {
    CODES.iter().find(|row| row.core == core).unwrap_or(&CODES[0])
}
