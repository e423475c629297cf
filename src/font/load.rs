//! Loads a font: reads its description and its sheet, cuts the cells and checks everything that a person can get wrong.

use super::compare;
use super::cut::{CellInk, Cut, cut};
use super::describe::{Advance, Description};
use super::face::{Font, Metrics};
use super::glyph::Glyph;
use super::shipped::shipped;
use super::symbol::{Symbol, symbols};
use crate::diag::{FileId, Finding, Findings, Place, Span};
use crate::source::{FromNode, Placed, Reader, SourcePicture, beside, parse};
use crate::whole::limited;
use std::collections::BTreeMap;
use std::path::Path;

/// The largest advance, space, tracking or kerning in pixels, far beyond any cell of 64.
const LONGEST_MOVE: u32 = 128;

/// How deep fonts may borrow from fonts that borrow.
const DEEPEST_BORROWING: u32 = 2;

impl Font {
    /// Reads `ron_path` and the sheet that it names. A file that cannot be read is reported at `asker`; every other fault
    /// at its own place. A font is returned whenever one can be made, even with faults found.
    pub fn load(reader: &mut Reader<'_>, ron_path: &Path, asker: Place, findings: &mut Findings) -> Option<Self> {
        Self::load_at_depth(reader, ron_path, asker, 0, findings)
    }

    fn load_at_depth(
        reader: &mut Reader<'_>,
        ron_path: &Path,
        asker: Place,
        depth: u32,
        findings: &mut Findings,
    ) -> Option<Self> {
        let (description, file, picture) = Description::load(reader, ron_path, asker, findings)?;
        let mut lenders = Vec::new();
        for lender in &description.borrow {
            if depth >= DEEPEST_BORROWING {
                let message =
                    format!("fonts borrow from each other more than {DEEPEST_BORROWING} levels deep, or in a cycle");
                let hint = "borrow directly from the font that has the glyphs";
                findings.push(Finding::error(lender.span, message).hint(hint));
                continue;
            }
            if let Some(shipped) = shipped(&lender.value) {
                lenders.push(Self::shipped(shipped.name));
                continue;
            }
            let path = beside(ron_path, &lender.value);
            lenders.extend(Self::load_at_depth(reader, &path, lender.span.into(), depth + 1, findings));
        }
        Self::assemble(&description, file, &picture, &lenders, findings)
    }

    /// Makes the font from a description, its picture and the fonts it borrows from.
    pub fn assemble(
        description: &Description,
        file: FileId,
        picture: &SourcePicture,
        lenders: &[Font],
        findings: &mut Findings,
    ) -> Option<Self> {
        let metrics = checked_metrics(description, findings);
        let cut = cut(description, file, picture, findings)?;
        let glyphs = cut_glyphs(description, &cut, file, findings);
        check_unnamed(description, &cut, file, findings);
        let cells: Vec<_> = glyphs.iter().map(|(symbol, cell, glyph)| (symbol, *cell, glyph)).collect();
        compare::check(&cells, file, findings);
        let glyphs = glyphs.into_iter().map(|(symbol, _, glyph)| (symbol, glyph)).collect();
        let mut font = Font::new(description.name.clone(), metrics?, description.fallback, glyphs);
        for lender in lenders {
            font.borrow(lender);
        }
        font.take_aliases(description, findings);
        font.take_kerning(description, findings);
        Some(font)
    }

    /// Aliases may point to aliases, in any order of writing; each is kept with the symbol whose glyph it takes in the end.
    fn take_aliases(&mut self, description: &Description, findings: &mut Findings) {
        let mut open = Vec::new();
        for (from, to) in &description.aliases {
            let pair = Option::zip(single(from, findings), single(to, findings));
            let Some((from_symbol, to_symbol)) = pair else { continue };
            if self.glyphs.iter().any(|(symbol, _)| *symbol == from_symbol) {
                let message = format!("{from_symbol} has a cell of its own, so its alias is never used");
                findings.push(Finding::warning(from.span, message).hint("remove the alias or the cell"));
            } else {
                open.push((from_symbol, to_symbol, to.span));
            }
        }
        loop {
            let before = open.len();
            open.retain(|(from, to, _)| {
                let meant = self.id(to).and_then(|id| self.symbol(id)).cloned();
                match meant {
                    Some(meant) => {
                        self.aliases.insert(from.clone(), meant);
                        false
                    }
                    None => true,
                }
            });
            if open.len() == before {
                break;
            }
        }
        for (_, to, span) in open {
            findings.push(Finding::error(span, format!("the alias refers to {to}, but the font has no such glyph")));
        }
    }

