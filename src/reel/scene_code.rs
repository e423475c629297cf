//! Encodes the tokens of a scene: as plain code, by replays of earlier code, by repeats of the last code, or by copies of bytes. At
//! each place the choice is what leaves the fewest bytes, with a cost-to-go as an estimate for the rest.

use super::data::{COPY_BYTES, Piece, Places, SHORTEST_COPY, pieces};
use super::encode::put_offset;
use super::instruction::Instruction;
use super::replay::{Again, History, LEVELS};
use super::tokens::{Interner, Tokens, byte};
use crate::whole::limited;
use std::cmp::Reverse;

/// What the encoder keeps from scene to scene.
pub struct Memories {
    names: Interner,
    places: Places,
    history: History,
}

impl Memories {
    /// For a reel whose bytes before `offset` are filled in later.
    pub fn behind(offset: usize) -> Self {
        Self { names: Interner::default(), places: Places::behind(offset), history: History::default() }
    }
}

/// How deep replays nest in a scene with a loop, and in the loop itself. The levels of the player are enough for both together.
const LEVELS_BESIDE_ROUND: u8 = LEVELS / 2;

/// For each token of a scene and for its end: an estimate of the reel bytes of the rest of the scene.
pub type CostToGo = Vec<usize>;

/// An encoded scene.
pub struct SceneCode {
    /// Where each instruction starts (inside a replay: where the replay starts), and where the scene ends.
    pub starts: Vec<usize>,
    /// The cost-to-go with the earlier code that was available, for the next attempt.
    pub cost_to_go: CostToGo,
}

/// What can be written at a place.
#[derive(Clone, Copy, Debug)]
enum TokenCode {
    Token,
    Data(Piece),
    Again(Again),
}

/// How code is chosen: bytes of the code and of the rest, number of tokens, depth of nesting, source.
type Rank = (usize, Reverse<usize>, u8, usize);

/// A number of tokens from a place on, and the bytes that encode them.
type Match = (u32, u8);

/// The copies and matches that were available at each token.
struct TokenView {
    /// The longest copy of data bytes, 0 for none.
    copies: Vec<u8>,
    /// Replays and repeats.
    matches: Vec<Vec<Match>>,
}

impl TokenView {
    fn of_nothing(tokens: &Tokens) -> Self {
        Self { copies: vec![0; tokens.numbers.len()], matches: vec![Vec::new(); tokens.numbers.len()] }
    }
}

struct Coder<'a> {
    tokens: &'a Tokens,
    cost_to_go: &'a [usize],
    /// Where the scene's tokens begin in the stream.
    base: usize,
    reel: &'a mut Vec<u8>,
    memories: &'a mut Memories,
    /// For each token, where its code begins.
    starts: Vec<usize>,
    view: TokenView,
}

/// Appends a scene to the reel. `cost_to_go` is that of the attempt before.
pub fn encode_scene(
    instructions: &[Instruction],
    reel: &mut Vec<u8>,
    memories: &mut Memories,
    cost_to_go: Option<&CostToGo>,
) -> SceneCode {
    let tokens = memories.names.tokens(instructions);
    let plain = cost_to_go.is_none().then(|| cost_to_go_of(&tokens, &memories.names, &TokenView::of_nothing(&tokens)));
    let cost_to_go = cost_to_go.or(plain.as_ref()).map_or(&[][..], Vec::as_slice);
    let levels = if tokens.round.is_empty() { LEVELS } else { LEVELS_BESIDE_ROUND };
    let base = memories.history.open(&tokens.numbers, levels);
    let (starts, view) = (Vec::new(), TokenView::of_nothing(&tokens));
    let mut coder = Coder { tokens: &tokens, cost_to_go, base, reel, memories, starts, view };
    while coder.starts.len() < tokens.numbers.len() {
        coder.next();
    }
    let mut starts: Vec<usize> = tokens.firsts.iter().map(|first| coder.starts[*first]).collect();
    let cost_to_go = cost_to_go_of(&tokens, &coder.memories.names, &coder.view);
    starts.push(reel.len());
    enter(instructions, reel, &starts);
    memories.places.all_known();
    SceneCode { starts, cost_to_go }
}

