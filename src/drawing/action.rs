//! What a person does on the drawing board, and the parts of the files that it changes.

use super::brush::{Brush, is_ink};
use super::editable::Colour16;
use super::extend::with_cells;
use super::part::Part;
use super::ron::RonPlace;
use super::sheet::{DrawingSheet, FontSheet};
use crate::font::{Advance, Spot, Symbol, symbols};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

/// A change of a sheet. Pixels are columns and rows of the whole sheet, and must lie in cells.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub enum Action {
    /// Sets some pixels and clears others.
    Draw { set: Vec<(u32, u32)>, clear: Vec<(u32, u32)> },
    /// Moves the mark that ends a glyph's advance to a column of its cell, in fonts whose advances are marked.
    Mark { cell: (u32, u32), column: u32 },
    /// Sets a number that holds for the whole font.
    Field { field: BoardField, value: i32 },
    /// Gives a character an advance of its own, or takes it away.
    Advance { symbol: String, value: Option<u32> },
    /// Moves the second of two characters when it follows the first; 0 takes the entry away.
    Kern { first: String, second: String, value: i32 },
    /// Adds cells.
    Extend { symbols: Vec<String> },
}

/// Numbers of a font's description.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum BoardField {
    Baseline,
    CapHeight,
    Tracking,
    Space,
    /// The advance that all glyphs share.
    Advance,
}

/// The colours that pixels had as paper before they were set.
pub type Papers = BTreeMap<(u32, u32), Colour16>;

/// The most pixels of one change: those of the largest cell, many times.
const MOST_PIXELS: usize = 1 << 18;

impl Action {
    /// The parts that the action changes; `Err` says in words why it cannot be done.
    pub fn parts(&self, sheet: &DrawingSheet, papers: &Papers) -> Result<Vec<Part>, String> {
        match self {
            Action::Draw { set, clear } => draw(sheet, papers, set, clear),
            Action::Mark { cell, column } => mark(sheet, *cell, *column),
            Action::Field { field, value } => font_of(sheet).and_then(|font| field_parts(sheet, font, *field, *value)),
            Action::Advance { symbol, value } => {
                font_of(sheet).and_then(|font| advance(sheet, font, &entry(symbol)?, *value))
            }
            Action::Kern { first, second, value } => {
                let pair = entry(first)?.written() + &entry(second)?.written();
                let value = (*value != 0).then(|| value.to_string());
                one(sheet, RonPlace::entry("kerning", pair), value)
            }
            Action::Extend { symbols } => {
                let symbols: Vec<Symbol> = symbols.iter().map(|symbol| entry(symbol)).collect::<Result<_, _>>()?;
                let after = with_cells(sheet, &symbols)?.ok_or("every character already has a cell")?;
                Ok(vec![Part::Whole { before: sheet.files.clone(), after }])
            }
        }
    }
}

fn font_of(sheet: &DrawingSheet) -> Result<&FontSheet, String> {
    sheet.font.as_ref().ok_or_else(|| "a picture has no such field".into())
}

fn entry(symbol: &str) -> Result<Symbol, String> {
    Symbol::from_entry(symbol).ok_or_else(|| format!("`{symbol}` is neither one character nor a name"))
}

fn draw(sheet: &DrawingSheet, papers: &Papers, set: &[(u32, u32)], clear: &[(u32, u32)]) -> Result<Vec<Part>, String> {
    if set.len() + clear.len() > MOST_PIXELS {
        return Err("one request cannot change this many pixels".into());
    }
    let count = sheet.count();
    let brush = Brush::of(&sheet.png, sheet.grid, &sheet.rule);
    let mut parts = Vec::new();
    let mut seen = BTreeSet::new();
    for (at, wanted) in set.iter().map(|at| (*at, true)).chain(clear.iter().map(|at| (*at, false))) {
        let before = sheet.png.colour(at.0, at.1).filter(|_| sheet.grid.spot(at, count) != Spot::Outside);
        let before = before.ok_or_else(|| format!("the pixel {at:?} is not inside a cell"))?;
        if is_ink(&sheet.rule, before) != wanted && seen.insert(at) {
            let after = if wanted { brush.ink } else { papers.get(&at).copied().unwrap_or(brush.paper) };
            parts.push(Part::Pixel { at, before, after });
        }
    }
    Ok(parts)
}

