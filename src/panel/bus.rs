//! The I²C bus: its clock, its limits, and how long a transaction holds it.

use crate::units::{Hertz, Nanoseconds};

/// A I²C bus with one display on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bus {
    /// Seven-bit address of the display: 3C or 3D.
    pub address: u8,
    /// Clock.
    pub clock: Hertz,
    /// Most bytes after the address byte in one transaction, the control byte counted: 3 to 255.
    pub write_limit: u16,
    /// Most bytes that one call of the player may send, address and control bytes counted: 12 or more.
    pub per_call: u16,
    /// Whether the module acknowledges what it is sent.
    pub acknowledged: bool,
}

/// A speed class of the bus with its shortest times in nanoseconds.
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
const CLOCKS_PER_BYTE: u64 = 9;
const NANOSECONDS_PER_SECOND: u128 = 1_000_000_000;

impl Bus {
    /// The highest clock that SSD1306-class controllers are specified for (SSD1306 data sheet Rev 1.5 Table 13-6: 2.5 µs a cycle).
    pub const HIGHEST_CONTROLLER_CLOCK: Hertz = Hertz(400_000);

    /// Usual clocks, slowest first (UM10204 Rev 7.0 Table 11).
    pub const USUAL_CLOCKS: [Hertz; 3] = [Hertz(100_000), Hertz(400_000), Hertz(1_000_000)];

    /// The slowest speed class that allows the clock; the fastest when none does.
    pub fn mode(&self) -> BusMode {
        MODES.into_iter().find(|mode| self.clock <= mode.highest_clock).unwrap_or(MODES[MODES.len() - 1])
    }

    /// Clock cycles of a transaction with so many bytes after the address byte.
    pub fn clocks(bytes_after_address: u32) -> u64 {
        CLOCKS_PER_BYTE * (u64::from(bytes_after_address) + 1)
    }

    /// How long a transaction holds the bus, from START to when the next START may come, rounded up to a nanosecond; the
    /// firmware's own work is not counted.
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

    /// So many clock cycles, rounded up to a nanosecond; the clock is not 0.
    fn clocked(&self, clocks: u64) -> Nanoseconds {
        let bits = (u128::from(clocks) * NANOSECONDS_PER_SECOND).div_ceil(u128::from(self.clock.0.max(1)));
        Nanoseconds(bits as u64)
    }

    /// How long `data_bytes` of display memory take when split by the write limit, a control byte in each transaction.
    pub fn data_time(&self, data_bytes: u32) -> Nanoseconds {
        let room = u32::from(self.write_limit.max(2)) - 1;
        let (full, rest) = (data_bytes / room, data_bytes % room);
        let whole = Nanoseconds(self.transaction_time(room + 1).0.saturating_mul(u64::from(full)));
        if rest == 0 { whole } else { whole + self.transaction_time(rest + 1) }
    }
}
