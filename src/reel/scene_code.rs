//! A scene's atoms as code: plainly, or by playing earlier stretches again, by repeating the last stretch, or by copies of
//! bytes. What is taken at each place is what leaves the fewest bytes, by an outlook on what the rest takes.

use super::atoms::{Atoms, Names, byte};
use super::data::{COPY_BYTES, Piece, Places, SHORTEST_COPY, pieces};
use super::instruction::Instruction;
use super::replay::{Again, History, LEVELS};
use std::cmp::Reverse;

/// What the encoder remembers from scene to scene.
pub struct Memories {
    names: Names,
    places: Places,
    history: History,
}

impl Memories {
    /// Of a reel whose bytes before `offset` are still to be filled in.
    pub fn behind(offset: usize) -> Self {
        Self { names: Names::default(), places: Places::behind(offset), history: History::default() }
    }
}

/// How deep replays nest in a scene with a round, and in the round itself, so that the levels do for both.
const LEVELS_BESIDE_ROUND: u8 = LEVELS / 2;

/// For each atom of a scene, and for its end, about how many reel bytes the rest of the scene takes.
pub type Outlook = Vec<usize>;

/// A scene as written.
pub struct SceneCode {
    /// Where each instruction starts (those of a replay at the replay), and where the scene ends.
    pub starts: Vec<usize>,
    /// What the rest takes, with the code in view that there was; for the next attempt.
    pub outlook: Outlook,
}

/// What may be written at a place.
#[derive(Clone, Copy, Debug)]
enum Code {
    Atom,
    Data(Piece),
    Again(Again),
}

/// What code is chosen by: the bytes of it and of the rest, how much it says, how deep it nests, where it comes from.
type Rank = (usize, Reverse<usize>, u8, usize);

/// How many atoms may be said from a place on, in how many bytes.
type Way = (u32, u8);

/// What was in view at each atom that helps to say what comes.
struct View {
    /// The longest copy of data bytes, 0 for none.
    copies: Vec<u8>,
    /// Replays and repetitions.
    ways: Vec<Vec<Way>>,
}

impl View {
    fn of_nothing(atoms: &Atoms) -> Self {
        Self { copies: vec![0; atoms.numbers.len()], ways: vec![Vec::new(); atoms.numbers.len()] }
    }
}

struct Coder<'a> {
    atoms: &'a Atoms,
    outlook: &'a [usize],
    /// Where the scene's atoms begin in the stream.
    base: usize,
    reel: &'a mut Vec<u8>,
    memories: &'a mut Memories,
    /// For each atom where its code begins.
    starts: Vec<usize>,
    view: View,
}

/// Appends a scene to the reel; `outlook` is that of the attempt before.
pub fn encode_scene(
    instructions: &[Instruction],
    reel: &mut Vec<u8>,
    memories: &mut Memories,
    outlook: Option<&Outlook>,
) -> SceneCode {
    let atoms = memories.names.atoms(instructions);
    let plain = outlook.is_none().then(|| outlook_of(&atoms, &memories.names, &View::of_nothing(&atoms)));
    let outlook = outlook.or(plain.as_ref()).map_or(&[][..], Vec::as_slice);
    let levels = if atoms.round.is_empty() { LEVELS } else { LEVELS_BESIDE_ROUND };
    let base = memories.history.open(&atoms.numbers, levels);
    let (starts, view) = (Vec::new(), View::of_nothing(&atoms));
    let mut coder = Coder { atoms: &atoms, outlook, base, reel, memories, starts, view };
    while coder.starts.len() < atoms.numbers.len() {
        coder.next();
    }
    let mut starts: Vec<usize> = atoms.firsts.iter().map(|first| coder.starts[*first]).collect();
    let outlook = outlook_of(&atoms, &coder.memories.names, &coder.view);
    starts.push(reel.len());
    enter(instructions, reel, &starts);
    SceneCode { starts, outlook }
}

/// Says where the jump at the end leads to, how long a round is, and where it goes on.
fn enter(instructions: &[Instruction], reel: &mut [u8], starts: &[usize]) {
    let mut put = |at: usize, word: usize| reel[at + 1..at + 3].copy_from_slice(&(word as u16).to_le_bytes());
    let mut round = 0;
    for (at, instruction) in instructions.iter().enumerate() {
        match instruction {
            Instruction::Jump(to) => put(starts[at], starts.get(*to).copied().unwrap_or(0)),
            Instruction::OpenRound => round = at + 1,
            Instruction::EndRound => {
                put(starts[at], starts[round]);
                put(starts[round - 1], starts[at + 1] - starts[round]);
            }
            _ => {}
        }
    }
}

/// What the rest of a scene takes at least from each atom on, found from the end.
fn outlook_of(atoms: &Atoms, names: &Names, view: &View) -> Outlook {
    let end = atoms.numbers.len();
    let mut outlook = vec![0; end + 1];
    for at in (0..end).rev() {
        let number = atoms.numbers[at];
        let mut least = usize::MAX;
        let mut consider = |size: usize, count: usize| least = least.min(size + outlook[at + count]);
        match byte(number) {
            Some(first) => pieces(data(atoms, at)).for_each(|piece| consider(piece.size(first), piece.length())),
            None => consider(names.code(number).len(), 1),
        }
        (SHORTEST_COPY..=usize::from(view.copies[at])).for_each(|length| consider(COPY_BYTES, length));
        view.ways[at].iter().for_each(|(count, size)| consider(usize::from(*size), *count as usize));
        outlook[at] = least;
    }
    outlook
}

