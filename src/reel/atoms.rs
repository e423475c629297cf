//! What a scene does, atom by atom: each byte of display data by itself, every other instruction whole.

use super::encode::{encode_instruction, goes_on};
use super::instruction::Instruction;
use std::collections::HashMap;
use std::ops::Range;

/// Numbers below this one are bytes of data; from here on they are instructions.
const BYTES: u32 = 256;

/// Equal numbers for equal atoms, with the code of those that are whole instructions.
#[derive(Default)]
pub struct Names {
    numbers: HashMap<Instruction, u32>,
    codes: Vec<Vec<u8>>,
}

/// One scene's atoms.
#[derive(Default)]
pub struct Atoms {
    pub numbers: Vec<u32>,
    /// The atoms that are data, 0 for others.
    pub bytes: Vec<u8>,
    /// For each atom where the data end that it stands in.
    pub data_ends: Vec<usize>,
    /// For each instruction its first atom.
    pub firsts: Vec<usize>,
    /// For each atom how far a piece of code that begins there may reach: not over the atom that a jump leads to, and not
    /// over one behind which the reel does not go on; at least over the atom itself.
    pub limits: Vec<usize>,
    /// Whether the reel goes on behind an atom.
    pub goes_on: Vec<bool>,
    /// The atoms of a round; none where there is none.
    pub round: Range<usize>,
}

/// The byte that an atom is, if it is one.
pub fn byte(number: u32) -> Option<u8> {
    (number < BYTES).then_some(number as u8)
}

impl Names {
    /// The atoms of a scene's instructions.
    pub fn atoms(&mut self, instructions: &[Instruction]) -> Atoms {
        let mut atoms = Atoms::default();
        let mut entered = None;
        for instruction in instructions {
            atoms.firsts.push(atoms.numbers.len());
            match instruction {
                Instruction::Data(data) => atoms.numbers.extend(data.iter().map(|byte| u32::from(*byte))),
                other => atoms.numbers.push(self.number(other)),
            }
            atoms.goes_on.resize(atoms.numbers.len(), goes_on(instruction));
            match instruction {
                Instruction::Jump(to) => entered = atoms.firsts.get(*to).copied(),
                Instruction::OpenRound => atoms.round.start = atoms.numbers.len(),
                Instruction::EndRound => atoms.round.end = atoms.numbers.len(),
                _ => {}
            }
        }
        let end = atoms.numbers.len();
        atoms.bytes = atoms.numbers.iter().map(|number| byte(*number).unwrap_or(0)).collect();
        (atoms.limits, atoms.data_ends) = (vec![end; end], vec![end; end]);
        for at in (0..end).rev() {
            let next = at + 1;
            let alone = next == end || Some(next) == entered || !atoms.goes_on[at] || !atoms.goes_on[next];
            let data_goes_on = next < end && byte(atoms.numbers[next]).is_some();
            atoms.data_ends[at] = if data_goes_on { atoms.data_ends[next] } else { next };
            atoms.limits[at] = if alone { next } else { atoms.limits[next] };
        }
        atoms
    }

    fn number(&mut self, instruction: &Instruction) -> u32 {
        let next = BYTES + self.codes.len() as u32;
        let number = *self.numbers.entry(instruction.clone()).or_insert(next);
        if number == next {
            let mut code = Vec::new();
            encode_instruction(instruction, &mut code, &[]);
            self.codes.push(code);
        }
        number
    }

    /// The code of an atom that is a whole instruction; that of a jump leads anywhere.
    pub fn code(&self, number: u32) -> &[u8] {
        number.checked_sub(BYTES).and_then(|at| self.codes.get(at as usize)).map_or(&[], Vec::as_slice)
    }
}
