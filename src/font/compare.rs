//! How alike two glyphs are: the pixels in which they differ.

use super::glyph::Glyph;
use super::symbol::Symbol;
use crate::diag::{FileId, Finding, Findings, Place};
use std::collections::BTreeMap;

/// The pixels in which two glyphs differ, both standing at the same pen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Likeness {
    /// Pixels right of the pen and below the cell's top, column by column.
    pub deciding: Vec<(i32, u32)>,
}

impl Likeness {
    /// The Hamming distance: how many pixels differ.
    pub fn distance(&self) -> usize {
        self.deciding.len()
    }
}

/// Compares two glyphs pixel by pixel, pen on pen.
pub fn likeness(one: &Glyph, other: &Glyph) -> Likeness {
    let from = one.left().min(other.left());
    let to = one.right().max(other.right());
    let deciding = (from..to)
        .flat_map(|x| {
            let differing = one.column(x) ^ other.column(x);
            (0..u64::BITS).filter(move |row| differing >> row & 1 == 1).map(move |row| (x, row))
        })
        .collect();
    Likeness { deciding }
}

/// The most glyphs that are compared pair by pair while loading; beyond it only identical ones are found.
const MOST_COMPARED: usize = 256;

/// Reports glyphs that are one another's duplicates, and letters or digits that differ in one pixel only.
pub fn check(cells: &[(&Symbol, (u32, u32), &Glyph)], file: FileId, findings: &mut Findings) {
    let mut seen: BTreeMap<(&[u64], i32), &Symbol> = BTreeMap::new();
    for (symbol, cell, glyph) in cells.iter().filter(|(_, _, glyph)| !glyph.is_blank()) {
        if let Some(first) = seen.get(&(glyph.columns(), glyph.left())) {
            let place = Place::Picture { file, cell: Some(*cell), pixel: None };
            let message = format!("{symbol} is identical to {first}");
            let hint = "change one of them, or remove one cell and add an entry to `aliases`";
            findings.push(Finding::warning(place, message).hint(hint));
        } else {
            seen.insert((glyph.columns(), glyph.left()), symbol);
        }
    }
    let compared: Vec<_> = cells.iter().filter(|(symbol, ..)| is_read_alone(symbol)).take(MOST_COMPARED).collect();
    for (index, (symbol, cell, glyph)) in compared.iter().enumerate() {
        for (first, _, other) in &compared[..index] {
            if let [(x, row)] = likeness(other, glyph).deciding[..] {
                let place = Place::Picture { file, cell: Some(*cell), pixel: None };
                let message =
                    format!("{symbol} differs from {first} in one pixel only: {x} right of the pen, row {row}");
                findings.push(Finding::note(place, message).hint("two or more differing pixels are safer to read"));
            }
        }
    }
}

/// Letters and digits: what is read one by one, without a neighbour that helps to guess.
fn is_read_alone(symbol: &Symbol) -> bool {
    symbol.char().is_some_and(char::is_alphanumeric)
}