/// Fills in the target of the jump at the end, the length of a loop, and where it continues.
fn enter(instructions: &[Instruction], reel: &mut [u8], starts: &[usize]) {
    let mut put = |at: usize, word: usize| put_offset(reel, at + 1, word);
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

/// The smallest number of bytes of the rest of a scene, from each token on, computed from the end.
fn cost_to_go_of(tokens: &Tokens, names: &Interner, view: &TokenView) -> CostToGo {
    let end = tokens.numbers.len();
    let mut cost_to_go = vec![0; end + 1];
    for at in (0..end).rev() {
        let number = tokens.numbers[at];
        let mut least = usize::MAX;
        let mut consider = |size: usize, count: usize| least = least.min(size + cost_to_go[at + count]);
        match byte(number) {
            Some(first) => pieces(data(tokens, at)).for_each(|piece| consider(piece.size(first), piece.length())),
            None => consider(names.code(number).len(), 1),
        }
        (SHORTEST_COPY..=usize::from(view.copies[at])).for_each(|length| consider(COPY_BYTES, length));
        view.matches[at].iter().for_each(|(count, size)| consider(usize::from(*size), *count as usize));
        cost_to_go[at] = least;
    }
    cost_to_go
}

/// The data bytes from a token on, as many as one instruction can carry.
fn data(tokens: &Tokens, at: usize) -> &[u8] {
    &tokens.bytes[at..tokens.limits[at].min(tokens.data_ends[at])]
}

impl Coder<'_> {
    /// Writes the next piece of code.
    fn next(&mut self) {
        let at = self.starts.len();
        let start = self.reel.len();
        let code = self.best(at);
        let (count, depth, repeats) = match code {
            TokenCode::Token => (1, 0, false),
            TokenCode::Data(piece) => (piece.length(), 0, false),
            TokenCode::Again(again) => (again.count, again.depth, again.repeats),
        };
        for inside in at + 1..at + count {
            self.state(inside);
        }
        match code {
            TokenCode::Token => self.token(at),
            TokenCode::Data(piece) => piece.write(data(self.tokens, at), self.reel),
            TokenCode::Again(again) => self.reel.extend(again.code()),
        }
        self.memories.history.wrote(count, start, depth, repeats);
        self.starts.resize(at + count, start);
    }

    /// Writes a token that is a whole instruction. The length of a loop and where it continues are filled in later ([`enter`]).
    fn token(&mut self, at: usize) {
        let start = self.reel.len();
        self.reel.extend(self.memories.names.code(self.tokens.numbers[at]));
        let round = &self.tokens.round;
        if !round.is_empty() && (at + 1 == round.start || at + 1 == round.end) {
            self.memories.places.leave_out(start + 1..self.reel.len());
        }
    }

    /// Returns the code that leaves the fewest bytes; of equal ones the longest, and of these the one that nests least.
    fn best(&mut self, at: usize) -> TokenCode {
        let number = self.tokens.numbers[at];
        let mut best: Option<(Rank, TokenCode)> = None;
        let cost_to_go = self.cost_to_go;
        let mut consider = |size: usize, count: usize, depth: u8, from: usize, code: TokenCode| {
            let rank = (size + cost_to_go[at + count], Reverse(count), depth, from);
            if best.is_none_or(|(least, _)| rank < least) {
                best = Some((rank, code));
            }
        };
        if byte(number).is_some() {
            let data = data(self.tokens, at);
            for piece in pieces(data) {
                consider(piece.size(data[0]), piece.length(), 0, 0, TokenCode::Data(piece));
            }
            self.memories.places.learn(self.reel);
            if let Some((longest, from)) = self.memories.places.longest(self.reel, data) {
                self.view.copies[at] = limited(longest);
                for length in SHORTEST_COPY..=longest {
                    consider(COPY_BYTES, length, 0, 0, TokenCode::Data(Piece::Copy { from, length }));
                }
            }
        } else {
            consider(self.memories.names.code(number).len(), 1, 0, 0, TokenCode::Token);
        }
        if self.tokens.goes_on[at] {
            let (limit, end, matches) =
                (self.base + self.tokens.limits[at], self.reel.len(), &mut self.view.matches[at]);
            let round = self.tokens.round.contains(&at);
            self.memories.history.find(self.base + at, limit, end, true, |again| {
                if round && again.repeats {
                    return;
                }
                consider(again.size(), again.count, again.depth, again.from, TokenCode::Again(again));
                matches.push((limited(again.count), limited(again.size())));
            });
            settle(matches);
        }
        best.map_or(TokenCode::Token, |(_, code)| code)
    }

    /// Notes the matches at a token where no piece of code begins.
    fn state(&mut self, at: usize) {
        if !self.tokens.goes_on[at] {
            return;
        }
        let matches = &mut self.view.matches[at];
        if byte(self.tokens.numbers[at]).is_some() {
            let data = data(self.tokens, at);
            if let Some((longest, _)) = self.memories.places.longest(self.reel, data) {
                self.view.copies[at] = limited(longest);
            }
        }
        let (limit, end) = (self.base + self.tokens.limits[at], self.reel.len());
        let round = self.tokens.round.contains(&at);
        self.memories.history.find(self.base + at, limit, end, false, |again| {
            if round && again.repeats {
                return;
            }
            matches.push((limited(again.count), limited(again.size())));
        });
        settle(matches);
    }
}

/// Removes equal matches.
fn settle(matches: &mut Vec<Match>) {
    matches.sort_unstable();
    matches.dedup_by_key(|(count, _)| *count);
    matches.shrink_to_fit();
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The smallest number of bytes from `at` on, found by trying all combinations.
    fn least(numbers: &[u32], at: usize, matches: &[Vec<Match>]) -> usize {
        if at == numbers.len() {
            return 0;
        }
        let rest = |(count, size): (usize, usize)| size + least(numbers, at + count, matches);
        let run = numbers[at..].iter().take_while(|number| **number == numbers[at]).count();
        let literals = (1..=numbers.len() - at).map(|length| (length, 1 + length));
        let fills = (1..=run).map(|length| (length, if numbers[at] == 0 { 1 } else { 2 }));
        let again = matches[at].iter().map(|(count, size)| (*count as usize, usize::from(*size)));
        literals.chain(fills).chain(again).map(rest).min().unwrap_or(usize::MAX)
    }

    proptest! {
        #[test]
        fn the_outlook_is_the_least_that_the_ways_in_view_allow(
            data in prop::collection::vec(0u8..3, 1..10), matches in prop::collection::vec((0usize..10, 1u32..6, 1u8..6), 0..8),
        ) {
            let names = Interner::default();
            let tokens = Interner::default().tokens(&[Instruction::Data(data.clone())]);
            let mut view = TokenView::of_nothing(&tokens);
            for (at, count, size) in matches {
                if at + count as usize <= data.len() {
                    view.matches[at].push((count, size));
                }
            }
            prop_assert_eq!(cost_to_go_of(&tokens, &names, &view)[0], least(&tokens.numbers, 0, &view.matches));
        }
    }
}
