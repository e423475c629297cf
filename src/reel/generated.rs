//! A part of a frame that the player makes by itself.

use super::instruction::Instruction;

/// The instructions, and what they cost.
#[derive(Clone, Debug, Default)]
pub struct Generated {
    pub instructions: Vec<Instruction>,
    /// Reel bytes, at most.
    pub flash_bytes: u64,
    /// Bus time in nanoseconds, and how many runs of cells.
    pub time: u64,
    pub runs: usize,
}
