//! What the player sends of areas by itself, frame by frame: its own code composes them in the planner's memory.

use super::block::Block;
use crate::player::MOST_AREAS;
use crate::player::area::{Areas, OPEN_AREAS, RESTART_AREAS};
use crate::player::bus::Extension;
use crate::reel::cost::Cost;
use crate::reel::generated::Generated;
use crate::reel::instruction::Instruction;
use crate::reel::memory::Memory;
use crate::reel::simulated_bus::SimulatedBus;

/// Bytes of the instruction that opens areas, and of that by which they begin anew.
const OPEN_BYTES: u64 = 4;
const RESTART_BYTES: u64 = 1;

/// The areas of a scene as they are played.
pub struct Play {
    pub block: Block,
    reel: Vec<u8>,
    areas: Areas<MOST_AREAS>,
    /// The frame behind which they begin anew.
    last: Option<usize>,
}

impl Play {
    /// Before the first frame; behind the `last` one, where there is one, the scene goes on at its first.
    pub fn new(block: Block, last: Option<usize>) -> Self {
        let mut reel = block.placed(0);
        reel.extend([block.count, 0, 0]);
        Self { block, reel, areas: Areas::new(), last }
    }

    /// What the player does at a frame, carried out in memory; `None` where the reel is broken.
    pub fn frame(&mut self, frame: usize, memory: &mut Memory, cost: &Cost, first_column: u8) -> Option<Generated> {
        let mut made = Generated::default();
        let mut bus = SimulatedBus::new(memory, cost, first_column);
        let moves = if frame == 0 {
            made.flash_bytes = OPEN_BYTES + self.block.len() as u64;
            made.instructions.push(Instruction::OpenAreas { count: self.block.count, address: 0 });
            self.areas.open(&self.reel, OPEN_AREAS, self.reel.len() as u16 - 3)?;
            true
        } else {
            self.areas.advance(&self.reel)
        };
        if moves {
            bus.draw(&mut self.areas, &self.reel)?;
        }
        (made.time, made.runs) = (bus.time, bus.runs);
        if self.last == Some(frame) {
            made.instructions.push(Instruction::RestartAreas);
            made.flash_bytes += RESTART_BYTES;
            self.areas.open(&self.reel, RESTART_AREAS, 0)?;
        }
        Some(made)
    }
}