/// The data bytes from an atom on, as far as one instruction may carry them.
fn data(atoms: &Atoms, at: usize) -> &[u8] {
    &atoms.bytes[at..atoms.limits[at].min(atoms.data_ends[at])]
}

impl Coder<'_> {
    /// The next piece of code.
    fn next(&mut self) {
        let at = self.starts.len();
        let start = self.reel.len();
        let code = self.best(at);
        let (count, depth, repeats) = match code {
            Code::Atom => (1, 0, false),
            Code::Data(piece) => (piece.length(), 0, false),
            Code::Again(again) => (again.count, again.depth, again.repeats),
        };
        for inside in at + 1..at + count {
            self.look(inside);
        }
        match code {
            Code::Atom => self.reel.extend(self.memories.names.code(self.atoms.numbers[at])),
            Code::Data(piece) => piece.write(data(self.atoms, at), self.reel),
            Code::Again(again) => self.reel.extend(again.code()),
        }
        self.memories.history.wrote(count, start, depth, repeats);
        self.starts.resize(at + count, start);
    }

    /// What leaves the fewest bytes; of equals the longest, and of these the one that nests least.
    fn best(&mut self, at: usize) -> Code {
        let number = self.atoms.numbers[at];
        let mut best: Option<(Rank, Code)> = None;
        let outlook = self.outlook;
        let mut consider = |size: usize, count: usize, depth: u8, from: usize, code: Code| {
            let rank = (size + outlook[at + count], Reverse(count), depth, from);
            if best.is_none_or(|(least, _)| rank < least) {
                best = Some((rank, code));
            }
        };
        if byte(number).is_some() {
            let data = data(self.atoms, at);
            for piece in pieces(data) {
                consider(piece.size(data[0]), piece.length(), 0, 0, Code::Data(piece));
            }
            self.memories.places.learn(self.reel);
            if let Some((longest, from)) = self.memories.places.longest(self.reel, data) {
                self.view.copies[at] = longest as u8;
                for length in SHORTEST_COPY..=longest {
                    consider(COPY_BYTES, length, 0, 0, Code::Data(Piece::Copy { from, length }));
                }
            }
        } else {
            consider(self.memories.names.code(number).len(), 1, 0, 0, Code::Atom);
        }
        if self.atoms.goes_on[at] {
            let (limit, end, ways) = (self.base + self.atoms.limits[at], self.reel.len(), &mut self.view.ways[at]);
            let round = self.atoms.round.contains(&at);
            self.memories.history.find(self.base + at, limit, end, true, |again| {
                if round && again.repeats {
                    return;
                }
                consider(again.size(), again.count, again.depth, again.from, Code::Again(again));
                ways.push((again.count as u32, again.size() as u8));
            });
            settle(ways);
        }
        best.map_or(Code::Atom, |(_, code)| code)
    }

    /// Notes the ways from an atom on that no piece of code begins at.
    fn look(&mut self, at: usize) {
        if !self.atoms.goes_on[at] {
            return;
        }
        let ways = &mut self.view.ways[at];
        if byte(self.atoms.numbers[at]).is_some() {
            let data = data(self.atoms, at);
            if let Some((longest, _)) = self.memories.places.longest(self.reel, data) {
                self.view.copies[at] = longest as u8;
            }
        }
        let (limit, end) = (self.base + self.atoms.limits[at], self.reel.len());
        let round = self.atoms.round.contains(&at);
        self.memories.history.find(self.base + at, limit, end, false, |again| {
            if round && again.repeats {
                return;
            }
            ways.push((again.count as u32, again.size() as u8));
        });
        settle(ways);
    }
}

/// Keeps of each way one.
fn settle(ways: &mut Vec<Way>) {
    ways.sort_unstable();
    ways.dedup_by_key(|(count, _)| *count);
    ways.shrink_to_fit();
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The least bytes from `at` on, trying every way.
    fn least(numbers: &[u32], at: usize, ways: &[Vec<Way>]) -> usize {
        if at == numbers.len() {
            return 0;
        }
        let rest = |(count, size): (usize, usize)| size + least(numbers, at + count, ways);
        let run = numbers[at..].iter().take_while(|number| **number == numbers[at]).count();
        let literals = (1..=numbers.len() - at).map(|length| (length, 1 + length));
        let fills = (1..=run).map(|length| (length, if numbers[at] == 0 { 1 } else { 2 }));
        let again = ways[at].iter().map(|(count, size)| (*count as usize, usize::from(*size)));
        literals.chain(fills).chain(again).map(rest).min().unwrap_or(usize::MAX)
    }

    proptest! {
        #[test]
        fn the_outlook_is_the_least_that_the_ways_in_view_allow(
            data in prop::collection::vec(0u8..3, 1..10), ways in prop::collection::vec((0usize..10, 1u32..6, 1u8..6), 0..8),
        ) {
            let names = Names::default();
            let atoms = Names::default().atoms(&[Instruction::Data(data.clone())]);
            let mut view = View::of_nothing(&atoms);
            for (at, count, size) in ways {
                if at + count as usize <= data.len() {
                    view.ways[at].push((count, size));
                }
            }
            prop_assert_eq!(outlook_of(&atoms, &names, &view)[0], least(&atoms.numbers, 0, &view.ways));
        }
    }
}
