//! A sheet as the page shows it: cells with their pixels as `#` and `.`, the font's numbers, and what the show needs of it.

use super::sheet::{DrawingSheet, FontSheet};
use crate::diag::{Findings, Sources};
use crate::font::{Advance, Fallback, Glyph, Symbol, code, cut, name, symbols};
use crate::whole::limited;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A sheet in words and numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct SheetState {
    /// Width and height of a cell; pixels around the grid and between cells.
    pub cell: (u32, u32),
    pub margin: (u32, u32),
    pub spacing: (u32, u32),
    pub cells: Vec<CellState>,
    /// `None` for a picture.
    pub font: Option<FontState>,
}

/// One cell.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CellState {
    /// Column and row of the cell.
    pub at: (u32, u32),
    /// The character or name; empty for a part of a picture.
    pub symbol: String,
    /// Its code and name in Unicode.
    pub code: String,
    pub name: String,
    /// Rows from the top, parted by `/`.
    pub rows: String,
    /// The column of the mark that ends the advance.
    pub mark: Option<u32>,
}

/// A glyph that another font lends: its pixels from the pen on, in the rows of a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BorrowedState {
    pub symbol: String,
    pub left: i32,
    pub advance: i32,
    pub rows: String,
}

/// The numbers of a font, and what a show needs of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct FontState {
    pub name: String,
    pub baseline: u32,
    pub cap_height: u32,
    /// `mono`, `drawn` or `marked`.
    pub kind: &'static str,
    /// The advance that all glyphs share; 0 where they share none.
    pub mono: u32,
    pub tracking: i32,
    pub space: u32,
    pub pen: u32,
    pub capitals: bool,
    /// Characters with an advance of their own.
    pub advances: BTreeMap<String, u32>,
    /// Pairs as they are written in a text.
    pub kerning: BTreeMap<String, i32>,
    /// A character or name, and the one whose glyph it takes.
    pub aliases: BTreeMap<String, String>,
    pub borrowed: Vec<BorrowedState>,
    /// Rows that borrowed glyphs add above the cell.
    pub rise: u32,
    /// Rows of a line.
    pub height: u32,
    /// The lines that the show sets.
    pub lines: Vec<String>,
    /// Characters of these lines without a cell or another glyph.
    pub lacking: Vec<String>,
    pub faults: Vec<String>,
}

/// The state of a sheet; `lines` are those that the show sets in the font.
pub fn state(sheet: &DrawingSheet, lines: &[String]) -> SheetState {
    SheetState {
        cell: sheet.grid.cell,
        margin: sheet.grid.margin,
        spacing: sheet.grid.spacing,
        cells: match &sheet.font {
            Some(font) => font_cells(sheet, font),
            None => picture_cells(sheet),
        },
        font: sheet.font.as_ref().map(|font| font_state(font, lines)),
    }
}

/// The symbol as a sheet's entry names it.
fn entry(symbol: &Symbol) -> String {
    match symbol {
        Symbol::Char(letter) => letter.to_string(),
        Symbol::Name(name) => name.clone(),
    }
}

fn rows(height: u32, width: u32, lit: impl Fn(u32, u32) -> bool) -> String {
    let row = |y| (0..width).map(|x| if lit(x, y) { '#' } else { '.' }).collect::<String>();
    (0..height).map(row).collect::<Vec<_>>().join("/")
}

fn font_cells(sheet: &DrawingSheet, font: &FontSheet) -> Vec<CellState> {
    let file = Sources::default().add("", "");
    let Some(cut) = cut(&font.description, file, &sheet.picture, &mut Findings::default()) else { return Vec::new() };
    let mut seen = BTreeSet::new();
    let mut cells = Vec::new();
    for (row, named) in (0..).zip(&font.description.cells) {
        for (column, (symbol, _)) in (0..).zip(&named.cells) {
            let Some((symbol, ink)) = symbol.as_ref().zip(cut.cell(column, row)) else { continue };
            if seen.insert(symbol) {
                cells.push(CellState {
                    at: (column, row),
                    symbol: entry(symbol),
                    code: code(symbol),
                    name: name(symbol),
                    rows: rows(sheet.grid.cell.1, sheet.grid.cell.0, |x, y| ink.columns[x as usize] >> y & 1 == 1),
                    mark: ink.marked,
                });
            }
        }
    }
    cells
}

fn picture_cells(sheet: &DrawingSheet) -> Vec<CellState> {
    let (width, height) = sheet.grid.cell;
    let lit = |x, y| sheet.png.colour(x, y).is_some_and(|colour| super::is_ink(&sheet.rule, colour));
    let cell = |column: u32| CellState {
        at: (column, 0),
        symbol: String::new(),
        code: String::new(),
        name: format!("Picture {}", column + 1),
        rows: rows(height, width, |x, y| lit(column * width + x, y)),
        mark: None,
    };
    (0..sheet.count().0).map(cell).collect()
}

fn font_state(sheet: &FontSheet, lines: &[String]) -> FontState {
    let description = &sheet.description;
    let cells = || description.cells.iter().flat_map(|row| &row.cells);
    let own: BTreeSet<&Symbol> = cells().filter_map(|(symbol, _)| symbol.as_ref()).collect();
    let (kind, mono) = match description.advance {
        Advance::Mono(advance) => ("mono", advance),
        Advance::Drawn => ("drawn", 0),
        Advance::Marked(_) => ("marked", 0),
    };
    let height = description.grid.cell.1;
    let font = sheet.font.as_ref();
    let needed: BTreeSet<Symbol> = lines.iter().flat_map(|line| symbols(line)).collect();
    let is_lacking = |symbol: &&Symbol| {
        let blank = symbol.char().is_some_and(|letter| letter.is_whitespace() || letter.is_control());
        !blank && !own.contains(symbol) && font.is_none_or(|font| font.id(symbol).is_none())
    };
    let advances = description.advances.iter().flat_map(|(key, advance)| {
        symbols(&key.value).into_iter().map(|symbol| (entry(&symbol), *advance)).collect::<Vec<_>>()
    });
    let alias = |text: &str| Symbol::from_entry(text).map_or(text.to_owned(), |symbol| entry(&symbol));
    FontState {
        name: description.name.clone(),
        baseline: description.baseline,
        cap_height: description.cap_height,
        kind,
        mono,
        tracking: description.tracking,
        space: description.space,
        pen: description.pen,
        capitals: description.fallback == Fallback::Capitals,
        advances: advances.collect(),
        kerning: description.kerning.iter().map(|(pair, value)| (pair.value.clone(), *value)).collect(),
        aliases: description.aliases.iter().map(|(from, to)| (alias(&from.value), alias(&to.value))).collect(),
        borrowed: font.map_or(Vec::new(), |font| {
            let lent = font.glyphs().filter(|(_, symbol, glyph)| !own.contains(symbol) && !glyph.is_blank());
            lent.map(|(_, symbol, glyph)| borrowed(symbol, glyph, font.height())).collect()
        }),
        rise: font.map_or(0, |font| font.ascent().saturating_sub(description.baseline)),
        height: font.map_or(height, |font| font.height()),
        lines: lines.to_vec(),
        lacking: needed.iter().filter(is_lacking).map(entry).collect(),
        faults: sheet.faults.clone(),
    }
}

fn borrowed(symbol: &Symbol, glyph: &Glyph, height: u32) -> BorrowedState {
    let left = glyph.left();
    BorrowedState {
        symbol: entry(symbol),
        left,
        advance: glyph.advance(),
        rows: rows(height, limited(glyph.columns().len()), |x, y| glyph.lit(left + x.cast_signed(), y)),
    }
}
