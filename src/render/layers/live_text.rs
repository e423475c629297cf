//! Texts that the firmware sets, character by character.

use crate::font::Glyph;
use crate::render::ink::Ink;
use crate::render::live::{Cells, glyph};
use crate::render::place::LayerMoment;
use crate::render::track::value_at;
use crate::show::{LiveText, Show};
use crate::whole::{limited, rounded};

/// Marks one of its characters.
pub fn live_text(show: &Show, layer: &LiveText, moment: LayerMoment, ink: &mut Ink) {
    let text = &layer.text;
    let shown = rounded::<usize>(value_at(&text.shows, moment.seconds)).checked_sub(1);
    let letter = shown.and_then(|at| text.field.characters.get(at));
    let cells = Cells::at(show, &text.field, moment);
    let left = cells.left + limited::<i32, _>(text.cell) * cells.columns;
    let glyph = letter.and_then(|letter| glyph(show, &text.field, *letter));
    for (x, row) in glyph.into_iter().flat_map(Glyph::pixels) {
        if (0..cells.columns).contains(&x) {
            ink.mark(left + x, cells.top + limited::<i32, _>(row));
        }
    }
}
