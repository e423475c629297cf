//! Judges a font by numbers: similar glyphs, closed counters, legibility, lines that fit, and kerning from measured gaps.

mod counters;
mod fit;
mod kerning;
mod legibility;
mod pairs;

pub use counters::{holes, odd_counters};
pub use fit::{LineFit, fit, roomiest};
pub use kerning::{Suggestion, suggest_kerning};
pub use legibility::{
    ACUITY, EyeRule, LEAST_READING, Legibility, ReadingSize, USABLE, WELL_READ, arcminutes, furthest_millimetres,
    height_millimetres, legibility,
};
pub use pairs::{GlyphPair, MOST_COMPARED, blurred_distance, worst_pairs};

use crate::diag::{FileId, Finding, Findings, Place};
use crate::font::Font;

/// Reports counters and apertures that the grid of pixels has closed, at the font's file.
pub fn check_counters(font: &Font, file: FileId, findings: &mut Findings) {
    for odd in odd_counters(font) {
        let place = Place::Picture { file, cell: None, pixel: None };
        findings.push(Finding::note(place, odd).hint("open or close the shape by adding or removing a pixel"));
    }
}
