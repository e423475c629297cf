//! Finds earlier code in the reel that does what comes next. It is then played again instead of written again.

use super::encode::word;
use crate::player::operation as op;
use crate::whole::limited;
use std::collections::HashMap;

/// How deep replays can nest. The player has this number of levels.
pub const LEVELS: u8 = 4;
/// The largest number of repeats of one instruction.
const MOST_REPEATS: usize = 255;
/// Earlier places are found by the hash of this many tokens; the longest last.
const KEYS: [usize; 3] = [1, 3, 12];
/// Of the places that begin in the same way, this many of the first and this many of the last are tried.
const PLACES_TRIED: usize = 12;
/// Reel bytes of a replay of at most 255 bytes, of a longer one, and of a repeat.
const SHORT_REPLAY: usize = 4;
const LONG_REPLAY: usize = 5;
const REPEAT: usize = 4;

/// A replay or repeat of earlier code that does what comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Again {
    /// The earlier code is in the reel bytes `from..from + length`. In a repeat this is the body, and the reel so far ends with it.
    pub from: usize,
    pub length: usize,
    /// How often the body is repeated; 0 for a replay.
    pub times: usize,
    /// How many tokens it replaces.
    pub count: usize,
    /// How many replays nest in it.
    pub depth: u8,
    /// Whether it contains a repeat. Repeats must not nest.
    pub repeats: bool,
}

impl Again {
    /// Its reel bytes.
    pub fn size(&self) -> usize {
        match (self.times, self.length) {
            (0, 0..=255) => SHORT_REPLAY,
            (0, _) => LONG_REPLAY,
            _ => REPEAT,
        }
    }

    /// Its code.
    pub fn code(&self) -> Vec<u8> {
        let [low, high] = word(self.length);
        let mut code = match self.times {
            0 if high == 0 => vec![op::PLAY, low],
            0 => vec![op::PLAY_LONG, low, high],
            times => vec![op::REPEAT, limited(times)],
        };
        code.extend(word(self.from));
        code
    }
}

/// A piece of code in the reel.
#[derive(Clone, Copy, Debug)]
struct Unit {
    first: usize,
    start: usize,
    depth: u8,
    repeats: bool,
}

/// All tokens of the show so far, and the code written for them.
#[derive(Default)]
pub struct History {
    stream: Vec<u32>,
    units: Vec<Unit>,
    /// For each written token, the piece of code that begins there, if there is one.
    unit_at: Vec<Option<u32>>,
    places: HashMap<(usize, u64), Vec<u32>>,
    /// For each distance, up to where the stream is known to equal itself at that distance earlier.
    alike_until: Vec<usize>,
    /// How deep replays can nest in the current scene.
    levels: u8,
}

impl History {
    /// Adds the tokens of the next scene, in which replays nest at most `levels` deep. Returns where they begin in the stream.
    pub fn open(&mut self, numbers: &[u32], levels: u8) -> usize {
        let start = self.stream.len();
        self.levels = levels;
        self.stream.extend(numbers);
        self.alike_until.resize(self.stream.len() + 1, 0);
        start
    }

    /// Notes that the next `count` tokens were written as a piece of code from `start` on.
    pub fn wrote(&mut self, count: usize, start: usize, depth: u8, repeats: bool) {
        let first = self.unit_at.len();
        let unit = limited(self.units.len());
        self.units.push(Unit { first, start, depth, repeats });
        self.unit_at.resize(first + count, None);
        self.unit_at[first] = Some(unit);
        for key in KEYS {
            if let Some(place) = self.key(first, key) {
                self.places.entry(place).or_default().push(limited(first));
            }
        }
    }

    fn key(&self, at: usize, length: usize) -> Option<(usize, u64)> {
        const PRIME: u64 = 0x0000_0100_0000_01B3;
        const SEED: u64 = 0xCBF2_9CE4_8422_2325;
        let tokens = self.stream.get(at..at + length)?;
        if length == 1 && super::tokens::byte(tokens[0]).is_some() {
            return None;
        }
        Some((length, tokens.iter().fold(SEED, |hash, token| (hash ^ u64::from(*token)).wrapping_mul(PRIME))))
    }

    /// Calls `found` with replays and repeats for the tokens from `at` on, at most up to `limit`. Unless `all` is set, only the
    /// longest is given for each earlier place. The code for the tokens before `at` ends at `end`, or partly after it.
    pub fn find(&mut self, at: usize, limit: usize, end: usize, all: bool, mut found: impl FnMut(Again)) {
        let levels = self.levels;
        for length in KEYS {
            let Some(places) = self.key(at, length).and_then(|key| self.places.get(&key)) else { continue };
            let split = places.len().saturating_sub(PLACES_TRIED);
            let (early, late) = (&places[..split.min(PLACES_TRIED)], &places[split..]);
            for place in early.iter().chain(late) {
                let place = *place as usize;
                let distance = at - place;
                if self.alike_until[distance] <= at {
                    let same = self.stream[at..].iter().zip(&self.stream[place..]).take_while(|(a, b)| a == b).count();
                    self.alike_until[distance] = at + same;
                }
                let same = self.alike_until[distance].min(limit) - at;
                again(&self.units, &self.unit_at, (place, at), (same, levels), end, all, &mut found);
            }
        }
    }
}

/// The replays and repeats of the code of `place` for the tokens from `at` on, `same` of which are equal.
fn again(
    units: &[Unit],
    unit_at: &[Option<u32>],
    (place, at): (usize, usize),
    (same, levels): (usize, u8),
    end: usize,
    all: bool,
    found: &mut impl FnMut(Again),
) {
    let Some(first) = unit_at[place] else { return };
    let from = units[first as usize].start;
    let (mut depth, mut repeats, mut longest) = (0, false, None);
    for unit in first as usize..units.len() {
        let next = units.get(unit + 1);
        let (behind, stop) = next.map_or((unit_at.len(), end), |next| (next.first, next.start));
        depth = depth.max(units[unit].depth);
        repeats |= units[unit].repeats;
        if behind - place > same || depth > levels {
            break;
        }
        let (length, count) = (stop - from, behind - place);
        if depth < levels {
            let replay = Again { from, length, times: 0, count, depth: depth + 1, repeats };
            if all {
                found(replay);
            } else {
                longest = Some(replay);
            }
        }
        let times = (same / count).min(MOST_REPEATS);
        if behind == at && !repeats && times > 0 {
            found(Again { from, length, times, count: times * count, depth, repeats: true });
        }
    }
    longest.into_iter().for_each(found);
}
