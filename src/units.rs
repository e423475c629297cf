//! Quantities of the trade as types of their own, so that a page can never be taken for a pixel; conversions are named and state their rounding.

use crate::whole::rounded;
use serde::Serialize;

/// Declares a transparent integer quantity with addition, subtraction, sums and display with its unit.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident($inner:ty), $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub $inner);

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl std::ops::AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::default(), |total, part| total + part)
            }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, concat!("{} ", $unit), self.0)
            }
        }
    };
}

quantity!(
    /// Bytes of program memory.
    FlashBytes(u32), "B flash"
);
quantity!(
    /// Bytes of working memory.
    RamBytes(u32), "B RAM"
);
quantity!(
    /// Bytes on the wire, the address byte and control bytes counted.
    BusBytes(u32), "B bus"
);
quantity!(
    /// A length of time in nanoseconds.
    Nanoseconds(u64), "ns"
);
quantity!(
    /// A frequency in hertz.
    Hertz(u32), "Hz"
);
quantity!(
    /// A count of frames.
    Frames(u32), "frames"
);

impl Nanoseconds {
    /// The time as milliseconds with its fraction.
    pub fn milliseconds(self) -> f64 {
        self.0 as f64 / 1e6
    }
    /// The time as microseconds with its fraction.
    pub fn microseconds(self) -> f64 {
        self.0 as f64 / 1e3
    }
}

impl Hertz {
    /// The period of one cycle, rounded up to a whole nanosecond; `None` at 0 Hz.
    pub fn period_rounded_up(self) -> Option<Nanoseconds> {
        (self.0 > 0).then(|| Nanoseconds(1_000_000_000u64.div_ceil(u64::from(self.0))))
    }
}

/// The frame rate of a show: frames a second, 1 to [`FrameRate::HIGHEST`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct FrameRate(u16);

/// Twenty frames a second: smooth enough for a small display, light enough for a slow bus (common practice).
impl Default for FrameRate {
    fn default() -> Self {
        Self(20)
    }
}

impl FrameRate {
    /// The highest frame rate accepted; beyond it no I²C bus carries a frame and no eye profits (common practice).
    pub const HIGHEST: u16 = 100;

    /// A rate from 1 to [`FrameRate::HIGHEST`] frames a second, else `None`.
    pub fn new(frames_per_second: u16) -> Option<Self> {
        (1..=Self::HIGHEST).contains(&frames_per_second).then_some(Self(frames_per_second))
    }
    /// Frames a second.
    pub fn frames_per_second(self) -> u16 {
        self.0
    }
    /// The time of one frame, rounded to the nearest nanosecond.
    pub fn period(self) -> Nanoseconds {
        Nanoseconds((1_000_000_000 + u64::from(self.0) / 2) / u64::from(self.0))
    }
    /// Frames that a time in seconds spans, rounded to the nearest frame.
    pub fn frames_in(self, seconds: f64) -> Frames {
        Frames(rounded(seconds * f64::from(self.0)))
    }
    /// The time in seconds at which a frame is due.
    pub fn seconds_at(self, frame: u32) -> f64 {
        f64::from(frame) / f64::from(self.0)
    }
}

/// A number as scripts write it, with `_` before each three digits.
pub fn grouped(number: u32) -> String {
    if number < 1000 { number.to_string() } else { format!("{}_{:03}", grouped(number / 1000), number % 1000) }
}
