//! Kerning suggested by measuring the gap between two shapes: pairs that leave a visible hole or nearly touch.

use crate::font::{Font, Glyph, GlyphId};
use crate::whole::limited;

/// Gaps wider than this many pixels look the same to the eye and count as this (rough figure; a glance decides).
const WIDEST_GAP: i32 = 4;
/// The most pixels that a suggestion moves a glyph.
const FURTHEST: i32 = 2;

/// A pair and the kerning that would even out its gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Suggestion {
    /// The left glyph.
    pub first: GlyphId,
    /// The right glyph.
    pub second: GlyphId,
    /// Pixels by which the second should move to the right, beyond the kerning that it has; usually negative.
    pub kerning: i32,
}

/// Finds pairs among `among` that touch, or whose mean gap is at least a pixel wider than that of the median pair. The gap is the
/// mean over the rows that one of the two uses. The suggested kerning fixes this without letting the two touch, also at corners. A
/// font with a fixed advance gets no suggestions.
pub fn suggest_kerning(font: &Font, among: &[GlyphId]) -> Vec<Suggestion> {
    if font.metrics().mono.is_some() {
        return Vec::new();
    }
    let visible: Vec<GlyphId> = among.iter().copied().filter(|id| !font.by_id(*id).is_blank()).collect();
    let pairs = || visible.iter().flat_map(|first| visible.iter().map(move |second| (*first, *second)));
    let mut measured: Vec<i32> = pairs().map(|(first, second)| mean_gap_hundredths(font, first, second)).collect();
    measured.sort_unstable();
    let Some(median) = measured.get(measured.len() / 2).copied() else { return Vec::new() };
    pairs().filter_map(|(first, second)| suggestion(font, first, second, median)).collect()
}

fn suggestion(font: &Font, first: GlyphId, second: GlyphId, median: i32) -> Option<Suggestion> {
    // One empty column must stay between the two wherever they come nearest, a diagonal step counted as near. Stems that stand
    // closer than the median, as H beside H, are what the tracking asks for and stay.
    let apart = 1 - nearest_gap(font, first, second);
    let excess = mean_gap_hundredths(font, first, second) - median;
    let kerning = (-excess / 100).clamp(-FURTHEST, 0).max(apart);
    (kerning != 0).then_some(Suggestion { first, second, kerning })
}

/// The gap of each row, from the right edge of the first glyph's ink to the left edge of the second's; `None` in a row that
/// one of the two does not use. `reach` rows above and below count as the same row.
fn gaps(font: &Font, first: GlyphId, second: GlyphId, reach: u32) -> Vec<Option<i32>> {
    let (one, other) = (font.by_id(first), font.by_id(second));
    let pen = one.advance() + font.kern(first, second);
    let near = |row: u32| row.saturating_sub(reach)..(row + reach + 1).min(font.height());
    (0..font.height())
        .map(|row| {
            let right = right_edge(one, row)?;
            let left = near(row).filter_map(|row| left_edge(other, row)).min()?;
            Some(pen + left - right - 1)
        })
        .collect()
}

/// The mean gap in hundredths of a pixel over all rows that at least one glyph uses; wide and one-sided rows count as [`WIDEST_GAP`].
fn mean_gap_hundredths(font: &Font, first: GlyphId, second: GlyphId) -> i32 {
    let (one, other) = (font.by_id(first), font.by_id(second));
    let used: Vec<i32> = gaps(font, first, second, 0)
        .into_iter()
        .zip(0..)
        .filter(|(_, row)| right_edge(one, *row).is_some() || left_edge(other, *row).is_some())
        .map(|(gap, _)| gap.map_or(WIDEST_GAP, |gap| gap.clamp(0, WIDEST_GAP)))
        .collect();
    100 * used.iter().sum::<i32>() / limited::<i32, usize>(used.len().max(1))
}

fn nearest_gap(font: &Font, first: GlyphId, second: GlyphId) -> i32 {
    gaps(font, first, second, 1).into_iter().flatten().min().unwrap_or(WIDEST_GAP)
}

fn right_edge(glyph: &Glyph, row: u32) -> Option<i32> {
    (glyph.left()..glyph.right()).rev().find(|x| glyph.lit(*x, row))
}

fn left_edge(glyph: &Glyph, row: u32) -> Option<i32> {
    (glyph.left()..glyph.right()).find(|x| glyph.lit(*x, row))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn suggested(font: &Font, letters: &str) -> Vec<(String, i32)> {
        let ids: Vec<GlyphId> = letters.chars().filter_map(|letter| font.id(&letter.into())).collect();
        let name = |id: GlyphId| font.glyphs().nth(id.0).and_then(|(_, symbol, _)| symbol.char());
        let pair = |pair: Suggestion| [name(pair.first), name(pair.second)].into_iter().flatten().collect();
        suggest_kerning(font, &ids).into_iter().map(|found| (pair(found), found.kerning)).collect()
    }

    #[test]
    fn a_hole_is_closed_a_pair_that_would_touch_is_left_and_one_advance_for_all_is_never_kerned() {
        let font = Font::shipped("binnacle");
        let found = suggested(&font, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
        assert!(found.iter().any(|(pair, kerning)| pair == "LT" && *kerning < 0), "{found:?}");
        assert!(found.iter().all(|(pair, _)| pair != "HH" && pair != "MN"), "{found:?}");
        assert_eq!(suggested(&Font::shipped("cleat"), "LTAV"), []);
    }

    #[test]
    fn no_suggestion_lets_two_glyphs_touch() {
        let font = Font::shipped("binnacle");
        let ids: Vec<GlyphId> = font.glyphs().map(|(id, ..)| id).collect();
        for found in suggest_kerning(&font, &ids) {
            let pen = font.by_id(found.first).advance() + found.kerning;
            for (x, row) in font.by_id(found.first).pixels() {
                for (other_x, other_row) in font.by_id(found.second).pixels() {
                    let apart = (pen + other_x - x).abs().max(row.abs_diff(other_row).cast_signed());
                    assert!(apart >= 2, "{found:?}");
                }
            }
        }
    }
}