    fn take_kerning(&mut self, description: &Description, findings: &mut Findings) {
        for (pair, value) in &description.kerning {
            let [first, second] = &symbols(&pair.value)[..] else {
                let message = format!("`{}` is not a pair of characters", pair.value);
                findings.push(Finding::error(pair.span, message).hint("write a pair as \"AV\" or \"{anchor}A\""));
                continue;
            };
            for lacking in [first, second].into_iter().filter(|symbol| self.id(symbol).is_none()) {
                findings.push(Finding::error(
                    pair.span,
                    format!("the font has no {lacking}, so the pair cannot be kerned"),
                ));
            }
            if value.unsigned_abs() > LONGEST_MOVE {
                let message =
                    format!("a kerning of {value} pixels is out of range (−{LONGEST_MOVE} to {LONGEST_MOVE})");
                findings.push(Finding::error(pair.span, message));
            } else if let (Some(first), Some(second)) = (self.id(first), self.id(second))
                && self.kerning.insert((first, second), *value).is_some()
            {
                findings.push(Finding::error(pair.span, format!("the pair `{}` is kerned twice", pair.value)));
            }
        }
    }
}

impl Description {
    /// Reads a font's RON file and the picture that it names, and no more.
    pub fn load(
        reader: &mut Reader<'_>,
        ron_path: &Path,
        asker: Place,
        findings: &mut Findings,
    ) -> Option<(Self, FileId, SourcePicture)> {
        let (file, text) = reader.text(ron_path, asker, findings)?;
        let node = parse(&text, file, findings)?;
        let description = Description::from_node(&node, findings)?;
        let sheet = beside(ron_path, &description.sheet.value);
        let (file, picture) = reader.picture(&sheet, description.sheet.span.into(), findings)?;
        Some((description, file, picture))
    }
}

fn single(text: &Placed<String>, findings: &mut Findings) -> Option<Symbol> {
    let symbol = Symbol::from_entry(&text.value);
    if symbol.is_none() {
        let message = format!("`{}` is neither one character nor a name", text.value);
        findings.push(Finding::error(text.span, message));
    }
    symbol
}

fn checked_metrics(description: &Description, findings: &mut Findings) -> Option<Metrics> {
    let height = description.grid.cell.1;
    let mut faults = Vec::new();
    if description.baseline > height {
        faults.push(format!("`baseline` is {}, below the cell, which has {height} rows", description.baseline));
    }
    if description.cap_height > description.baseline {
        let (cap, baseline) = (description.cap_height, description.baseline);
        faults.push(format!("`cap_height` is {cap}, but only {baseline} rows lie above the baseline"));
    }
    if description.ink.threshold == 0 {
        faults.push("`threshold` must be from 1 to 255, not 0, which would read every pixel as ink".into());
    }
    let moves = [("space", description.space), ("tracking", description.tracking.unsigned_abs())];
    let own = description.advances.iter().map(|(_, advance)| ("advances", *advance));
    let mono = if let Advance::Mono(advance) = description.advance { Some(advance) } else { None };
    for (field, value) in moves.into_iter().chain(own).chain(mono.map(|advance| ("advance", advance))) {
        if value > LONGEST_MOVE {
            faults.push(format!("`{field}` must be at most {LONGEST_MOVE} pixels, not {value}"));
        }
    }
    if mono == Some(0) {
        faults.push("`advance: Mono(0)` would draw all glyphs in the same place".into());
    }
    let gap = match description.advance {
        Advance::Mono(advance) => limited(i64::from(advance).saturating_sub(i64::from(description.grid.cell.0)).max(0)),
        Advance::Drawn | Advance::Marked(_) => description.tracking,
    };
    let sound = faults.is_empty();
    for fault in faults {
        findings.push(Finding::error(description.span, fault));
    }
    sound.then_some(Metrics {
        cell: description.grid.cell,
        baseline: description.baseline,
        cap_height: description.cap_height,
        gap,
        space: description.space,
        mono: mono.filter(|_| description.advances.is_empty()),
    })
}

type FontCells = Vec<(Symbol, (u32, u32), Glyph)>;

