//! What was decoded from the wires, the same for I²C and SPI: events with times, and from them the bytes for one display.

use super::trace::PICOSECONDS_A_SECOND;

/// Something on the wires; times in picoseconds since the capture began.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// START or a repeated one, and the address behind it.
    Start {
        time: u64,
        address: u8,
        read: bool,
        acknowledged: bool,
    },
    /// A byte after the address.
    Byte {
        time: u64,
        value: u8,
        acknowledged: bool,
    },
    Stop {
        time: u64,
    },
    /// Chip select fell.
    Selected {
        time: u64,
    },
    /// A byte on SPI, with what D/C said at its last bit.
    SpiByte {
        time: u64,
        value: u8,
        data: bool,
    },
    /// Chip select rose.
    Released {
        time: u64,
    },
    /// Bits that did not make a byte.
    Broken {
        time: u64,
        bits: u32,
    },
}

impl Event {
    /// When it was.
    pub fn time(&self) -> u64 {
        match *self {
            Self::Start { time, .. }
            | Self::Byte { time, .. }
            | Self::Stop { time }
            | Self::Selected { time }
            | Self::SpiByte { time, .. }
            | Self::Released { time }
            | Self::Broken { time, .. } => time,
        }
    }
}

/// A byte for the display: a command, a parameter, or display data.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DisplayByte {
    /// When its transaction began, and when its last bit was taken.
    pub begun: u64,
    pub time: u64,
    pub byte: u8,
    pub data: bool,
    /// Which transaction it is in.
    pub transaction: u32,
    pub acknowledged: bool,
}

/// What was decoded, with the figures of the clock.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Decoded {
    /// Whether the bus is SPI; otherwise it is I²C.
    pub spi: bool,
    /// What happened on the bus, in order of time.
    pub events: Vec<Event>,
    /// The most frequent time between two clocks, in picoseconds; 0 if there are none.
    pub period: u64,
    /// How often the display or another device held the clock, and for how long at most.
    pub stretched: u32,
    /// The longest of these, in picoseconds.
    pub longest_stretch: u64,
    /// Pulses too short to be bits that were dropped.
    pub glitches: u32,
}

/// Bits of a control byte (SSD1306 data sheet Rev 1.5 §8.1.5).
const CONTINUATION: u8 = 0x80;
const DATA: u8 = 0x40;

impl Decoded {
    /// The clock in hertz.
    pub fn hertz(&self) -> f64 {
        if self.period == 0 { 0.0 } else { PICOSECONDS_A_SECOND / self.period as f64 }
    }

    /// The bytes for the display at an address; on SPI for the one there is.
    pub fn items(&self, address: u8) -> Vec<DisplayByte> {
        let (mut items, mut transaction, mut begun) = (Vec::new(), 0, 0);
        // What the next byte is: nothing for this display, a control byte, or what such a byte announced.
        let (mut mine, mut announced): (bool, Option<(bool, bool)>) = (false, None);
        for what in &self.events {
            match *what {
                Event::Start { time, address: asked, read, .. } => {
                    (mine, announced, begun) = (asked == address && !read, None, time);
                    transaction += 1;
                }
                Event::Byte { time, value, acknowledged } if mine => match announced {
                    None => announced = Some((value & DATA != 0, value & CONTINUATION != 0)),
                    Some((data, one)) => {
                        items.push(DisplayByte { begun, time, byte: value, data, transaction, acknowledged });
                        announced = if one { None } else { announced };
                    }
                },
                Event::Stop { .. } => mine = false,
                Event::Selected { time } => {
                    transaction += 1;
                    begun = time;
                }
                Event::SpiByte { time, value, data } => {
                    items.push(DisplayByte { begun, time, byte: value, data, transaction, acknowledged: true });
                }
                Event::Byte { .. } | Event::Released { .. } | Event::Broken { .. } => {}
            }
        }
        items
    }

    /// The addresses that were written to, the one with most bytes first, with transactions and the time they took.
    pub fn devices(&self) -> Vec<SeenDevice> {
        let mut devices: Vec<SeenDevice> = Vec::new();
        let mut open: Option<(usize, u64)> = None;
        for what in &self.events {
            match *what {
                Event::Start { time, address, acknowledged, .. } => {
                    close(&mut devices, &mut open, time);
                    let at = devices.iter().position(|device| device.address == address).unwrap_or(devices.len());
                    if at == devices.len() {
                        devices.push(SeenDevice { address, ..SeenDevice::default() });
                    }
                    devices[at].transactions += 1;
                    devices[at].refused += u32::from(!acknowledged);
                    open = Some((at, time));
                }
                Event::Byte { acknowledged, .. } => {
                    if let Some((at, _)) = open {
                        devices[at].bytes += 1;
                        devices[at].refused += u32::from(!acknowledged);
                    }
                }
                Event::Stop { time } => close(&mut devices, &mut open, time),
                _ => {}
            }
        }
        devices.sort_by(|one, other| other.bytes.cmp(&one.bytes).then(one.address.cmp(&other.address)));
        devices
    }

    /// Stretches of bits that made no byte.
    pub fn broken(&self) -> usize {
        self.events.iter().filter(|event| matches!(event, Event::Broken { .. })).count()
    }
}

fn close(devices: &mut [SeenDevice], open: &mut Option<(usize, u64)>, time: u64) {
    if let Some((at, begun)) = open.take() {
        devices[at].picoseconds += time - begun;
    }
}

/// A device on an I²C bus, as seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SeenDevice {
    pub address: u8,
    pub transactions: u32,
    pub bytes: u32,
    /// Addresses and bytes that were not acknowledged.
    pub refused: u32,
    pub picoseconds: u64,
}

/// The usual one of some times: the mean of those within a quarter of their median.
pub fn usual(times: Vec<u64>) -> u64 {
    let middle = median(times.clone());
    let near: Vec<u64> = times.into_iter().filter(|time| time.abs_diff(middle) <= middle / 4).collect();
    near.iter().sum::<u64>() / (near.len() as u64).max(1)
}

/// The median of some times; 0 of none.
pub fn median(mut times: Vec<u64>) -> u64 {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or(0)
}
