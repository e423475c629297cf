//! Cells for characters that a sheet lacks, in the same PNG: its colour type, palette and other chunks stay.

use super::brush::Brush;
use super::editable::EditablePng;
use super::sheet::{DrawingSheet, SheetFiles};
use crate::font::Symbol;
use crate::font::sheet::extend;
use crate::whole::limited;

/// The files with a cell for each of `symbols` that has none; `Ok(None)` when none is lacking.
pub fn with_cells(sheet: &DrawingSheet, symbols: &[Symbol]) -> Result<Option<SheetFiles>, String> {
    let (Some(font), Some(ron)) = (&sheet.font, &sheet.files.ron) else {
        return Err("a picture has no cells for characters".into());
    };
    let Some(extended) = extend(ron, &font.description, &sheet.picture, symbols)? else { return Ok(None) };
    let model = EditablePng::read(&extended.png)?;
    let mut png = sheet.png.clone();
    png.resize(model.height(), Brush::of(&sheet.png, sheet.grid, &sheet.rule).paper);
    for (x, y) in (0..model.height()).flat_map(|y| (0..model.width()).map(move |x| (x, y))) {
        // The model has 8 bits for each value, so that finer colours differ and stay.
        let is_new = y >= sheet.png.height() || png.colour(x, y).map(coarse) != model.colour(x, y).map(coarse);
        if is_new && let Some(colour) = model.colour(x, y) {
            png.set(x, y, colour);
        }
    }
    Ok(Some(SheetFiles { ron: Some(extended.ron), png: png.write()? }))
}

fn coarse(colour: [u16; 4]) -> [u16; 4] {
    let [red, green, blue, opacity] = colour.map(|value| limited((u32::from(value) + 128) / 257));
    if opacity == 0 { [0; 4] } else { [red, green, blue, opacity] }
}
