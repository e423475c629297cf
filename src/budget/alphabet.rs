//! Checks the characters of live fields and live texts: which of them can be confused, and which samples are too long.

use super::Figure;
use super::legibility::PAIRS;
use super::texts::ShownText;
use crate::diag::{Finding, Findings, number};
use crate::font::GlyphId;
use crate::font::judge::{GlyphPair, worst_pairs};
use crate::render::Cells;
use crate::show::{LiveField, Show};
use crate::whole::limited;

/// Characters of a field that differ in fewer pixels are reported: unlike a word, a number gives no context to guess from.
const TOLD_APART: usize = 2;

/// Judges the alphabet and the samples of every live field and live text among the texts.
pub fn alphabets(show: &Show, all: &[ShownText<'_>], figures: &mut Vec<Figure>, findings: &mut Findings) {
    for (text, (noun, field)) in all.iter().filter_map(|text| Some((text, text.field?))) {
        let name = |what: &str| format!("{noun} `{}` of scene {}: {what}", field.name, text.scene.name);
        let (cells, pitch) = (Cells::of(show, field), show.mounting().view_pitch_millimetres(show.panel()).0);
        let width = f64::from(cells.count * cells.columns) * pitch;
        let formula = format!("{} characters × {} columns × {} mm", cells.count, cells.columns, number(pitch));
        figures.push(
            Figure::new(name("width"), width, "mm")
                .from(formula, "widest of its characters × its width, on the display"),
        );
        let ids: Vec<GlyphId> = text.glyphs().into_iter().collect();
        if let Some(worst) = worst_pairs(text.font, ids, 1).into_iter().next() {
            let (one, other) = names(text, &worst);
            let figure = Figure::new(name(&format!("nearest pair {one} {other}")), worst.distance() as f64, "px");
            figures.push(figure.from(format!("pixels that differ; {} after a blur", number(worst.blurred())), PAIRS));
            report_pair(text, (noun, &field.name), &worst, findings);
        }
        report_samples(text, (noun, field), findings);
    }
}

fn names(text: &ShownText<'_>, pair: &GlyphPair) -> (String, String) {
    let name = |id: GlyphId| text.font.symbol(id).map_or(String::new(), ToString::to_string);
    (name(pair.first), name(pair.second))
}

fn report_pair(text: &ShownText<'_>, (noun, name): (&str, &str), worst: &GlyphPair, findings: &mut Findings) {
    let (one, other) = names(text, worst);
    let font = text.font.name();
    let hint = "change one of the two glyphs on the font's sheet, or remove one of them from `characters`";
    match worst.distance() {
        0 => {
            let message =
                format!("the glyphs {one} and {other} of {font} are identical, and the {noun} `{name}` can show both");
            findings.push(Finding::warning(text.span, message).hint(hint));
        }
        distance if distance < TOLD_APART => {
            let message = format!(
                "the glyphs {one} and {other} of {font} differ in one pixel only, and the {noun} `{name}` can show both"
            );
            findings.push(Finding::note(text.span, message).hint(hint));
        }
        _ => {}
    }
}

/// One finding for each: its longest sample shows what it cuts off.
fn report_samples(text: &ShownText<'_>, (noun, field): (&str, &LiveField), findings: &mut Findings) {
    let length = |sample: &str| limited::<u32, usize>(sample.chars().count());
    let longest = field.samples.iter().map(|(_, sample)| sample).max_by_key(|sample| length(sample));
    let Some(sample) = longest.filter(|sample| length(sample) > field.cells) else { return };
    let (count, cells, name) = (length(sample), field.cells, &field.name);
    let message = format!(
        "the sample `{sample}` has {count} characters, but the {noun} `{name}` holds {cells}: the end is cut off"
    );
    let hint = format!("use `width: {count}`, or write a shorter text");
    findings.push(Finding::warning(text.span, message).hint(hint));
}
