//! Finds stretches of instructions that stood earlier in the reel, so that they are played again instead of written again.

use super::instruction::Instruction;
use std::collections::HashMap;

/// How deep replays may nest; the player keeps so many levels.
const LEVELS: u8 = 4;
/// How many earlier places that begin with the same two instructions are tried, the latest first.
const PLACES_TRIED: usize = 64;
/// Reel bytes of a replay of at most 255 bytes, and of a longer one.
const SHORT_REPLAY: usize = 4;
const LONG_REPLAY: usize = 5;

/// A stretch of code that stands for `count` instructions; when it is played again, bytes `from..from + length` of the reel.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stretch {
    pub from: usize,
    pub length: usize,
    pub count: usize,
    /// How many replays nest in it.
    pub depth: u8,
    /// Whether it contains a repetition, which must not stand inside another.
    pub repeats: bool,
}

/// A stretch of code in the reel: one instruction, or a replay of several.
#[derive(Clone, Copy, Debug)]
struct Unit {
    first: usize,
    start: usize,
    depth: u8,
    repeats: bool,
}

/// Everything emitted so far, as numbers that are equal for equal instructions.
#[derive(Default)]
pub struct History {
    numbers: HashMap<Instruction, u32>,
    sizes: Vec<usize>,
    emitted: Vec<u32>,
    units: Vec<Unit>,
    /// For each emitted instruction the unit that begins there, if one does.
    unit_at: Vec<Option<usize>>,
    pairs: HashMap<(u32, u32), Vec<usize>>,
}

impl History {
    /// Equal numbers for equal instructions; `size` gives the reel bytes of one that is new.
    pub fn number(&mut self, instruction: &Instruction, size: impl FnOnce() -> usize) -> u32 {
        let next = self.sizes.len() as u32;
        let number = *self.numbers.entry(instruction.clone()).or_insert(next);
        if number == next {
            self.sizes.push(size());
        }
        number
    }

    /// The reel bytes of an instruction by its number.
    pub fn size(&self, number: u32) -> usize {
        self.sizes[number as usize]
    }

    /// Remembers that the next instructions were emitted as code from `start` on: one plainly, or several by one stretch.
    pub fn emit(&mut self, numbers: &[u32], start: usize, stretch: &Stretch) {
        let first = self.emitted.len();
        self.units.push(Unit { first, start, depth: stretch.depth, repeats: stretch.repeats });
        for number in numbers {
            let at = self.emitted.len();
            if let Some(former) = self.emitted.last() {
                self.pairs.entry((*former, *number)).or_default().push(at - 1);
            }
            self.unit_at.push((at == first).then_some(self.units.len() - 1));
            self.emitted.push(*number);
        }
    }

    /// The replay that saves most in place of the first of `coming`; `end` is where the reel ends now.
    /// A stretch ends before an instruction that `may_replay` refuses, and before a repetition unless `repeats`.
    pub fn best(
        &self,
        coming: &[u32],
        may_replay: impl Fn(usize) -> bool,
        end: usize,
        repeats: bool,
    ) -> Option<(usize, Stretch)> {
        let pair = (*coming.first()?, *coming.get(1)?);
        let limit = (0..coming.len()).take_while(|at| may_replay(*at)).count();
        let places = self.pairs.get(&pair)?.iter().rev().take(PLACES_TRIED);
        let replays = places.filter_map(|place| self.replay(*place, &coming[..limit], end, repeats));
        replays.max_by_key(|(saving, replay)| (*saving, std::cmp::Reverse(replay.from)))
    }

    fn replay(&self, place: usize, coming: &[u32], end: usize, repeats: bool) -> Option<(usize, Stretch)> {
        let first_unit = self.unit_at[place]?;
        let same = self.emitted[place..].iter().zip(coming).take_while(|(a, b)| a == b).count();
        let (mut depth, mut repeating, mut best) = (0, false, None);
        for unit in first_unit..self.units.len() {
            let next = self.units.get(unit + 1);
            let count = next.map_or(self.emitted.len(), |next| next.first) - place;
            depth = depth.max(self.units[unit].depth + 1);
            repeating |= self.units[unit].repeats;
            if count > same || depth > LEVELS || (repeating && !repeats) {
                break;
            }
            best = Some((count, next.map_or(end, |next| next.start), depth, repeating));
        }
        let (count, stop, depth, repeating) = best?;
        let from = self.units[first_unit].start;
        let length = stop - from;
        let plain: usize = coming[..count].iter().map(|number| self.sizes[*number as usize]).sum();
        let replay_bytes = if length > 255 { LONG_REPLAY } else { SHORT_REPLAY };
        let saving = plain.checked_sub(replay_bytes).filter(|saving| *saving > 0)?;
        Some((saving, Stretch { from, length, count, depth, repeats: repeating }))
    }
}

/// The reel bytes of a replay.
pub fn replay_code(replay: &Stretch) -> Vec<u8> {
    let [low, high] = [replay.length as u8, (replay.length >> 8) as u8];
    let mut code = if replay.length > 255 { vec![0x08, low, high] } else { vec![0x07, low] };
    code.extend([replay.from as u8, (replay.from >> 8) as u8]);
    code
}
