// A contrast that follows a live value. It is sent when the scene opens, and with each frame in which it has changed.

use super::bus::{BANKED_POINTER, Burst, Bus, End, Extension, Work};
use super::live::{Values, step_of};
pub use super::operation::CONTRAST;
use super::reel::{byte, word};

/// Bytes of the operands: number of the live value; offset of a table with a contrast for each of its steps.
const RECORD_BYTES: u16 = 3;
const CONTRASTS: u16 = 1;

/// Bytes of the longest command group that sets the contrast, with address and control byte.
const LONGEST_GROUP: u8 = 5;

/// What to do about the contrast: nothing, compare it and send it if it has changed, or send it in any case.
#[derive(Clone, Copy, PartialEq, Eq)]
enum DimmingDue {
    Nothing,
    Compare,
    Send,
}

/// The contrast of a scene that follows a live value.
pub struct Dimming<V> {
    /// The values.
    pub values: V,
    /// Offset of the operands; 0 if the contrast follows nothing.
    record: u16,
    due: DimmingDue,
    contrast: u8,
}

impl<V> Dimming<V> {
    /// Nothing is followed yet.
    pub const fn new(values: V) -> Self {
        Self { values, record: 0, due: DimmingDue::Nothing, contrast: 0 }
    }
}

impl<V: Values> Extension for Dimming<V> {
    fn open(&mut self, _: &[u8], operation: u8, at: u16) -> Option<u16> {
        if operation != CONTRAST {
            return None;
        }
        (self.record, self.due) = (at, DimmingDue::Send);
        Some(at.wrapping_add(RECORD_BYTES))
    }
    fn leave(&mut self) {
        (self.record, self.due) = (0, DimmingDue::Nothing);
    }
    fn frame_begins(&mut self) {
        if self.record != 0 {
            self.due = DimmingDue::Compare;
        }
    }
    fn dim<B: Bus>(&mut self, reel: &[u8], burst: &mut Burst<'_, B>) -> Option<Result<(), End>> {
        if self.due == DimmingDue::Nothing {
            return None;
        }
        burst.bus.work(Work::LiveValue, 1);
        let number = byte(reel, self.record);
        let step = step_of(reel, number as usize, self.values.value(number as usize));
        let table = word(reel, self.record.wrapping_add(CONTRASTS));
        let contrast = byte(reel, table.wrapping_add(step as u16));
        if self.due == DimmingDue::Send || contrast != self.contrast {
            if burst.allowance < LONGEST_GROUP {
                return Some(Err(End::Allowance));
            }
            self.contrast = contrast;
            let banked = burst.address == BANKED_POINTER;
            let sent =
                if banked { burst.commands(&[0x21, 0x80 | contrast, 0x20]) } else { burst.commands(&[0x81, contrast]) };
            if sent.is_err() {
                return Some(sent);
            }
        }
        self.due = DimmingDue::Nothing;
        Some(Ok(()))
    }
    fn draw<B: Bus>(&mut self, _: &[u8], _: u8, _: &mut Burst<'_, B>) -> Result<bool, End> {
        Err(End::Fault)
    }
}
