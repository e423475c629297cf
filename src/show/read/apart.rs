//! Divides a layer that follows several live values into one layer per value. Layers that follow only one value have fewer
//! pictures.

use crate::show::{Drawing, Following, Layer, LiveCharacter, LiveId, LiveText, Meter, Mode};

/// The layers into which a layer is divided.
pub fn apart(layer: Layer) -> Vec<Layer> {
    match &layer.drawing {
        Drawing::LiveText(LiveText { text }) => characters(&layer, text),
        Drawing::Meter(meter) if meter.mark.is_some() && layer.mode != Mode::Invert => level_and_mark(&layer, meter),
        _ => vec![layer],
    }
}

/// A meter and its mark.
fn level_and_mark(layer: &Layer, meter: &Meter) -> Vec<Layer> {
    let of = |meter: Meter| {
        let mut part = Layer { drawing: Drawing::Meter(meter), ..layer.clone() };
        part.find_followed();
        part
    };
    meter.clone().apart().map(of).to_vec()
}

/// A live text, character by character.
fn characters(layer: &Layer, text: &LiveCharacter) -> Vec<Layer> {
    let Some(following) = text.shows.live else { return vec![layer.clone()] };
    let of = |cell: u32| {
        let mut text = LiveCharacter { cell, ..text.clone() };
        text.shows.live = Some(Following { value: LiveId(following.value.0 + cell as usize), ..following });
        let mut part = Layer { drawing: Drawing::LiveText(LiveText { text }), ..layer.clone() };
        part.find_followed();
        part
    };
    (0..text.field.cells).map(of).collect()
}
