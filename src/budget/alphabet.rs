//! What firmware may write into a live field: which of its characters are taken for one another, and which samples are too long.

use super::Figure;
use super::legibility::PAIRS;
use super::texts::ShownText;
use crate::diag::{Finding, Findings};
use crate::font::GlyphId;
use crate::font::judge::{Pair, worst_pairs};
use crate::render::Cells;
use crate::show::{LiveField, Show};

/// Characters of a field that differ in fewer pixels are told: beside a word, nothing around a number helps to guess.
const TOLD_APART: usize = 2;

/// Judges the alphabet and the samples of every live field among the texts.
pub fn alphabets(show: &Show, all: &[ShownText<'_>], figures: &mut Vec<Figure>, findings: &mut Findings) {
    for (text, field) in all.iter().filter_map(|text| Some((text, text.field?))) {
        let name = |what: &str| format!("field `{}` of scene {}: {what}", field.name, text.scene.name);
        let (cells, pitch) = (Cells::of(show, field), show.mounting().view_pitch_millimetres(show.panel()).0);
        let width = f64::from(cells.count * cells.columns) * pitch;
        let formula = format!("{} characters × {} columns × {pitch:.3} mm", cells.count, cells.columns);
        figures
            .push(Figure::new(name("width"), width, "mm").from(formula, "the widest of its characters, and the glass"));
        let ids: Vec<GlyphId> = text.glyphs().into_iter().collect();
        if let Some(worst) = worst_pairs(text.font, ids, 1).into_iter().next() {
            let (one, other) = names(text, &worst);
            let figure = Figure::new(name(&format!("nearest pair {one} {other}")), worst.distance() as f64, "px");
            figures.push(figure.from(format!("pixels that differ; {:.1} after a blur", worst.blurred()), PAIRS));
            report_pair(text, field, &worst, findings);
        }
        report_samples(text, field, findings);
    }
}

fn names(text: &ShownText<'_>, pair: &Pair) -> (String, String) {
    let name = |id: GlyphId| text.font.symbol(id).map_or(String::new(), ToString::to_string);
    (name(pair.first), name(pair.second))
}

fn report_pair(text: &ShownText<'_>, field: &LiveField, worst: &Pair, findings: &mut Findings) {
    let (one, other) = names(text, worst);
    let (font, field) = (text.font.name(), &field.name);
    let hint = "draw them apart on the font's sheet, or leave one of them out of `characters`";
    match worst.distance() {
        0 => {
            let message = format!("{one} and {other} of {font} look the same, and the field `{field}` may show either");
            findings.push(Finding::warning(text.span, message).hint(hint));
        }
        distance if distance < TOLD_APART => {
            let message =
                format!("{one} and {other} of {font} differ in one pixel, and the field `{field}` may show either");
            findings.push(Finding::note(text.span, message).hint(hint));
        }
        _ => {}
    }
}

/// One finding for each field: its longest sample shows what it cuts off.
fn report_samples(text: &ShownText<'_>, field: &LiveField, findings: &mut Findings) {
    let length = |sample: &str| sample.chars().count() as u32;
    let longest = field.samples.iter().map(|(_, sample)| sample).max_by_key(|sample| length(sample));
    let Some(sample) = longest.filter(|sample| length(sample) > field.cells) else { return };
    let (count, cells, name) = (length(sample), field.cells, &field.name);
    let message =
        format!("the sample `{sample}` has {count} characters, the field `{name}` holds {cells}: its end is cut off");
    let hint = format!("widen it to `width: {count}`, or let firmware write less");
    findings.push(Finding::warning(text.span, message).hint(hint));
}
