// Thresholds: triggers that a live value raises by itself when it falls below a limit, or rises above it. The show has a table of
// them. A threshold can raise its trigger again after the value has come back to `again`.

/// A table: the number of thresholds, at most 16. Then for each: number of the live value, with the highest bit set if the value must
/// rise above the limit; the limit; the value at which the threshold is ready again; the trigger. Limits have two bytes.
const LIMIT: usize = 1;
const AGAIN: usize = 3;
const TRIGGER: usize = 5;
const BYTES: usize = 6;
const ABOVE: u8 = 0x80;

/// The thresholds of a show, such as `Thresholds::new(&helm::THRESHOLDS)`.
pub struct Thresholds<'t> {
    table: &'t [u8],
    /// A bit for each threshold: whether its value is beyond the limit.
    met: u16,
}

impl<'t> Thresholds<'t> {
    /// The thresholds of a table. None of them is met yet.
    pub const fn new(table: &'t [u8]) -> Self {
        Self { table, met: 0 }
    }

    /// Raises the trigger of each threshold that its value has passed since the last call, such as
    /// `thresholds.watch(|number| LIVE.get(number.into()), |trigger| player.trigger(trigger))`, before each call of `tick`.
    pub fn watch(&mut self, value: impl Fn(u8) -> i16, mut raise: impl FnMut(u8)) {
        let mut bit = 1;
        for at in 0..self.byte(0) as usize {
            let at = 1 + at * BYTES;
            let live = self.byte(at);
            let value = value(live & !ABOVE);
            let other = self.word(at + if self.met & bit == 0 { LIMIT } else { AGAIN });
            let beyond = if live & ABOVE == 0 { value < other } else { value > other };
            if beyond && self.met & bit == 0 {
                raise(self.byte(at + TRIGGER));
            }
            self.met = if beyond { self.met | bit } else { self.met & !bit };
            bit <<= 1;
        }
    }

    fn byte(&self, at: usize) -> u8 {
        self.table.get(at).copied().unwrap_or(0)
    }

    fn word(&self, at: usize) -> i16 {
        i16::from_le_bytes([self.byte(at), self.byte(at + 1)])
    }
}
