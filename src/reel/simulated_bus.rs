//! A bus that writes to the planner's memory and adds up bus time. The code of the player draws on it.

use super::cost::Cost;
use super::memory::Memory;
use crate::player::bus::{Burst, Bus, End, Extension};

/// The largest allowance, so that as few calls as possible are needed.
const UNLIMITED: u8 = u8::MAX;

/// A bus that writes what is sent to memory, and adds up the time.
pub struct SimulatedBus<'a> {
    memory: &'a mut Memory,
    cost: &'a Cost,
    first_column: u8,
    bytes: Vec<u8>,
    /// Page, and column of the display's memory.
    pointer: (usize, usize),
    /// Bus time in nanoseconds, and number of runs of cells.
    pub time: u64,
    pub runs: usize,
}

impl<'a> SimulatedBus<'a> {
    /// A bus on which nothing is sent yet. The leftmost visible column is `first_column` of the display's memory.
    pub fn new(memory: &'a mut Memory, cost: &'a Cost, first_column: u8) -> Self {
        Self { memory, cost, first_column, bytes: Vec::new(), pointer: (0, 0), time: 0, runs: 0 }
    }

    /// Draws what an instruction opened. `None` if it is invalid.
    pub fn draw(&mut self, drawing: &mut impl Extension, reel: &[u8]) -> Option<()> {
        let most = self.cost.most_data();
        let mut burst = Burst { bus: self, address: 0, most, allowance: UNLIMITED, owed: 0, room: 0, open: false };
        loop {
            let drawn = drawing.draw(reel, 0, &mut burst);
            burst.allowance = UNLIMITED;
            match drawn {
                Ok(false) | Err(End::Allowance) => {}
                Ok(true) => break,
                Err(_) => return None,
            }
        }
        burst.close().ok()
    }
}

impl Bus for SimulatedBus<'_> {
    type Error = std::convert::Infallible;
    fn start(&mut self, _: u8) -> Result<(), Self::Error> {
        self.bytes.clear();
        Ok(())
    }
    fn write(&mut self, byte: u8) -> Result<(), Self::Error> {
        self.bytes.push(byte);
        Ok(())
    }
    fn stop(&mut self) -> Result<(), Self::Error> {
        self.time += self.cost.commands(self.bytes.len() as u64 - 1);
        match self.bytes[..] {
            [0x00, page, low, high] => {
                self.pointer = (usize::from(page & 15), usize::from(high & 15) << 4 | usize::from(low));
                self.runs += 1;
            }
            [_, ref data @ ..] => {
                for byte in data {
                    let column = self.pointer.1.wrapping_sub(usize::from(self.first_column));
                    self.memory.write(self.pointer.0, column, *byte);
                    self.pointer.1 += 1;
                }
            }
            [] => {}
        }
        Ok(())
    }
}
