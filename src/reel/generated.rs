//! A part of a frame that the player computes.

use super::instruction::Instruction;

/// The instructions, and what they cost.
#[derive(Clone, Debug, Default)]
pub struct Generated {
    pub instructions: Vec<Instruction>,
    /// Reel bytes; the real number may be smaller.
    pub flash_bytes: u64,
    /// Bus time in nanoseconds, and number of runs of cells.
    pub time: u64,
    pub runs: usize,
}
