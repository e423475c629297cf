//! A blank sheet for chosen characters, with guides, and the RON file that belongs to it.

use super::guides::{CAPTION_GAP, CAPTIONS, Guides, TICK_REACH};
use super::{GUIDE, PAPER, text};
use crate::diag::{Sources, Span};
use crate::font::canvas::SheetCanvas;
use crate::font::describe::{Advance, Description, Fallback};
use crate::font::grid::Grid;
use crate::font::ink::{InkRule, Polarity};
use crate::font::{CellRow, Font, Symbol};
use crate::source::{LIMITS, Placed};
use crate::whole::limited;

/// What a blank sheet is to be like.
#[derive(Clone, Debug)]
pub struct Blank {
    /// The font's name.
    pub name: String,
    /// The file name of the sheet, which is next to the RON file.
    pub sheet: String,
    /// Width and height of a cell, 1 to 64 each.
    pub cell: (u32, u32),
    /// Rows from the cell's top to the baseline.
    pub baseline: u32,
    /// Rows of a capital above the baseline.
    pub cap_height: u32,
    /// How the advance of its glyphs is found.
    pub advance: Advance,
    /// What the cells are for, in order.
    pub symbols: Vec<Symbol>,
    /// Cells in a row.
    pub columns: u32,
}

/// A sheet and its description, ready to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GlyphSheet {
    /// The bytes of the PNG.
    pub png: Vec<u8>,
    /// The text of the description.
    pub ron: String,
}

impl Blank {
    /// The usual blank for a cell size: 16 cells in a row, capitals from the cell's top, a fifth of the rows below the
    /// baseline in cells of 6 rows or more, and the advance as drawn.
    pub fn usual(name: &str, cell: (u32, u32), symbols: Vec<Symbol>) -> Self {
        const DESCENT_FROM: u32 = 6;
        let descent = if cell.1 >= DESCENT_FROM { cell.1 / 5 } else { 0 };
        Self {
            name: name.to_owned(),
            sheet: format!("{name}.png"),
            cell,
            baseline: cell.1 - descent,
            cap_height: cell.1 - descent,
            advance: Advance::Drawn,
            symbols,
            columns: 16,
        }
    }
}

/// Lays out a blank sheet; `Err` says in words what cannot be laid out.
pub fn new_sheet(blank: &Blank) -> Result<GlyphSheet, String> {
    check(blank)?;
    let captions = Font::shipped(CAPTIONS);
    let description = describe(blank, roomy_grid(blank, &captions));
    let canvas = guided(&description, &captions)?;
    let comment = "Draw in white on the PNG, in the framed cells; pixels of the guide colour are ignored.";
    let png = canvas.to_png().ok_or("the sheet cannot be written as PNG")?;
    Ok(GlyphSheet { png, ron: text::description(comment, &description) })
}

/// A canvas with the guides of every named cell of a description.
pub(super) fn guided(description: &Description, captions: &Font) -> Result<SheetCanvas, String> {
    let columns = description.cells.iter().map(|row| limited::<u32, usize>(row.cells.len())).max().unwrap_or(1);
    let (width, height) = description.grid.size(columns, limited(description.cells.len()));
    if width.max(height) > LIMITS.picture_side {
        let limit = LIMITS.picture_side;
        return Err(format!(
            "the sheet would be {width}×{height} pixels; the limit is {limit}×{limit}: make several sheets"
        ));
    }
    let mut canvas = SheetCanvas::new(width, height, PAPER);
    let guides = Guides {
        grid: description.grid,
        baseline: description.baseline,
        cap_height: description.cap_height,
        colour: GUIDE,
        captions,
    };
    for (row, cells) in description.cells.iter().enumerate() {
        for (column, (symbol, _)) in cells.cells.iter().enumerate() {
            guides.draw(&mut canvas, limited(column), limited(row), symbol.as_ref());
        }
    }
    Ok(canvas)
}

pub(super) fn check(blank: &Blank) -> Result<(), String> {
    const TALLEST: u32 = crate::font::glyph::TALLEST;
    let (width, height) = blank.cell;
    if !(1..=TALLEST).contains(&width) || !(1..=TALLEST).contains(&height) {
        return Err(format!("a cell of {width}×{height} pixels is not supported; each side must be 1 to {TALLEST}"));
    }
    if blank.baseline > height || blank.cap_height > blank.baseline {
        let (baseline, cap) = (blank.baseline, blank.cap_height);
        return Err(format!("baseline {baseline} and cap height {cap} do not lie in a cell of {height} rows"));
    }
    if blank.symbols.is_empty() || blank.columns == 0 {
        return Err("a sheet needs at least one character and one cell in a row".into());
    }
    Ok(())
}

/// The grid that leaves room for frame, ticks and captions around each cell.
pub(super) fn roomy_grid(blank: &Blank, captions: &Font) -> Grid {
    let widths = blank.symbols.iter().map(|symbol| captions.width(&Guides::caption(captions, symbol)));
    let caption = widths.max().unwrap_or(0).max(0).cast_unsigned();
    let room_x = (2 * TICK_REACH + 1).max((caption + 2).saturating_sub(blank.cell.0));
    let room_y = captions.height() + CAPTION_GAP + 3;
    Grid { cell: blank.cell, margin: (room_x.div_ceil(2) + 1, room_y), spacing: (room_x, room_y) }
}

pub(super) fn describe(blank: &Blank, grid: Grid) -> Description {
    // Texts that are made here stand in no file; their places are never shown.
    let nowhere = Span { file: Sources::default().add("", ""), start: 0, end: 0 };
    let row = |symbols: &[Symbol]| {
        let cell = |symbol: &Symbol| ((*symbol != Symbol::Char(' ')).then(|| symbol.clone()), nowhere);
        CellRow { span: nowhere, cells: symbols.iter().map(cell).collect() }
    };
    let space = match blank.advance {
        Advance::Mono(advance) => advance,
        _ => blank.cell.0.div_ceil(2) + 1,
    };
    Description {
        span: nowhere,
        name: blank.name.clone(),
        sheet: Placed { value: blank.sheet.clone(), span: nowhere },
        grid,
        ink: InkRule { polarity: Polarity::Light, threshold: 128, guide: Some(GUIDE), mark: None },
        baseline: blank.baseline,
        cap_height: blank.cap_height,
        advance: blank.advance,
        tracking: 1,
        space,
        pen: 0,
        cells: blank.symbols.chunks(blank.columns as usize).map(row).collect(),
        kerning: Vec::new(),
        aliases: Vec::new(),
        advances: Vec::new(),
        fallback: Fallback::Nothing,
        borrow: Vec::new(),
    }
}
