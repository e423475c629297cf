//! A scene as tokens: each byte of display data is a token, and each other instruction is one.

use super::encode::{encode_instruction, goes_on};
use super::instruction::Instruction;
use crate::whole::limited;
use std::collections::HashMap;
use std::ops::Range;

/// Numbers below this are bytes of data. From here on they are instructions.
const BYTES: u32 = 256;

/// Gives equal numbers to equal tokens, and holds the code of whole instructions.
#[derive(Default)]
pub struct Interner {
    numbers: HashMap<Instruction, u32>,
    codes: Vec<Vec<u8>>,
}

/// One scene's tokens.
#[derive(Default)]
pub struct Tokens {
    pub numbers: Vec<u32>,
    /// The tokens that are data, 0 for others.
    pub bytes: Vec<u8>,
    /// For each token, where the data that contain it end.
    pub data_ends: Vec<usize>,
    /// For each instruction, its first token.
    pub firsts: Vec<usize>,
    /// For each token, how far a piece of code that begins there can reach. It must not contain the target of a jump, and it ends
    /// at a token after which the player does not continue. It has at least the token itself.
    pub limits: Vec<usize>,
    /// Whether the player continues after a token.
    pub goes_on: Vec<bool>,
    /// The tokens of a loop; empty if there is none.
    pub round: Range<usize>,
}

/// The data byte of a token, if it is one.
pub fn byte(number: u32) -> Option<u8> {
    u8::try_from(number).ok()
}

impl Interner {
    /// The tokens of a scene's instructions.
    pub fn tokens(&mut self, instructions: &[Instruction]) -> Tokens {
        let mut tokens = Tokens::default();
        let mut entered = None;
        for instruction in instructions {
            tokens.firsts.push(tokens.numbers.len());
            match instruction {
                Instruction::Data(data) => tokens.numbers.extend(data.iter().map(|byte| u32::from(*byte))),
                other => tokens.numbers.push(self.number(other)),
            }
            tokens.goes_on.resize(tokens.numbers.len(), goes_on(instruction));
            match instruction {
                Instruction::Jump(to) => entered = tokens.firsts.get(*to).copied(),
                Instruction::OpenRound => tokens.round.start = tokens.numbers.len(),
                Instruction::EndRound => tokens.round.end = tokens.numbers.len(),
                _ => {}
            }
        }
        let end = tokens.numbers.len();
        tokens.bytes = tokens.numbers.iter().map(|number| byte(*number).unwrap_or(0)).collect();
        (tokens.limits, tokens.data_ends) = (vec![end; end], vec![end; end]);
        for at in (0..end).rev() {
            let next = at + 1;
            let alone = next == end || Some(next) == entered || !tokens.goes_on[at] || !tokens.goes_on[next];
            let data_goes_on = next < end && byte(tokens.numbers[next]).is_some();
            tokens.data_ends[at] = if data_goes_on { tokens.data_ends[next] } else { next };
            tokens.limits[at] = if alone { next } else { tokens.limits[next] };
        }
        tokens
    }

    fn number(&mut self, instruction: &Instruction) -> u32 {
        let next = BYTES + limited::<u32, _>(self.codes.len());
        let number = *self.numbers.entry(instruction.clone()).or_insert(next);
        if number == next {
            let mut code = Vec::new();
            encode_instruction(instruction, &mut code, &[]);
            self.codes.push(code);
        }
        number
    }

    /// The code of a token that is a whole instruction. The target of a jump is not filled in.
    pub fn code(&self, number: u32) -> &[u8] {
        number.checked_sub(BYTES).and_then(|at| self.codes.get(at as usize)).map_or(&[], Vec::as_slice)
    }
}
