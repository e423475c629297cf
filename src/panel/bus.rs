//! The wires to the display, I²C or SPI: their clock, their limits, and how long a transaction takes on them.

use crate::units::{BusBytes, Hertz, Nanoseconds};

/// How the display is wired to the microcontroller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wires {
    /// Two wires, SDA and SCL, which other devices may share.
    I2c {
        /// Seven-bit address of the display: 3C or 3D.
        address: u8,
        /// Whether the module acknowledges what it is sent.
        acknowledged: bool,
    },
    /// Clock, data and chip select, and what separates commands from display data.
    Spi {
        /// What tells commands from display data.
        data_command: DataCommand,
    },
}

/// What separates commands from display data on SPI.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DataCommand {
    /// A fourth wire, D/C, low for commands and high for display data.
    Line,
    /// A bit before each byte, 0 for commands and 1 for display data: 3-wire SPI.
    Bit,
}

/// The bus with the display on it. A transaction carries commands or display data; on I²C a control byte says which.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BusSettings {
    /// How the display is wired.
    pub wires: Wires,
    /// Clock.
    pub clock: Hertz,
    /// The largest number of bytes after the address byte in one transaction, including the control byte: 3 to 255. SPI has no such
    /// limit: 255.
    pub write_limit: u16,
    /// The largest number of bytes that one call of the player sends, with two bytes for each transaction: 12 or more.
    pub per_call: u16,
}

/// A speed class of the I²C bus with its shortest times in nanoseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BusMode {
    /// Name in the standard.
    pub name: &'static str,
    /// Highest clock.
    pub highest_clock: Hertz,
    /// Hold time of START (tHD;STA).
    pub start_hold: Nanoseconds,
    /// Set-up time of a repeated START (tSU;STA).
    pub start_set_up: Nanoseconds,
    /// Set-up time of STOP (tSU;STO).
    pub stop_set_up: Nanoseconds,
    /// Free time between STOP and START (tBUF).
    pub bus_free: Nanoseconds,
}

/// UM10204 Rev 7.0 Table 11.
const MODES: [BusMode; 3] = [
    BusMode {
        name: "Standard-mode",
        highest_clock: Hertz(100_000),
        start_hold: Nanoseconds(4000),
        start_set_up: Nanoseconds(4700),
        stop_set_up: Nanoseconds(4000),
        bus_free: Nanoseconds(4700),
    },
    BusMode {
        name: "Fast-mode",
        highest_clock: Hertz(400_000),
        start_hold: Nanoseconds(600),
        start_set_up: Nanoseconds(600),
        stop_set_up: Nanoseconds(600),
        bus_free: Nanoseconds(1300),
    },
    BusMode {
        name: "Fast-mode Plus",
        highest_clock: Hertz(1_000_000),
        start_hold: Nanoseconds(260),
        start_set_up: Nanoseconds(260),
        stop_set_up: Nanoseconds(260),
        bus_free: Nanoseconds(500),
    },
];

/// Eight bits and an acknowledge (UM10204 Rev 7.0 §3.1.5, §3.1.6).
const I2C_CLOCKS_PER_BYTE: u64 = 9;
/// Eight bits, the highest first (SSD1306 data sheet Rev 1.5 §8.1.3).
const SPI_CLOCKS_PER_BYTE: u64 = 8;
/// D/C, then eight bits, the highest first (SH1107 data sheet V2.1, 3-wire serial interface).
const NINE_BIT_CLOCKS_PER_BYTE: u64 = 9;
/// Address and control byte of an I²C transaction with the display.
const I2C_BYTES_AROUND: u32 = 2;
/// Chip select before the first clock and after the last one, with the change of D/C between transactions: the longest of the
/// figures of SSD1306 Rev 1.5 Table 13-4 (20, 10, 15 ns), SSD1305 Rev 1.8 Table 13-4 and SH1106 V2.2 (120, 60, 150 ns).
const SPI_SELECT: Nanoseconds = Nanoseconds(120 + 60 + 150);
const NANOSECONDS_PER_SECOND: u128 = 1_000_000_000;

impl BusSettings {
    /// The highest I²C clock that these controllers are specified for (SSD1306 data sheet Rev 1.5 Table 13-6: 2.5 µs a cycle; SH1106
    /// V2.2, SH1107 V2.1 and ST7567A Ver 1.2a give 400 kHz too).
    pub const HIGHEST_I2C_CLOCK: Hertz = Hertz(400_000);