/// The mark stands in the row of pixels below the cell, or in the cell's last row where there is none.
fn mark(sheet: &DrawingSheet, (column, row): (u32, u32), to: u32) -> Result<Vec<Part>, String> {
    let font = font_of(sheet)?;
    let Advance::Marked(colour) = font.description.advance else {
        return Err("this font does not mark its advances".into());
    };
    let (count, (width, height)) = (sheet.count(), sheet.grid.cell);
    if column >= count.0 || row >= count.1 || to >= width {
        return Err("there is no such column in this cell".into());
    }
    let (left, top) = sheet.grid.corner(column, row);
    let colour16 = |[red, green, blue]: [u8; 3]| [red, green, blue, u8::MAX].map(|value| u16::from(value) * 257);
    let marked = |at: &(u32, u32)| sheet.png.colour(at.0, at.1) == Some(colour16(colour));
    let last = (top + height).min(sheet.png.height() - 1);
    let brush = Brush::of(&sheet.png, sheet.grid, &sheet.rule);
    let below = if last >= top + height { sheet.rule.guide.map_or(brush.paper, colour16) } else { brush.paper };
    let mut parts = Vec::new();
    let cell = (top..=last).flat_map(|y| (left..left + width).map(move |x| (x, y)));
    for at in cell.filter(|at| marked(at) && *at != (left + to, last)) {
        let after = if at.1 >= top + height { below } else { brush.paper };
        parts.push(Part::Pixel { at, before: colour16(colour), after });
    }
    let at = (left + to, last);
    let before = sheet.png.colour(at.0, at.1).ok_or("there is no such pixel")?;
    parts.push(Part::Pixel { at, before, after: colour16(colour) });
    Ok(parts)
}

fn field_parts(sheet: &DrawingSheet, font: &FontSheet, field: BoardField, value: i32) -> Result<Vec<Part>, String> {
    let (name, written) = match field {
        BoardField::Baseline => ("baseline", value.to_string()),
        BoardField::CapHeight => ("cap_height", value.to_string()),
        BoardField::Tracking => ("tracking", value.to_string()),
        BoardField::Space => ("space", value.to_string()),
        BoardField::Advance => {
            let Advance::Mono(_) = font.description.advance else {
                return Err("the glyphs have no common advance".into());
            };
            ("advance", format!("Mono({value})"))
        }
    };
    if value < 0 && field != BoardField::Tracking {
        return Err(format!("`{name}` must not be negative"));
    }
    one(sheet, RonPlace::field(name), Some(written))
}

/// An entry for a character alone comes after those for several, so that it counts.
fn advance(sheet: &DrawingSheet, font: &FontSheet, symbol: &Symbol, value: Option<u32>) -> Result<Vec<Part>, String> {
    let own = symbol.written();
    let shared =
        font.description.advances.iter().find(|(key, _)| key.value != own && symbols(&key.value).contains(symbol));
    match (value, shared) {
        (None, Some((key, advance))) => {
            let left: String = symbols(&key.value).iter().filter(|one| *one != symbol).map(Symbol::written).collect();
            let advances = || RonPlace::entry("advances", key.value.clone());
            let mut parts = one(sheet, RonPlace::entry("advances", own), None)?;
            parts.extend(one(sheet, advances(), None)?);
            if !left.is_empty() {
                parts.extend(one(sheet, RonPlace::entry("advances", left), Some(advance.to_string()))?);
            }
            Ok(parts)
        }
        _ => one(sheet, RonPlace::entry("advances", own), value.map(|value| value.to_string())),
    }
}

/// The change of one value of the RON text; none when it is so already.
fn one(sheet: &DrawingSheet, place: RonPlace, after: Option<String>) -> Result<Vec<Part>, String> {
    let ron = sheet.files.ron.as_deref().ok_or("a picture has no such field")?;
    let before = place.value(ron)?;
    Ok(if before == after { Vec::new() } else { vec![Part::Field { place, before, after }] })
}
