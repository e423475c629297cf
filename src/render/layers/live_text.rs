//! Texts that the firmware sets, character by character.

use crate::render::ink::Ink;
use crate::render::live::Cells;
use crate::render::place::LayerMoment;
use crate::render::track::value_at;
use crate::show::{LiveCharacter, LiveText, Show};
use crate::whole::{limited, rounded};

/// Marks one of its characters.
pub fn live_text(show: &Show, layer: &LiveText, moment: LayerMoment, ink: &mut Ink) {
    let LiveCharacter { field, cell, shows } = &layer.text;
    let number = rounded(value_at(shows, moment.seconds));
    Cells::at(show, field, moment).write(show, field, (limited(*cell), number), &mut |x, y| ink.mark(x, y));
}
