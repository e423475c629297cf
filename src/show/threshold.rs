//! Thresholds: triggers that a live value raises by itself.

use super::{LiveId, TriggerId};
use crate::diag::Span;
use crate::whole::limited;

/// On which side of its limit a threshold is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ThresholdSide {
    /// The value is below it.
    Below,
    /// The value is above it.
    Above,
}

/// A trigger that is raised when a value passes a limit; again only when it has come back in between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Threshold {
    /// The live value.
    pub value: LiveId,
    /// The side on which it is met.
    pub side: ThresholdSide,
    /// The value that it must be below, or above.
    pub limit: i16,
    /// Once met, it stays met as long as the value is on that side of this one.
    pub again: i16,
    /// The trigger that is raised.
    pub trigger: TriggerId,
    /// Its place in the script.
    pub span: Span,
}

/// Bytes of a threshold in its table, and the bit of one that is met above its limit.
pub const THRESHOLD_BYTES: usize = 6;
const ABOVE: u8 = 0x80;

impl Threshold {
    /// Its bytes in the table of the firmware (src/player/threshold.c).
    pub fn bytes(&self) -> [u8; THRESHOLD_BYTES] {
        let side = if self.side == ThresholdSide::Above { ABOVE } else { 0 };
        let ([low, high], [again_low, again_high]) = (self.limit.to_le_bytes(), self.again.to_le_bytes());
        [limited::<u8, usize>(self.value.0) | side, low, high, again_low, again_high, limited(self.trigger.0)]
    }
}

/// The table of a show's thresholds, for the firmware and for previews; empty without any.
pub fn threshold_table(thresholds: &[Threshold]) -> Vec<u8> {
    if thresholds.is_empty() {
        return Vec::new();
    }
    let rows = thresholds.iter().flat_map(Threshold::bytes);
    std::iter::once(limited(thresholds.len())).chain(rows).collect()
}
