//! Every text that a show sets: in which font, by which layer, where in the script.

use crate::diag::Span;
use crate::font::{Font, GlyphId, symbols};
use crate::show::{Drawing, FontId, Layer, LiveField, Scene, Show, Track};
use crate::whole::rounded;
use std::collections::BTreeSet;

/// One text of a show.
pub struct ShownText<'a> {
    pub scene: &'a Scene,
    /// The layer or the live field that sets it.
    pub name: &'a str,
    pub font_id: FontId,
    pub font: &'a Font,
    /// Its lines; for a running number all digits and the text around it, for a live field or live text its characters.
    pub text: String,
    pub span: Span,
    /// The columns that its lines must not pass, where the layer cuts them off there without a word.
    pub columns: Option<u32>,
    /// If the firmware writes it: the field or live text, and which of the two it is called in messages.
    pub field: Option<(&'static str, &'a LiveField)>,
}

impl ShownText<'_> {
    /// The glyphs that it needs.
    pub fn glyphs(&self) -> BTreeSet<GlyphId> {
        symbols(&self.text).iter().filter_map(|symbol| self.font.id(symbol)).collect()
    }

    /// Rows from the top of the tallest letter or digit to the bottom of the lowest one on the baseline. If the text has neither,
    /// the rows of all its ink.
    pub fn rows(&self) -> u32 {
        let baseline = self.font.ascent();
        let height = |only_letters: bool| {
            let wanted =
                |symbol: &crate::font::Symbol| !only_letters || symbol.char().is_some_and(char::is_alphanumeric);
            let ids = symbols(&self.text).into_iter().filter(wanted).filter_map(|symbol| self.font.id(&symbol));
            let rows = ids.filter_map(|id| self.font.by_id(id).rows());
            let above =
                |(top, last): (u32, u32)| if top < baseline { baseline.min(last + 1) - top } else { last + 1 - top };
            rows.map(above).max()
        };
        height(true).or(height(false)).unwrap_or(0)
    }
}

/// All texts of a show, in the order of its scenes and layers.
pub fn texts(show: &Show) -> Vec<ShownText<'_>> {
    let mut found = Vec::new();
    for scene in show.scenes() {
        for layer in &scene.layers {
            collect(show, scene, layer, &mut found);
        }
        found.extend(scene.fields.iter().filter_map(|field| written(show, scene, "field", field)));
    }
    found
}

/// What the firmware can write into a field or a live text.
fn written<'a>(show: &'a Show, scene: &'a Scene, noun: &'static str, field: &'a LiveField) -> Option<ShownText<'a>> {
    let font = show.fonts().get(field.font.0)?;
    let (text, span) = (field.characters.iter().collect(), field.span);
    Some(ShownText {
        scene,
        name: &field.name,
        font_id: field.font,
        font,
        text,
        span,
        columns: None,
        field: Some((noun, field)),
    })
}

fn collect<'a>(show: &'a Show, scene: &'a Scene, layer: &'a Layer, found: &mut Vec<ShownText<'a>>) {
    let mut add = |font_id: FontId, text: String, span: Span, columns: Option<u32>| {
        if let Some(font) = show.fonts().get(font_id.0) {
            found.push(ShownText { scene, name: &layer.name, font_id, font, text, span, columns, field: None });
        }
    };
    let number = |before: &str, after: &str| format!("{before}0123456789{after}");
    match &layer.drawing {
        Drawing::Text(text) => add(text.lettering.font, text.lettering.text.clone(), text.lettering.span, None),
        Drawing::Typed(typed) => add(typed.lettering.font, typed.lettering.text.clone(), typed.lettering.span, None),
        Drawing::Marquee(line) => add(line.lettering.font, line.lettering.text.clone(), line.lettering.span, None),
        Drawing::Roll(roll) => {
            let columns = Some(widest(&roll.size.width));
            add(roll.lettering.font, roll.lettering.text.clone(), roll.lettering.span, columns);
        }
        Drawing::Counter(counter) => add(counter.font, number(&counter.before, &counter.after), layer.span, None),
        Drawing::Odometer(odometer) => add(odometer.font, number("", ""), layer.span, None),
        Drawing::Status(status) => {
            for word in &status.words {
                add(status.font, word.text.clone(), word.span, None);
            }
        }
        Drawing::LiveText(live) if live.text.cell == 0 => {
            found.extend(written(show, scene, "live text", &live.text.field));
        }
        Drawing::Countdown(countdown) => add(countdown.font, number("", ":"), layer.span, None),
        Drawing::Group(group) => {
            for inner in group.layers.iter().chain(&group.mask) {
                collect(show, scene, inner, found);
            }
        }
        _ => {}
    }
}

fn widest(width: &Track) -> u32 {
    width.keys.iter().map(|key| rounded(key.value.ceil())).max().unwrap_or(0)
}
