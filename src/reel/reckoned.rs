//! A part of a frame that the player makes by itself.

use super::instruction::Instruction;

/// The instructions, and what they cost.
#[derive(Clone, Debug, Default)]
pub struct Reckoned {
    pub instructions: Vec<Instruction>,
    /// Reel bytes, at most.
    pub flash_bytes: u64,
    /// Bus time in nanoseconds, and how many runs of cells.
    pub time: u64,
    pub runs: usize,
    /// Cells that a beam may touch, and a part of those that it does not: what looking at them took of the allowances.
    pub reckoned: u32,
    /// Cells of noise.
    pub grains: u32,
    /// Cells of rows that roll.
    pub rolled: u32,
    /// Cells of areas that are composed, each counted once for each area of the scene.
    pub composed: u32,
}
