//! Microcontrollers: memory and usual clock, one row each.

use super::{Certainty, Source};
use crate::units::{FlashBytes, Hertz, RamBytes};
use std::borrow::Cow;

/// Instruction set, which says how constants are reached and how large the player is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Core {
    /// 8-bit AVR: constants must be placed in program memory and read from it.
    Avr,
    /// 32-bit Arm Cortex-M.
    CortexM,
    /// 32-bit RISC-V.
    RiscV,
}

/// A microcontroller that can play a show. A script can describe its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Microcontroller {
    /// Part number.
    pub name: Cow<'static, str>,
    /// Instruction set.
    pub core: Core,
    /// Program memory.
    pub flash: FlashBytes,
    /// Working memory.
    pub ram: RamBytes,
    /// Usual CPU clock.
    pub clock: Hertz,
    /// Where the memory sizes come from; clocks are common practice.
    pub source: Source,
}

const fn part(
    name: &'static str,
    core: Core,
    flash: u32,
    ram: u32,
    megahertz: u32,
    source: &'static str,
    certainty: Certainty,
) -> Microcontroller {
    Microcontroller {
        name: Cow::Borrowed(name),
        core,
        flash: FlashBytes(flash),
        ram: RamBytes(ram),
        clock: Hertz(megahertz * 1_000_000),
        source: Source::new(source, certainty),
    }
}

const KIB: u32 = 1024;
const MIB: u32 = 1024 * KIB;

static MICROCONTROLLERS: [Microcontroller; 30] = {
    use Certainty::{DataSheet, Excerpt, Memory};
    use Core::{Avr, CortexM, RiscV};
    [
        part("ATmega8", Avr, 8 * KIB, KIB, 16, "avr-libc 2.0.0 iom8.h", DataSheet),
        part("ATmega88P", Avr, 8 * KIB, KIB, 16, "avr-libc 2.0.0 iom88p.h", DataSheet),
        part("ATmega168", Avr, 16 * KIB, KIB, 16, "avr-libc 2.0.0 iom168p.h", DataSheet),
        part("ATmega328P", Avr, 32 * KIB, 2 * KIB, 16, "avr-libc 2.0.0 iom328p.h", DataSheet),
        part("ATmega32U4", Avr, 32 * KIB, 2560, 16, "avr-libc 2.0.0 iom32u4.h", DataSheet),
        part("ATmega32", Avr, 32 * KIB, 2 * KIB, 16, "avr-libc 2.0.0 iom32.h", DataSheet),
        part("ATmega64", Avr, 64 * KIB, 4 * KIB, 16, "avr-libc 2.0.0 iom64.h", DataSheet),
        part("ATmega644P", Avr, 64 * KIB, 4 * KIB, 16, "avr-libc 2.0.0 iom644p.h", DataSheet),
        part("ATmega1280", Avr, 128 * KIB, 8 * KIB, 16, "avr-libc 2.0.0 iom1280.h", DataSheet),
        part("ATmega1284P", Avr, 128 * KIB, 16 * KIB, 16, "avr-libc 2.0.0 iom1284p.h", DataSheet),
        part("ATmega2560", Avr, 256 * KIB, 8 * KIB, 16, "avr-libc 2.0.0 iom2560.h", DataSheet),
        part("ATtiny45", Avr, 4 * KIB, 256, 8, "avr-libc 2.0.0 iotn45.h", DataSheet),
        part("ATtiny84", Avr, 8 * KIB, 512, 8, "avr-libc 2.0.0 iotn84.h", DataSheet),
        part("ATtiny85", Avr, 8 * KIB, 512, 8, "avr-libc 2.0.0 iotn85.h", DataSheet),
        part("ATtiny861", Avr, 8 * KIB, 512, 8, "avr-libc 2.0.0 iotn861.h", DataSheet),
        part("ATtiny1614", Avr, 16 * KIB, 2 * KIB, 20, "from memory", Memory),
        part("RP2040", CortexM, 2 * MIB, 264 * KIB, 125, "port reference; 2 MiB of outer flash assumed", Excerpt),
        part("STM32F103C8", CortexM, 64 * KIB, 20 * KIB, 72, "from memory", Memory),
        part("STM32G031x8", CortexM, 64 * KIB, 8 * KIB, 64, "from memory", Memory),
        part("ESP32-C3", RiscV, 4 * MIB, 400 * KIB, 160, "port reference, FH4 with 4 MB in the package", Excerpt),
        part("SAMD11D14A", CortexM, 16 * KIB, 4 * KIB, 48, "Cortex-M0+, from memory", Memory),
        part("SAMD21G18A", CortexM, 256 * KIB, 32 * KIB, 48, "Cortex-M0+, from memory", Memory),
        part("STM32C011F6", CortexM, 32 * KIB, 6 * KIB, 48, "Cortex-M0+, from memory", Memory),
        part("STM32G030F6", CortexM, 32 * KIB, 8 * KIB, 64, "Cortex-M0+, from memory", Memory),
        part("STM32L031K6", CortexM, 32 * KIB, 8 * KIB, 32, "Cortex-M0+, from memory", Memory),
        part("CH32V003F4", RiscV, 16 * KIB, 2 * KIB, 48, "from memory", Memory),
        part("CH32V203C8", RiscV, 64 * KIB, 20 * KIB, 144, "from memory", Memory),
        part("GD32VF103CB", RiscV, 128 * KIB, 32 * KIB, 108, "from memory", Memory),
        part("nRF52832-QFAA", CortexM, 512 * KIB, 64 * KIB, 64, "from memory", Memory),
        part("nRF52832-QFAB", CortexM, 256 * KIB, 32 * KIB, 64, "from memory", Memory),
    ]
};

/// Every microcontroller known here.
pub fn microcontrollers() -> &'static [Microcontroller] {
    &MICROCONTROLLERS
}

/// The microcontroller of a part number, in any case.
pub fn find_microcontroller(name: &str) -> Option<&'static Microcontroller> {
    MICROCONTROLLERS.iter().find(|row| row.name.eq_ignore_ascii_case(name))
}