/// The glyphs of all named cells that hold ink; reports doubled symbols, cells beyond the sheet and cells not drawn yet.
fn cut_glyphs(description: &Description, cut: &Cut, file: FileId, findings: &mut Findings) -> FontCells {
    let mut seen: BTreeMap<&Symbol, Span> = BTreeMap::new();
    let mut glyphs = Vec::new();
    let mut undrawn = Vec::new();
    check_rows(description, cut, findings);
    let own = own_advances(description);
    for (row, cells) in description.cells.iter().enumerate() {
        for (column, (symbol, span)) in cells.cells.iter().enumerate() {
            let Some(symbol) = symbol else { continue };
            let place = (limited(column), limited(row));
            if let Some(first) = seen.get(symbol) {
                let message = format!("{symbol} has two cells; the second is column {column} of row {row}");
                let hint = "write a space in the row for an unused cell";
                findings.push(Finding::error(*span, message).also(*first, "first named here").hint(hint));
                continue;
            }
            seen.insert(symbol, *span);
            let Some(ink) = cut.cell(place.0, place.1) else { continue };
            if ink.columns.iter().all(|column| *column == 0) && ink.marked.is_none() {
                undrawn.push((symbol, place));
            } else {
                glyphs.push((symbol.clone(), place, glyph(description, ink, own.get(symbol).copied())));
            }
        }
    }
    report_undrawn(&undrawn, file, findings);
    glyphs
}

/// The characters that have an advance of their own.
fn own_advances(description: &Description) -> BTreeMap<Symbol, u32> {
    let each = |(text, advance): &(Placed<String>, u32)| {
        symbols(&text.value).into_iter().map(|symbol| (symbol, *advance)).collect::<Vec<_>>()
    };
    description.advances.iter().flat_map(each).collect()
}

fn glyph(description: &Description, ink: &CellInk, own: Option<u32>) -> Glyph {
    let pen: i32 = limited(description.pen);
    let standing = |advance: i32| {
        let drawn = Glyph::new(&ink.columns, advance);
        let left = if drawn.is_blank() { 0 } else { drawn.left() - pen };
        drawn.at_left(left)
    };
    let shared = if let Advance::Mono(advance) = description.advance { Some(advance) } else { None };
    match (own.or(shared), ink.marked) {
        (Some(advance), _) => standing(limited(advance)),
        (None, Some(column)) => standing((limited::<i32, u32>(column) + 1 - pen).saturating_add(description.tracking)),
        (None, None) => {
            let drawn = Glyph::new(&ink.columns, 0);
            let width: i32 = limited(drawn.columns().len());
            // A tracking beyond all reason is reported with the measures, and no font comes of it.
            Glyph::new(drawn.columns(), width.saturating_add(description.tracking))
        }
    }
}

fn check_rows(description: &Description, cut: &Cut, findings: &mut Findings) {
    let (columns, rows) = cut.count;
    if description.cells.len() > rows as usize {
        let span = description.cells[rows as usize].span;
        let message = format!("the sheet has {rows} rows of cells, but `cells` lists {}", description.cells.len());
        findings.push(Finding::error(span, message).hint("remove the rows, or extend the sheet"));
    }
    for row in description.cells.iter().take(rows as usize).filter(|row| row.cells.len() > columns as usize) {
        let message = format!("this row lists {} cells, but the sheet has {columns} per row", row.cells.len());
        findings.push(Finding::error(row.span, message));
    }
}

fn report_undrawn(undrawn: &[(&Symbol, (u32, u32))], file: FileId, findings: &mut Findings) {
    const ONE_BY_ONE: usize = 8;
    let place = |cell| Place::Picture { file, cell: Some(cell), pixel: None };
    let hint = "draw it, or remove it from `cells`";
    if undrawn.len() <= ONE_BY_ONE {
        for (symbol, cell) in undrawn {
            let message = format!("the cell of {symbol} is empty: not drawn yet");
            findings.push(Finding::warning(place(*cell), message).hint(hint));
        }
    } else {
        let names: Vec<String> = undrawn.iter().map(|(symbol, _)| symbol.to_string()).collect();
        let message = format!("{} cells are empty, not drawn yet: {}", undrawn.len(), names.join(" "));
        findings.push(Finding::warning(place(undrawn[0].1), message).hint(hint));
    }
}

fn check_unnamed(description: &Description, cut: &Cut, file: FileId, findings: &mut Findings) {
    let named = |column: u32, row: u32| {
        let cell = description.cells.get(row as usize).and_then(|row| row.cells.get(column as usize));
        cell.is_some_and(|(symbol, _)| symbol.is_some())
    };
    for row in 0..cut.count.1 {
        for column in (0..cut.count.0).filter(|column| !named(*column, row)) {
            if cut.cell(column, row).is_some_and(|ink| ink.columns.iter().any(|bits| *bits != 0)) {
                let place = Place::Picture { file, cell: Some((column, row)), pixel: None };
                let message = "ink in a cell that `cells` does not list";
                findings.push(Finding::warning(place, message).hint("add the cell to `cells`, or clear it"));
            }
        }
    }
}
