//! A font for people with their own drawing code: a table of glyphs and their columns.

use super::arrays::{C_FLASH, Language, array_text};
use super::namer::{Case, Namer};
use super::text::comment;
use crate::font::{Font, Glyph, Symbol};

/// The first code given to icons, which have names and no characters: Unicode's private use area.
const FIRST_ICON: u32 = 0xE000;

/// One row of the table.
struct FontTableRow {
    code: u32,
    offset: usize,
    columns: usize,
    left: i32,
    advance: i32,
    words: String,
}

/// Writes a font as one file. Each glyph has `columns` × pages bytes: page by page from the line's top, column by column
/// from the left, bit 0 on top. `Err` says in words what the table cannot hold.
pub fn font_file(language: Language, font: &Font) -> Result<String, String> {
    let pages = font.height().div_ceil(8);
    let mut bytes = Vec::new();
    let mut rows = Vec::new();
    let mut icons = FIRST_ICON..;
    for (_, symbol, glyph) in font.glyphs() {
        let code = match symbol {
            Symbol::Char(letter) => u32::from(*letter),
            Symbol::Name(_) => icons.next().unwrap_or(FIRST_ICON),
        };
        rows.push(row(code, bytes.len(), glyph, symbol)?);
        bytes.extend(glyph_bytes(glyph, pages));
    }
    rows.sort_by_key(|row| row.code);
    if bytes.len() > usize::from(u16::MAX) {
        return Err(format!("the font takes {} bytes of columns; 16-bit offsets reach 65535", bytes.len()));
    }
    Ok(match language {
        Language::C => c_file(font, pages, &bytes, &rows),
        Language::Rust => rust_file(font, pages, &bytes, &rows),
    })
}

fn row(code: u32, offset: usize, glyph: &Glyph, symbol: &Symbol) -> Result<FontTableRow, String> {
    let fits = |value: i32| i8::try_from(value).is_ok();
    if !fits(glyph.left()) || !fits(glyph.advance()) {
        return Err(format!("an offset or advance of {symbol} exceeds 127 pixels, the limit of the table"));
    }
    let (left, advance) = (glyph.left(), glyph.advance());
    Ok(FontTableRow { code, offset, columns: glyph.columns().len(), left, advance, words: symbol.to_string() })
}

fn glyph_bytes(glyph: &Glyph, pages: u32) -> Vec<u8> {
    (0..pages)
        .flat_map(|page| glyph.columns().iter().map(move |column| (column >> (8 * page)).to_le_bytes()[0]))
        .collect()
}

const HOW: &str = "columns × pages bytes a glyph: page by page from the line's top, column by column, bit 0 on top";

fn c_file(font: &Font, pages: u32, bytes: &[u8], rows: &[FontTableRow]) -> String {
    let stem = Namer::default().name("", font.name(), Case::Snake);
    let capitals = stem.to_ascii_uppercase();
    let row = |row: &FontTableRow| {
        let FontTableRow { code, offset, columns, left, advance, words } = row;
        format!("    {{0x{code:04X}u, {offset}u, {columns}u, {left}, {advance}}}, /* {} */\n", comment(words))
    };
    let mut table: String = rows.iter().map(row).collect();
    if let Some(comma) = table.rfind(", /*") {
        table.replace_range(comma..comma + 1, "");
    }
    format!(
        "/* The font {}, made by pageloom. */\n{C_FLASH}\n/* Rows of a line, of them above the baseline, pages of a column. */\n\
         enum {{ {capitals}_HEIGHT = {}, {capitals}_ASCENT = {}, {capitals}_PAGES = {pages}, {capitals}_GLYPHS = {} }};\n\n\
         /* One glyph: its character (icons from 0xE000), its columns from `offset` on, offset of the first column from the pen, advance to the next glyph. */\n\
         typedef struct {{\n    uint32_t code;\n    uint16_t offset;\n    uint8_t columns;\n    int8_t left;\n    int8_t advance;\n}} {stem}_glyph;\n\n\
         /* Sorted by code. */\nstatic const {stem}_glyph {stem}_glyphs[{}] PAGELOOM_FLASH = {{\n{table}}};\n{}",
        comment(font.name()),
        font.height(),
        font.ascent(),
        rows.len(),
        rows.len(),
        array_text(Language::C, &format!("{stem}_columns"), HOW, bytes)
    )
}

fn rust_file(font: &Font, pages: u32, bytes: &[u8], rows: &[FontTableRow]) -> String {
    let row = |row: &FontTableRow| {
        let FontTableRow { code, offset, columns, left, advance, words } = row;
        format!(
            "    Glyph {{ code: 0x{code:04X}, offset: {offset}, columns: {columns}, left: {left}, advance: {advance} }}, // {}\n",
            comment(words)
        )
    };
    let table: String = rows.iter().map(row).collect();
    format!(
        "//! The font {}, made by pageloom.\n#![allow(dead_code)]\n\n/// Rows of a line.\npub const HEIGHT: u32 = {};\n\
         /// Rows above the baseline.\npub const ASCENT: u32 = {};\n/// Pages of a column.\npub const PAGES: usize = {pages};\n\n\
         /// One glyph: its character (icons from 0xE000), its columns from `offset` on, offset of the first column from the pen, advance to the next glyph.\n\
         #[derive(Clone, Copy, Debug, PartialEq, Eq)]\npub struct Glyph {{\n    pub code: u32,\n    pub offset: u16,\n    \
         pub columns: u8,\n    pub left: i8,\n    pub advance: i8,\n}}\n\n/// Sorted by code.\n\
         pub static GLYPHS: [Glyph; {}] = [\n{table}];\n{}",
        comment(font.name()),
        font.height(),
        font.ascent(),
        rows.len(),
        array_text(Language::Rust, "COLUMNS", HOW, bytes)
    )
}
