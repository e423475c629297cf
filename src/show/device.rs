//! Another device on the display's bus, such as a sensor: its transactions, and how often they occur.

use super::SceneId;
use crate::diag::Span;
use crate::panel::BusSettings;
use crate::units::Nanoseconds;

/// A device that shares the bus with the display.
#[derive(Clone, Debug, PartialEq)]
pub struct Device {
    pub name: String,
    /// Its seven-bit address, if it is given.
    pub address: Option<u8>,
    /// Bytes written after its address in one transaction, and bytes then read.
    pub writes: u32,
    pub reads: u32,
    /// Transactions in a second.
    pub times_a_second: f64,
    /// How long it holds the clock low in each transaction.
    pub stretch: Nanoseconds,
    /// The scenes in which it is asked; every scene when none is named.
    pub scenes: Vec<SceneId>,
    /// Its place in the script.
    pub span: Span,
}

impl Device {
    /// Whether it is asked in a scene.
    pub fn asked_in(&self, scene: SceneId) -> bool {
        self.scenes.is_empty() || self.scenes.contains(&scene)
    }
    /// How long one transaction with it holds the bus.
    pub fn transaction_time(&self, bus: &BusSettings) -> Nanoseconds {
        bus.exchange_time(self.writes, self.reads) + self.stretch
    }
}
