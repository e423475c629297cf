//! Plays areas frame by frame: the code of the player composes them in the planner's memory.

use super::block::Block;
use crate::player::area::{OPEN_AREAS, RESTART_AREAS};
use crate::player::bus::{Burst, Extension};
use crate::player::header::{HEADER_SET_UP, HEADER_TABLES};
use crate::player::over::{Above, Below};
use crate::player::{AnyAreas, SilentBus};
use crate::reel::cost::Cost;
use crate::reel::generated::Generated;
use crate::reel::instruction::Instruction;
use crate::reel::memory::{Memory, PageBitmap, cell};
use crate::reel::scene::{Next, SceneFrames};
use crate::reel::simulated_bus::SimulatedBus;
use crate::whole::limited;

/// Bytes of the instruction that opens areas, and of those that restart or close them.
const OPEN_BYTES: u64 = 4;
const END_BYTES: u64 = 1;

/// Bytes of a reel's header up to its tables.
const HEADER_BYTES: usize = HEADER_TABLES as usize;

/// The live values of a show, and the value of each in every frame of a scene.
#[derive(Clone, Debug, Default)]
pub struct LiveFrames {
    /// As in the reel: start, highest and lowest value, factor.
    pub words: Vec<[u16; 4]>,
    /// All values of each frame.
    pub values: Vec<Vec<i16>>,
}

/// The bytes of live values before the set-up of a reel.
pub fn live_bytes(words: &[[u16; 4]]) -> Vec<u8> {
    words.iter().rev().flatten().flat_map(|word| word.to_le_bytes()).collect()
}

/// The largest number of cells that are composed over a copy of the picture at a time.
const COMPOSED_CELLS: usize = 7;

/// A picture below areas. Its leftmost column is this column of the display's memory.
struct PictureBelow<'a>(&'a PageBitmap, u8);

impl Below for PictureBelow<'_> {
    fn is_copy(&self) -> bool {
        true
    }
    fn cell_below(&self, page: u8, column: u8) -> u8 {
        let bits = self.0.bits().get(usize::from(column.wrapping_sub(self.1)));
        bits.map_or(0, |bits| cell(*bits, page.into()))
    }
}

/// The last frame of a scene, and what follows.
#[derive(Clone, Copy, Debug)]
pub struct LastFrame {
    pub at: usize,
    pub then: Next,
}

impl LastFrame {
    /// That of a scene.
    pub fn of(scene_frames: &SceneFrames) -> Self {
        Self { at: scene_frames.pictures.len() - 1, then: scene_frames.then }
    }

    /// What areas do after this frame: they restart with a scene that repeats, and close before another scene begins.
    pub fn end_of_areas(self) -> Option<Instruction> {
        match self.then {
            Next::Repeat => Some(Instruction::RestartAreas),
            Next::Scene(_) | Next::Back => Some(Instruction::CloseAreas),
            Next::Hold => None,
        }
    }

    /// Whether this frame, counted without end, shows the first one again.
    fn is_before(self, frame: usize) -> bool {
        self.then == Next::Repeat && frame > self.at
    }
}

/// The state of the areas of a scene while they are played.
pub struct Play {
    pub block: Block,
    values: Vec<Vec<i16>>,
    reel: Vec<u8>,
    areas: AnyAreas,
    last: LastFrame,
}

impl Play {
    /// The state before the first frame.
    pub fn new(block: Block, last: LastFrame, live: &LiveFrames) -> Self {
        let mut reel = vec![0; HEADER_BYTES];
        reel.extend(live_bytes(&live.words));
        let start = reel.len();
        let [low, high] = limited::<u16, _>(start).to_le_bytes();
        reel[usize::from(HEADER_SET_UP)] = low;
        reel[usize::from(HEADER_SET_UP) + 1] = high;
        reel.extend(block.placed(start));
        reel.extend([block.count, low, high]);
        Self { block, values: live.values.clone(), reel, areas: AnyAreas::any(), last }
    }

    /// Plays a frame in memory. `None` if the reel is invalid.
    pub fn frame(&mut self, frame: usize, memory: &mut Memory, cost: &Cost, first_column: u8) -> Option<Generated> {
        let mut made = Generated::default();
        if frame == 0 {
            made.flash_bytes = OPEN_BYTES + self.block.len() as u64;
            made.instructions.push(Instruction::OpenAreas { count: self.block.count, address: 0 });
        }
        let moves = self.advance_to(frame)?;
        let mut bus = SimulatedBus::new(memory, cost, first_column);
        if moves {
            bus.draw(&mut self.areas, &self.reel)?;
        }
        (made.time, made.runs) = (bus.time, bus.runs);
        if let Some(end) = self.last.end_of_areas().filter(|_| self.last.at == frame) {
            made.instructions.push(end);
            made.flash_bytes += END_BYTES;
            self.restart_after(frame)?;
        }
        Some(made)
    }

    /// Opens the areas for the first frame, or advances them to this frame. Returns whether one of them moves. `None` if the reel is
    /// invalid.
    fn advance_to(&mut self, frame: usize) -> Option<bool> {
        let at = if self.last.is_before(frame) { 0 } else { frame };
        for (number, value) in self.values.get(at).into_iter().flatten().enumerate() {
            self.areas.set(number, *value);
        }
        if frame == 0 {
            self.areas.open(&self.reel, OPEN_AREAS, u16::try_from(self.reel.len() - 3).ok()?)?;
            return Some(true);
        }
        Some(self.areas.advance(&self.reel, &mut SilentBus))
    }

    /// Plays a frame over a picture. Returns whether it then looks as wanted.
    pub fn shows(&mut self, frame: usize, [below, wanted]: [&PageBitmap; 2], first_column: u8) -> bool {
        let Some(_) = self.advance_to(frame) else { return false };
        let (below, mut bus) = (PictureBelow(below, first_column), SilentBus);
        let mut burst =
            Burst { bus: &mut bus, address: 0, most: u8::MAX, allowance: u8::MAX, owed: 0, room: 0, open: false };
        let pages = 0..limited::<u8, _>(wanted.rows().div_ceil(8));
        let agrees = pages.into_iter().all(|page| {
            (0u8..).step_by(COMPOSED_CELLS).zip(wanted.bits().chunks(COMPOSED_CELLS)).all(|(column, wanted)| {
                let mut cells = [0; COMPOSED_CELLS];
                let (place, cells) = ((page, first_column.wrapping_add(column)), &mut cells[..wanted.len()]);
                let composed = self.areas.lay_over(&self.reel, place, cells, &below, &mut burst);
                composed.is_ok() && cells.iter().zip(wanted).all(|(shown, wanted)| *shown == cell(*wanted, page.into()))
            })
        });
        agrees && self.restart_after(frame).is_some()
    }

    /// Restarts the courses after the last frame of a scene that repeats.
    fn restart_after(&mut self, frame: usize) -> Option<()> {
        if self.last.then == Next::Repeat && self.last.at == frame {
            self.areas.open(&self.reel, RESTART_AREAS, 0)?;
        }
        Some(())
    }
}
