//! Tests of encoded scenes: they do the same as their instructions, and plain data cannot be encoded shorter.

use super::encode::encode_instruction;
use super::instruction::{CellPlace, Instruction};
use super::scene_code::{CostToGo, Memories, encode_scene};
use proptest::prelude::*;

/// Levels of replays that the player keeps (DEVELOPERS.md, reel version 2, instructions 07 and 08).
const LEVELS: usize = 4;

/// What code does from `at` up to its end or a jump: data byte by byte, other instructions by their code. It follows the table in
/// FORMAT.md and knows nothing else of the encoder.
fn done(reel: &[u8], mut at: usize, end: usize) -> Vec<Vec<u8>> {
    let (mut all, mut returns, mut laps) = (Vec::new(), Vec::new(), 0);
    loop {
        while let Some((_, back)) = returns.pop_if(|(stop, _)| *stop == at) {
            at = back;
        }
        if at >= end {
            return all;
        }
        let word = |at: usize| usize::from(reel[at]) | usize::from(reel[at + 1]) << 8;
        let count = usize::from(reel[at] & 31) + 1;
        let (length, data): (usize, Vec<u8>) = match reel[at] {
            0x20..=0x3F => (1 + count, reel[at + 1..=at + count].to_vec()),
            0x40..=0x5F => (2, vec![reel[at + 1]; count]),
            0x60..=0x7F => (1, vec![0; count]),
            0x0A => (4, reel[word(at + 2)..][..usize::from(reel[at + 1])].to_vec()),
            0x07 | 0x08 => {
                let long = usize::from(reel[at] == 0x08);
                let plays = if long == 1 { word(at + 1) } else { usize::from(reel[at + 1]) };
                let from = word(at + 2 + long);
                returns.push((from + plays, at + 4 + long));
                assert!(returns.len() <= LEVELS);
                at = from;
                continue;
            }
            0x0E => {
                laps = if laps < reel[at + 1] { laps + 1 } else { 0 };
                at = if laps > 0 { word(at + 2) } else { at + 4 };
                continue;
            }
            0x03 => {
                all.push(vec![0x03]);
                return all;
            }
            other => {
                let length = match other {
                    0x00 => 1,
                    0x06 => 2 + usize::from(reel[at + 1]),
                    _ => 2,
                };
                all.push(reel[at..at + length].to_vec());
                (length, Vec::new())
            }
        };
        all.extend(data.into_iter().map(|byte| vec![byte]));
        at += length;
    }
}

/// The same for instructions.
fn meant(instructions: &[Instruction]) -> Vec<Vec<u8>> {
    let one = |instruction: &Instruction| match instruction {
        Instruction::Data(data) => data.iter().map(|byte| vec![*byte]).collect(),
        Instruction::Jump(_) => vec![vec![0x03]],
        other => {
            let mut code = Vec::new();
            encode_instruction(other, &mut code, &[]);
            vec![code]
        }
    };
    instructions.iter().flat_map(one).collect()
}

fn instruction() -> impl Strategy<Value = Instruction> {
    prop_oneof![
        (0u8..2, 0u8..3).prop_map(|(page, column)| Instruction::Seek(CellPlace { page, column })),
        prop::collection::vec(0u8..3, 1..40).prop_map(Instruction::Data),
        Just(Instruction::Data(vec![1, 1, 2, 0, 1, 2, 2])),
        Just(Instruction::Commands(vec![0x40, 0xA6, 0x81, 9])),
        (0u32..3).prop_map(|more| Instruction::Frame { more: more / 2 }),
        Just(Instruction::Cue(3)),
    ]
}

/// Instructions with repeated parts.
fn scene() -> impl Strategy<Value = Vec<Instruction>> {
    let stretches = prop::collection::vec(prop::collection::vec(instruction(), 1..6), 1..5);
    (stretches, prop::collection::vec(0usize..5, 1..40), 0usize..9).prop_map(|(stretches, order, entered)| {
        let parts = order.iter().map(|at| &stretches[at % stretches.len()]);
        let mut all: Vec<Instruction> = parts.flatten().cloned().collect();
        all.push(if entered < all.len() { Instruction::Jump(entered) } else { Instruction::Scene(0) });
        all
    })
}

/// The fewest bytes for short data, trying every parse into literals and fills.
fn fewest(data: &[u8]) -> usize {
    let Some(first) = data.first() else { return 0 };
    let run = data.iter().take_while(|byte| *byte == first).count();
    let literals = (1..=data.len()).map(|length| 1 + length + fewest(&data[length..]));
    let fills = (1..=run).map(|length| if *first == 0 { 1 } else { 2 } + fewest(&data[length..]));
    literals.chain(fills).min().unwrap_or(0)
}

proptest! {
    #[test]
    fn code_does_what_the_instructions_do(scenes in prop::collection::vec(scene(), 1..3)) {
        let mut outlooks: Vec<CostToGo> = Vec::new();
        for attempt in 0..3 {
            let (mut reel, mut memories) = (vec![1; 11], Memories::behind(11));
            let mut next = Vec::new();
            for (at, instructions) in (0u8..).zip(&scenes) {
                let plain: usize = meant(instructions).iter().map(|token| token.len() + 1).sum();
                let start = reel.len();
                let code = encode_scene(instructions, &mut reel, &mut memories, outlooks.get(usize::from(at)));
                prop_assert!(attempt > 0 || reel.len() - start <= plain + 2, "longer than token by token");
                reel[..11].fill(at + 7); // the tables before the scenes are filled in behind them
                prop_assert_eq!(done(&reel, start, reel.len()), meant(instructions));
                if let Some(Instruction::Jump(to)) = instructions.last() {
                    let end = reel.len();
                    let entered = usize::from(reel[end - 2]) | usize::from(reel[end - 1]) << 8;
                    prop_assert_eq!(done(&reel, entered, end), meant(&instructions[*to..]));
                    prop_assert_eq!(entered, code.starts[*to]);
                }
                next.push(code.cost_to_go);
            }
            outlooks = next;
        }
    }

    #[test]
    fn no_parse_of_new_data_is_shorter(data in prop::collection::vec(0u8..3, 1..11)) {
        let (mut reel, mut memories) = (Vec::new(), Memories::behind(0));
        encode_scene(&[Instruction::Data(data.clone())], &mut reel, &mut memories, None);
        prop_assert!(reel.len() <= fewest(&data));
    }
}
