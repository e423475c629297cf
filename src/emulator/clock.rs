//! A bus with a clock: it knows how long the wire and the player's work take, as the two go side by side on the chip.

use super::cycles::{BusCycles, bus_cycles, cycles_of};
use crate::panel::{BusSettings, Core, Microcontroller};
use crate::player::{Bus, Work};
use crate::units::{BusBytes, Nanoseconds};

const PICOSECONDS_A_SECOND: u64 = 1_000_000_000_000;
const PICOSECONDS_A_NANOSECOND: u64 = 1_000;
/// START and STOP take one clock of an I²C bus ("about one", ATmega328P data sheet, TWI chapter), chip select takes none.
const I2C_CLOCKS_AT_ENDS: u64 = 1;

/// What went over the bus.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Traffic {
    pub transactions: u32,
    /// On I²C address and control bytes counted.
    pub bytes: BusBytes,
    /// How long the bus was held, the firmware's own work not counted.
    pub time: Nanoseconds,
}

impl std::ops::AddAssign for Traffic {
    fn add_assign(&mut self, other: Self) {
        self.transactions += other.transactions;
        self.bytes += other.bytes;
        self.time += other.time;
    }
}

/// A bus whose far end is `G`, with the time that passes on it. The driver is that of the examples: a byte goes out while the player
/// works out the next one.
///
/// ```text
/// CPU  work │ wait │ to_byte │ work      │ to_byte │ …
/// wire   byte n ───┤         ├── byte n+1 ─────────┤
/// ```
#[derive(Clone, Debug)]
pub struct Clocked<G> {
    pub far_end: G,
    wire: BusSettings,
    core: Core,
    cycles: BusCycles,
    cycle_picoseconds: u64,
    clock_picoseconds: u64,
    /// The time now, when the byte that goes out is through, and when the bus is free after a STOP; in picoseconds.
    now: u64,
    byte_ends: u64,
    bus_free: u64,
    /// Bytes of the open transaction, the control byte counted.
    open_bytes: u32,
    traffic: Traffic,
}

impl<G> Clocked<G> {
    /// A bus at time 0.
    pub fn new(far_end: G, wire: &BusSettings, part: &Microcontroller) -> Self {
        Self {
            far_end,
            wire: *wire,
            core: part.core,
            cycles: bus_cycles(part.core, wire.is_spi()),
            cycle_picoseconds: PICOSECONDS_A_SECOND / u64::from(part.clock.0.max(1)),
            clock_picoseconds: PICOSECONDS_A_SECOND / u64::from(wire.clock.0.max(1)),
            now: 0,
            byte_ends: 0,
            bus_free: 0,
            open_bytes: 0,
            traffic: Traffic::default(),
        }
    }

    /// The time now.
    pub fn now(&self) -> Nanoseconds {
        Nanoseconds(self.now.div_ceil(PICOSECONDS_A_NANOSECOND))
    }

    /// Lets time pass until then, if it is not later yet.
    pub fn wait_until(&mut self, then: Nanoseconds) {
        self.now = self.now.max(then.0.saturating_mul(PICOSECONDS_A_NANOSECOND));
    }

    /// What went over the bus since this was asked last.
    pub fn take_traffic(&mut self) -> Traffic {
        std::mem::take(&mut self.traffic)
    }

    fn spend(&mut self, cycles: u64) {
        self.now = self.now.saturating_add(cycles.saturating_mul(self.cycle_picoseconds));
    }

    fn send_byte(&mut self) {
        self.byte_ends = self.now.saturating_add(self.wire.clocks_per_byte() * self.clock_picoseconds);
    }

    fn wait_for_byte(&mut self) {
        self.now = self.now.max(self.byte_ends);
    }

    /// How long START or STOP takes.
    fn end_picoseconds(&self) -> u64 {
        if self.wire.is_spi() { 0 } else { I2C_CLOCKS_AT_ENDS * self.clock_picoseconds }
    }
}

impl<G: Bus> Bus for Clocked<G> {
    type Error = G::Error;

    fn start(&mut self, address: u8) -> Result<(), G::Error> {
        self.open_bytes = 0;
        self.spend(self.cycles.begin.into());
        self.now = self.now.max(self.bus_free);
        self.spend(self.cycles.to_start.into());
        self.now = self.now.saturating_add(self.end_picoseconds());
        if !self.wire.is_spi() {
            self.spend(self.cycles.to_address.into());
            self.send_byte();
        }
        self.far_end.start(address)
    }

    fn write(&mut self, byte: u8) -> Result<(), G::Error> {
        self.open_bytes += 1;
        if self.wire.is_spi() && self.open_bytes == 1 {
            return self.far_end.write(byte); // the D/C line says so, along with chip select
        }
        self.spend(self.cycles.byte.into());
        self.wait_for_byte();
        self.spend(self.cycles.to_byte.into());
        self.send_byte();
        if self.wire.has_nine_bits() {
            self.wait_for_byte(); // moved bit by bit: few peripherals send nine
        }
        self.far_end.write(byte)
    }

    fn stop(&mut self) -> Result<(), G::Error> {
        self.wait_for_byte();
        self.spend(self.cycles.to_stop.into());
        self.bus_free = self.now.saturating_add(self.end_picoseconds());
        self.traffic.transactions += 1;
        let payload = self.open_bytes.saturating_sub(1);
        self.traffic.bytes += self.wire.bytes_on_wire(payload);
        self.traffic.time += self.wire.display_time(payload);
        self.far_end.stop()
    }

    fn work(&mut self, work: Work, units: u16) {
        self.spend(u64::from(cycles_of(work, self.core)) * u64::from(units));
    }
}
