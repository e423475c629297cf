//! Adds cells for characters that a sheet lacks, below the others; what was drawn and the rest of the RON text stay as they are.

use super::blank::GlyphSheet;
use super::guides::{CAPTIONS, Guides};
use super::text;
use crate::diag::{Findings, Sources};
use crate::font::canvas::SheetCanvas;
use crate::font::{Description, Font, Polarity, Symbol};
use crate::source::{LIMITS, Node, Shape, SourcePicture, parse};
use crate::whole::limited;
use std::collections::BTreeSet;

/// Returns the sheet and its RON text with a cell for each of `symbols` that has none. `Ok(None)` if no cell is missing. `Err` says
/// why it is not possible.
pub fn extend(
    ron: &str,
    description: &Description,
    picture: &SourcePicture,
    symbols: &[Symbol],
) -> Result<Option<GlyphSheet>, String> {
    let lacking = lacking(description, symbols);
    if lacking.is_empty() {
        return Ok(None);
    }
    let count = description.grid.count(picture.width(), picture.height());
    let (columns, drawn_rows) =
        count.map_err(|_| "the size of the sheet does not match its grid; fix this first".to_owned())?;
    let named_rows: u32 = limited(description.cells.len());
    let first_row = drawn_rows.max(named_rows);
    let new_rows: Vec<&[Symbol]> = lacking.chunks(columns as usize).collect();
    let rows = first_row + limited::<u32, usize>(new_rows.len());
    let (width, height) = description.grid.size(columns, rows);
    if height > LIMITS.picture_side {
        let limit = LIMITS.picture_side;
        return Err(format!("the sheet would be {width}×{height} pixels; the limit is {limit}×{limit}"));
    }
    let mut canvas = copied(description, picture, height);
    draw_guides(description, &mut canvas, first_row, &new_rows);
    let padding = (named_rows..first_row).map(|_| text::row(&[]));
    let written = new_rows.iter().map(|row| text::row(&row.iter().map(Some).collect::<Vec<_>>()));
    let ron = insert_rows(ron, &padding.chain(written).collect::<Vec<_>>())?;
    let png = canvas.to_png().ok_or("the sheet cannot be written as PNG")?;
    Ok(Some(GlyphSheet { png, ron }))
}

fn lacking(description: &Description, symbols: &[Symbol]) -> Vec<Symbol> {
    let cells = description.cells.iter().flat_map(|row| &row.cells);
    let mut known: BTreeSet<Symbol> = cells.filter_map(|(symbol, _)| symbol.clone()).collect();
    known.extend([' ', '\n', '\r'].map(Symbol::Char));
    symbols.iter().filter(|symbol| known.insert((*symbol).clone())).cloned().collect()
}

/// The old picture with room for more rows below. Its lower margin, which has no cells, is drawn again.
fn copied(description: &Description, picture: &SourcePicture, height: u32) -> SheetCanvas {
    let mut canvas = match description.ink.polarity {
        Polarity::Light => SheetCanvas::new(picture.width(), height, [0; 3]),
        Polarity::Dark => SheetCanvas::new(picture.width(), height, [u8::MAX; 3]),
        Polarity::Opaque => SheetCanvas::clear(picture.width(), height),
    };
    // The frame and marks of the last row reach one pixel into the margin below it.
    let kept = picture.height() - description.grid.margin.1.saturating_sub(1).min(picture.height());
    for y in 0..kept {
        for x in 0..picture.width() {
            if let Some(ink) = picture.ink(x, y) {
                let [red, green, blue] = ink.colour;
                canvas.set_rgba(i64::from(x), i64::from(y), [red, green, blue, ink.opacity]);
            }
        }
    }
    canvas
}

fn draw_guides(description: &Description, canvas: &mut SheetCanvas, first_row: u32, rows: &[&[Symbol]]) {
    let Some(colour) = description.ink.guide else { return };
    let captions = Font::shipped(CAPTIONS);
    let guides = Guides {
        grid: description.grid,
        baseline: description.baseline,
        cap_height: description.cap_height,
        colour,
        captions: &captions,
    };
    for (row, symbols) in (first_row..).zip(rows) {
        for (column, symbol) in (0..).zip(symbols.iter()) {
            guides.draw(canvas, column, row, Some(symbol));
        }
    }
}

/// Adds rows at the end of the list `cells`; everything else, comments too, stays as it is.
fn insert_rows(ron: &str, rows: &[String]) -> Result<String, String> {
    let file = Sources::default().add("", "");
    let node = parse(ron, file, &mut Findings::default());
    let cells = node.as_ref().and_then(cells_of).ok_or("the RON text has no list `cells` to extend")?;
    let Shape::List(items) = &cells.shape else { return Err("`cells` is not a list".into()) };
    let close = cells.span.end - 1;
    let after_last = items.last().map_or(cells.span.start + 1, |last| last.span.end);
    // A value's span may take in a comment behind it, so a lacking comma goes onto a line of its own.
    let comma = if items.is_empty() || has_comma(&ron[after_last..close]) { "" } else { "    ,\n    " };
    let added: String = rows.iter().map(|row| format!("    {row},\n    ")).collect();
    Ok(format!("{}\n    {comma}{added}{}", ron[..close].trim_end(), &ron[close..]))
}

fn cells_of(node: &Node) -> Option<&Node> {
    let Shape::Record(_, fields) = &node.shape else { return None };
    fields.iter().find(|(name, ..)| name == "cells").map(|(_, _, value)| value)
}

/// Whether a comma stands in a stretch that holds only white space, comments and perhaps that comma.
fn has_comma(stretch: &str) -> bool {
    let mut rest = stretch;
    loop {
        rest = rest.trim_start();
        if rest.starts_with(',') {
            return true;
        } else if rest.starts_with("//") {
            rest = rest.split_once('\n').map_or("", |(_, after)| after);
        } else if rest.starts_with("/*") {
            rest = rest.split_once("*/").map_or("", |(_, after)| after);
        } else {
            return false;
        }
    }
}
