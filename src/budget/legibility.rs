//! Legibility: the size of each text for the eye at the viewing distance, look-alikes that the show uses, lines that a roll
//! cuts off.

use super::alphabet::alphabets;
use super::texts::{ShownText, texts};
use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number, number_of};
use crate::font::judge::{
    ACUITY, LEAST_READING, Legibility, ReadingSize, fit, furthest_millimetres, legibility as judged, worst_pairs,
};
use crate::font::{Font, GlyphId, Symbol};
use crate::show::{FontId, Show};
use std::collections::{BTreeMap, BTreeSet};

/// The smallest gap or stroke that an eye of acuity 1.0 resolves, in minutes of arc (ISO 8596).
const STROKE_ARCMINUTES: f64 = 1.0;
const ANGLE: &str = "2·atan(height / 2·distance)";
pub(super) const PAIRS: &str = "pixels that differ when both glyphs start at the same pen position; blurred with the binomial kernel 1 2 1 in both directions (common practice)";

/// Checks every text of the show.
pub fn legibility(show: &Show, findings: &mut Findings) -> Budget {
    let all = texts(show);
    let mut figures = Vec::new();
    let eye = Eye {
        pitch: show.mounting().view_pitch_millimetres(show.panel()),
        distance: show.viewing_distance_millimetres(),
    };
    let sized: Vec<(&ShownText<'_>, Legibility)> =
        all.iter().filter(|text| text.rows() > 0).map(|text| (text, eye.sees(text.rows()))).collect();
    if let Some((text, seen)) = sized.iter().min_by(|one, other| one.1.arcminutes.total_cmp(&other.1.arcminutes)) {
        let name = format!("smallest text (scene {})", text.scene.name);
        figures.push(eye.figure(name, text.rows(), *seen).headline());
    }
    let pixel = judged(1, eye.pitch.0.min(eye.pitch.1), eye.distance).arcminutes;
    let figure = Figure::new("one pixel", pixel, "′");
    figures.push(figure.from(ANGLE, "an eye of acuity 1.0 resolves 1′: ISO 8596 (optotype of acuity 1.0)"));
    for (text, seen) in &sized {
        let name = format!("`{}` of scene {}", text.name, text.scene.name);
        figures.push(eye.figure(name, text.rows(), *seen).detail());
    }
    report_sizes(&eye, &sized, findings);
    for (font, texts) in by_font(&all) {
        look_alikes(font, &texts, &mut figures, findings);
    }
    report_cut_lines(&all, findings);
    alphabets(show, &all, &mut figures, findings);
    Budget { title: "legibility", figures }
}

/// The eye before the display.
struct Eye {
    /// Millimetres from pixel to pixel, across and down.
    pitch: (f64, f64),
    distance: f64,
}

impl Eye {
    fn sees(&self, rows: u32) -> Legibility {
        judged(rows, self.pitch.1, self.distance)
    }
    fn figure(&self, name: String, rows: u32, seen: Legibility) -> Figure {
        let (height, pitch, distance) = (seen.millimetres, self.pitch.1, self.distance);
        let [height, pitch, distance] = [height, pitch, distance].map(number);
        let formula = format!("{rows} rows × {pitch} mm = {height} mm at {distance} mm; {ANGLE}");
        Figure::new(name, seen.arcminutes, "′").from(formula, LEAST_READING.source)
    }
}

/// The texts of each font; live fields and live texts are judged by themselves.
fn by_font<'a>(all: &'a [ShownText<'a>]) -> Vec<(&'a Font, Vec<&'a ShownText<'a>>)> {
    let mut fonts: BTreeMap<FontId, Vec<&ShownText<'_>>> = BTreeMap::new();
    for text in all.iter().filter(|text| text.field.is_none()) {
        fonts.entry(text.font_id).or_default().push(text);
    }
    fonts.into_values().filter_map(|texts| Some((texts.first()?.font, texts))).collect()
}

/// One finding for each height of each font that is below the minimum for reading: a warning only where an eye of acuity 1.0
/// cannot tell the letters apart at all, since small letters are what these fonts are for.
fn report_sizes(eye: &Eye, sized: &[(&ShownText<'_>, Legibility)], findings: &mut Findings) {
    let mut reported: BTreeSet<(FontId, u32)> = BTreeSet::new();
    let stroke = judged(1, eye.pitch.0.min(eye.pitch.1), eye.distance).arcminutes;
    for (text, seen) in sized {
        if seen.size >= ReadingSize::Readable || !reported.insert((text.font_id, text.rows())) {
            continue;
        }
        let [height, angle, distance] = [seen.millimetres, seen.arcminutes, eye.distance].map(number);
        let size = format!("texts in {} are {height} mm high, {angle}′ at {distance} mm", text.font.name());
        let from = |arcminutes: f64| furthest_millimetres(seen.millimetres, arcminutes);
        if seen.size == ReadingSize::TooSmall || stroke < STROKE_ARCMINUTES {
            let furthest =
                from(ACUITY.arcminutes).min(furthest_millimetres(eye.pitch.0.min(eye.pitch.1), STROKE_ARCMINUTES));
            let message = format!("{size}: too small to read for normal vision (20/20), which needs 5′");
            let finding = Finding::warning(text.span, message);
            findings.push(finding.hint(format!(
                "readable at up to {} mm; use a larger font or a shorter viewing distance",
                number(furthest.round())
            )));
        } else {
            let least = number(LEAST_READING.arcminutes);
            let message =
                format!("{size}: readable with normal vision, but below the {least}′ that ISO 9241-303 requires");
            let finding = Finding::note(text.span, message);
            findings.push(
                finding.hint(format!(
                    "comfortable to read at up to {} mm",
                    number(from(LEAST_READING.arcminutes).round())
                )),
            );
        }
    }
}

/// The letters and digits of a font that the show uses and that are nearest to one another.
fn look_alikes(font: &Font, texts: &[&ShownText<'_>], figures: &mut Vec<Figure>, findings: &mut Findings) {
    let used: BTreeSet<GlyphId> = texts.iter().flat_map(|text| text.glyphs()).collect();
    let count = Figure::new(format!("glyphs of {} in use", font.name()), used.len() as f64, "");
    figures.push(count.from(format!("counted, of {}", font.glyphs().len()), "the show's texts"));
    let read_alone = |id: &GlyphId| font.symbol(*id).and_then(Symbol::char).is_some_and(char::is_alphanumeric);
    let Some(worst) = worst_pairs(font, used.into_iter().filter(read_alone), 1).into_iter().next() else { return };
    let name = |id: GlyphId| font.symbol(id).map_or(String::new(), ToString::to_string);
    let (first, second) = (name(worst.first), name(worst.second));
    let figure = Figure::new(format!("{}: nearest pair {first} {second}", font.name()), worst.distance() as f64, "px");
    figures.push(figure.from(format!("pixels that differ; {} after a blur", number(worst.blurred())), PAIRS));
    let Some(text) = texts.iter().find(|text| text.glyphs().contains(&worst.second)) else { return };
    match worst.distance() {
        0 => {
            let message =
                format!("the glyphs {first} and {second} of {} are identical, and the show uses both", font.name());
            findings.push(Finding::warning(text.span, message).hint("change one of the two on the font's sheet"));
        }
        1 => {
            let message = format!(
                "the glyphs {first} and {second} of {} differ in one pixel only, and the show uses both",
                font.name()
            );
            findings.push(
                Finding::note(text.span, message)
                    .hint("`pageloom sheet proof` shows these pairs and the pixels that differ"),
            );
        }
        _ => {}
    }
}

fn report_cut_lines(all: &[ShownText<'_>], findings: &mut Findings) {
    for text in all {
        let Some(columns) = text.columns else { continue };
        let lines = text.text.split('\n').map(|line| (line, fit(text.font, line, columns.cast_signed())));
        let cut: Vec<_> = lines.filter(|(_, fit)| fit.excess > 0).collect();
        if let Some((line, fit)) = cut.iter().max_by_key(|(_, fit)| fit.excess) {
            let message = format!(
                "{} than the {columns} columns of `{}`; the widest, `{line}`, by {}",
                if cut.len() == 1 { "1 line is wider".to_owned() } else { format!("{} lines are wider", cut.len()) },
                text.name,
                number_of(fit.excess.unsigned_abs() as usize, "pixel")
            );
            let hint = format!("the first {} characters fit; split the line, or make the area wider", fit.fitting);
            findings.push(Finding::warning(text.span, message).hint(hint));
        }
    }
}