    /// Common clocks of such a bus, slowest first: the speed classes of I²C (UM10204 Rev 7.0 Table 11); for SPI, 8 MHz divided by
    /// powers of two, and the highest clock of the SSD1306 (common practice).
    pub fn usual_clocks(&self) -> &'static [Hertz] {
        match self.wires {
            Wires::I2c { .. } => &[Hertz(100_000), Hertz(400_000), Hertz(1_000_000)],
            Wires::Spi { .. } => {
                &[Hertz(1_000_000), Hertz(2_000_000), Hertz(4_000_000), Hertz(8_000_000), Hertz(10_000_000)]
            }
        }
    }

    /// Whether the display is on SPI.
    pub fn is_spi(&self) -> bool {
        matches!(self.wires, Wires::Spi { .. })
    }

    /// Whether the display is on SPI without a D/C line, so that a byte has nine bits.
    pub fn has_nine_bits(&self) -> bool {
        self.wires == Wires::Spi { data_command: DataCommand::Bit }
    }

    /// The seven-bit address of the display; 0 on SPI, where no display has one.
    pub fn address(&self) -> u8 {
        match self.wires {
            Wires::I2c { address, .. } => address,
            Wires::Spi { .. } => 0,
        }
    }

    /// Whether a byte that the display did not take is noticed.
    pub fn acknowledged(&self) -> bool {
        matches!(self.wires, Wires::I2c { acknowledged: true, .. })
    }

    /// Clock cycles of a byte, with the acknowledge, or the bit for D/C.
    pub fn clocks_per_byte(&self) -> u64 {
        match self.wires {
            Wires::I2c { .. } => I2C_CLOCKS_PER_BYTE,
            Wires::Spi { data_command: DataCommand::Line } => SPI_CLOCKS_PER_BYTE,
            Wires::Spi { data_command: DataCommand::Bit } => NINE_BIT_CLOCKS_PER_BYTE,
        }
    }

    /// Bytes on the wire for a transaction with `payload` bytes of commands or display data; on I²C with address and control byte.
    pub fn bytes_on_wire(&self, payload: u32) -> BusBytes {
        match self.wires {
            Wires::I2c { .. } => BusBytes(payload + I2C_BYTES_AROUND),
            Wires::Spi { .. } => BusBytes(payload),
        }
    }

    /// How long a transaction with `payload` bytes of commands or display data takes on the wire, from its start until the next one
    /// can start.
    ///
    /// I²C: as [`BusSettings::exchange_time`] with the control byte. SPI: 8 × n / clock, 9 × n / clock without a D/C line, and chip select with D/C around them.
    pub fn display_time(&self, payload: u32) -> Nanoseconds {
        match self.wires {
            Wires::I2c { .. } => self.transaction_time(payload + 1),
            Wires::Spi { .. } if self.clock.0 == 0 => Nanoseconds(u64::MAX),
            Wires::Spi { .. } => self.clocked(self.clocks_per_byte() * u64::from(payload)) + SPI_SELECT,
        }
    }

    /// The slowest speed class that allows the clock; the fastest when none does.
    pub fn mode(&self) -> BusMode {
        MODES.into_iter().find(|mode| self.clock <= mode.highest_clock).unwrap_or(MODES[MODES.len() - 1])
    }

    /// Clock cycles of an I²C transaction with this number of bytes after the address byte.
    pub fn clocks(bytes_after_address: u32) -> u64 {
        I2C_CLOCKS_PER_BYTE * (u64::from(bytes_after_address) + 1)
    }

    /// How long an I²C transaction holds the bus, from START until the next START is allowed, rounded up to a nanosecond. Work of
    /// the firmware is not included.
    ///
    /// ```text
    /// START | address W | ack | byte 1 | ack | … | byte n | ack | STOP | free
    /// tHD;STA    8 clocks + 1     8 + 1               8 + 1     tSU;STO  tBUF
    ///        └────────────── 9 × (n + 1) clocks ──────────────┘
    /// ```
    ///
    /// Formula: 9 × (n + 1) / clock + tHD;STA + tSU;STO + tBUF (UM10204 Rev 7.0 §3.1 and Table 11). A bus at 0 Hz never ends.
    pub fn transaction_time(&self, bytes_after_address: u32) -> Nanoseconds {
        if self.clock.0 == 0 {
            return Nanoseconds(u64::MAX);
        }
        let mode = self.mode();
        self.clocked(Self::clocks(bytes_after_address)) + mode.start_hold + mode.stop_set_up + mode.bus_free
    }

    /// How long a transaction holds the bus that writes bytes and then reads some, with a repeated START between, as registers
    /// are read; without either it is a plain one.
    ///
    /// ```text
    /// START | address W | ack | written … | START again | address R | ack | read … | STOP | free
    /// ```
    ///
    /// Formula: 9 × (written + 1 + read + 1) / clock + tHD;STA + tSU;STA + tHD;STA + tSU;STO + tBUF (UM10204 Rev 7.0 §3.1.10 and
    /// Table 11).
    pub fn exchange_time(&self, written: u32, read: u32) -> Nanoseconds {
        if written == 0 || read == 0 || self.clock.0 == 0 {
            return self.transaction_time(written + read);
        }
        let mode = self.mode();
        self.transaction_time(written) + self.clocked(Self::clocks(read)) + mode.start_set_up + mode.start_hold
    }

    /// The time of a number of clock cycles, rounded up to a nanosecond. The clock must not be 0.
    fn clocked(&self, clocks: u64) -> Nanoseconds {
        let bits = (u128::from(clocks) * NANOSECONDS_PER_SECOND).div_ceil(u128::from(self.clock.0.max(1)));
        Nanoseconds(u64::try_from(bits).unwrap_or(u64::MAX))
    }

    /// How long `data_bytes` of display memory take when split by the write limit.
    pub fn data_time(&self, data_bytes: u32) -> Nanoseconds {
        let room = u32::from(self.write_limit.max(2)) - 1;
        let (full, rest) = (data_bytes / room, data_bytes % room);
        let whole = Nanoseconds(self.display_time(room).0.saturating_mul(u64::from(full)));
        if rest == 0 { whole } else { whole + self.display_time(rest) }
    }
}
