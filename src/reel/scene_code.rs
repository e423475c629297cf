//! A scene's instructions as code: plainly, or by playing earlier stretches again, or by repeating the last stretch.

use super::encode::{Memories, encode_instruction, goes_on, size};
use super::instruction::Instruction;
use super::replay::{Stretch, replay_code};
use std::ops::Range;

/// Reel bytes of a repetition.
const REPEAT_BYTES: usize = 4;
/// The longest stretch, in instructions, whose repetition is looked for.
const LONGEST_BODY: usize = 1024;
/// How many instructions ahead a replay is looked for that saves more.
const LOOK_AHEAD: usize = 2;
/// How often a stretch is repeated by one instruction at most.
const MOST_LAPS: usize = 255;

/// A stretch that comes several times in a row: so many instructions, and how often it comes again.
#[derive(Clone, Copy, Debug)]
struct Repeat {
    body: usize,
    laps: usize,
    saving: usize,
}

struct Coder<'a> {
    instructions: &'a [Instruction],
    numbers: Vec<u32>,
    /// The instruction that a jump leads to; it keeps an offset of its own.
    entered: Option<usize>,
    starts: Vec<usize>,
    reel: &'a mut Vec<u8>,
    memories: &'a mut Memories,
}

/// Where each instruction starts (those of a replay at the replay), and where the scene ends.
pub fn encode_scene(instructions: &[Instruction], reel: &mut Vec<u8>, memories: &mut Memories) -> Vec<usize> {
    let numbers =
        instructions.iter().map(|instruction| memories.history.number(instruction, || size(instruction))).collect();
    let entered = instructions.iter().find_map(|instruction| match instruction {
        Instruction::Jump(to) => Some(*to),
        _ => None,
    });
    let mut coder = Coder { instructions, numbers, entered, starts: Vec::new(), reel, memories };
    while coder.starts.len() < instructions.len() {
        coder.next();
    }
    let end = coder.reel.len();
    coder.starts.push(end);
    coder.starts
}

impl Coder<'_> {
    /// The next instructions, in the way that saves most.
    fn next(&mut self) {
        let at = self.starts.len();
        let replay = self.replay(at, self.instructions.len(), true);
        match self.repeat(at) {
            Some(repeat) if replay.is_none_or(|(saving, _)| saving <= repeat.saving) => self.put_repeat(&repeat),
            _ => self.put(replay.filter(|replay| !self.better_later(at, replay)).map(|(_, stretch)| stretch)),
        }
    }

    fn replay(&self, at: usize, end: usize, repeats: bool) -> Option<(usize, Stretch)> {
        let may_replay =
            |ahead: usize| goes_on(&self.instructions[at + ahead]) && (ahead == 0 || Some(at + ahead) != self.entered);
        self.memories.history.best(&self.numbers[at..end], may_replay, self.reel.len(), repeats)
    }

    /// Whether a stretch that begins a little later saves more than this one.
    fn better_later(&self, at: usize, (saving, stretch): &(usize, Stretch)) -> bool {
        let later =
            (1..=LOOK_AHEAD).take_while(|ahead| *ahead < stretch.count && goes_on(&self.instructions[at + ahead - 1]));
        let mut replays = later.filter_map(|ahead| self.replay(at + ahead, self.instructions.len(), true));
        replays.any(|(later, _)| later > *saving)
    }

    /// One instruction, or the stretch that is played again in place of several.
    fn put(&mut self, replay: Option<Stretch>) {
        let (at, start) = (self.starts.len(), self.reel.len());
        let stretch = replay.unwrap_or(Stretch { count: 1, ..Stretch::default() });
        match replay {
            Some(replay) => self.reel.extend(replay_code(&replay)),
            None => {
                encode_instruction(&self.instructions[at], self.reel, &mut self.memories.places, &self.starts);
            }
        }
        self.memories.history.emit(&self.numbers[at..at + stretch.count], start, &stretch);
        self.starts.resize(at + stretch.count, start);
    }

    /// The repetition that saves most from `at` on; of equals the one of the shortest stretch.
    fn repeat(&self, at: usize) -> Option<Repeat> {
        let numbers = &self.numbers[at..];
        let first = numbers.first()?;
        let bodies = (1..=LONGEST_BODY.min(numbers.len() / 2)).filter(|body| numbers[*body] == *first);
        bodies
            .filter_map(|body| self.repeat_of(at, body))
            .max_by_key(|repeat| (repeat.saving, MOST_LAPS * LONGEST_BODY - repeat.body))
    }

    fn repeat_of(&self, at: usize, body: usize) -> Option<Repeat> {
        let numbers = &self.numbers[at..];
        let alike = numbers[body..].iter().zip(numbers).take_while(|(a, b)| a == b).count();
        let usable = |ahead: &usize| goes_on(&self.instructions[at + ahead]) && Some(at + ahead) != self.entered;
        let usable = (body..body + alike).take_while(usable).count();
        let laps = (usable / body).min(MOST_LAPS);
        let plain: usize = numbers[..body].iter().map(|number| self.memories.history.size(*number)).sum();
        let saving = (plain * laps).checked_sub(REPEAT_BYTES).filter(|saving| *saving > 0)?;
        (0..body).all(|ahead| goes_on(&self.instructions[at + ahead])).then_some(Repeat { body, laps, saving })
    }

    fn put_repeat(&mut self, repeat: &Repeat) {
        let (at, from) = (self.starts.len(), self.reel.len());
        let end = at + repeat.body;
        let mut depth = 0;
        while self.starts.len() < end {
            let replay = self.replay(self.starts.len(), end, false).map(|(_, stretch)| stretch);
            depth = depth.max(replay.map_or(0, |stretch| stretch.depth));
            self.put(replay);
        }
        let start = self.reel.len();
        self.reel.extend([0x0E, repeat.laps as u8, from as u8, (from >> 8) as u8]);
        let again: Range<usize> = end..end + repeat.body * repeat.laps;
        let stretch = Stretch { count: again.len(), depth, repeats: true, ..Stretch::default() };
        self.starts.resize(again.end, start);
        self.memories.history.emit(&self.numbers[again], start, &stretch);
    }
}
