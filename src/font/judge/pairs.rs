//! Pairs that are easily taken for one another: by pixels that differ, and by what is left of the difference when the eye
//! blurs it by one pixel.

use crate::font::{Font, Glyph, GlyphId, likeness};
use crate::whole::limited;

/// The largest number of glyphs that are compared with one another. Of larger fonts, those with the lowest codes are compared.
pub const MOST_COMPARED: usize = 512;

/// Weights of a blur by one pixel, in sixteenths: the binomial kernel 1 2 1 in both directions (common practice).
const BLUR: [[i32; 3]; 3] = [[1, 2, 1], [2, 4, 2], [1, 2, 1]];

/// Two glyphs and how far they are apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GlyphPair {
    /// One glyph.
    pub first: GlyphId,
    /// The other one.
    pub second: GlyphId,
    /// Pixels that differ, from the pen and from the cell's top.
    pub deciding: Vec<(i32, u32)>,
    /// What is left of the difference after a blur by one pixel, in sixteenths of a pixel.
    pub blurred_sixteenths: u32,
}

impl GlyphPair {
    /// The Hamming distance: how many pixels differ.
    pub fn distance(&self) -> usize {
        self.deciding.len()
    }
    /// The distance after the blur, in pixels.
    pub fn blurred(&self) -> f64 {
        f64::from(self.blurred_sixteenths) / 16.0
    }
}

/// The `count` nearest pairs among the glyphs in `among`, nearest first: by the blurred distance, then by the pixels that differ.
/// Blank glyphs are left out.
pub fn worst_pairs(font: &Font, among: impl IntoIterator<Item = GlyphId>, count: usize) -> Vec<GlyphPair> {
    let ids: Vec<GlyphId> = among.into_iter().filter(|id| !font.by_id(*id).is_blank()).take(MOST_COMPARED).collect();
    let blurs: Vec<Blurred> = ids.iter().map(|id| Blurred::of(font.by_id(*id), font.height())).collect();
    let mut ranked: Vec<(u32, u32, usize, usize)> = Vec::new();
    for second in 0..ids.len() {
        for first in 0..second {
            let distance = limited(likeness(font.by_id(ids[first]), font.by_id(ids[second])).distance());
            ranked.push((blurs[first].distance(&blurs[second]), distance, first, second));
        }
    }
    ranked.sort_unstable();
    let pair = |(blurred_sixteenths, _, first, second): (u32, u32, usize, usize)| GlyphPair {
        first: ids[first],
        second: ids[second],
        deciding: likeness(font.by_id(ids[first]), font.by_id(ids[second])).deciding,
        blurred_sixteenths,
    };
    ranked.into_iter().take(count).map(pair).collect()
}

/// The difference of two glyphs after a blur by one pixel, in sixteenths of a pixel: the sum over all pixels.
pub fn blurred_distance(one: &Glyph, other: &Glyph, height: u32) -> u32 {
    Blurred::of(one, height).distance(&Blurred::of(other, height))
}

/// A glyph blurred by one pixel; each value in sixteenths of a lit pixel, in columns with one row above and one below.
struct Blurred {
    left: i32,
    rows: usize,
    columns: Vec<Vec<i32>>,
}

impl Blurred {
    fn of(glyph: &Glyph, height: u32) -> Self {
        let rows = height as usize + 2;
        let mut columns = vec![vec![0; rows]; glyph.columns().len() + 2];
        for (x, row) in glyph.pixels().filter(|(_, row)| *row < height) {
            let x = (x - glyph.left()).unsigned_abs() as usize;
            for (dx, weights) in BLUR.iter().enumerate() {
                for (dy, weight) in weights.iter().enumerate() {
                    columns[x + dx][row as usize + dy] += weight;
                }
            }
        }
        Self { left: glyph.left() - 1, rows, columns }
    }

    fn distance(&self, other: &Self) -> u32 {
        let from = self.left.min(other.left);
        let to = (self.left + limited::<i32, usize>(self.columns.len()))
            .max(other.left + limited::<i32, usize>(other.columns.len()));
        (from..to).map(|x| (0..self.rows).map(|row| self.at(x, row).abs_diff(other.at(x, row))).sum::<u32>()).sum()
    }

    fn at(&self, x: i32, row: usize) -> i32 {
        let column = usize::try_from(x - self.left).ok().and_then(|index| self.columns.get(index));
        column.and_then(|column| column.get(row)).copied().unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lone_pixel_keeps_its_weight_and_a_shifted_stroke_loses_half_of_it() {
        let dot = Glyph::new(&[0b100], 2);
        assert_eq!(blurred_distance(&dot, &Glyph::new(&[], 2), 7), 16);
        let stroke = Glyph::new(&[0b11111, 0], 2);
        let shifted = Glyph::new(&[0, 0b11111], 2);
        assert_eq!(likeness(&stroke, &shifted).distance(), 10);
        // Across the stroke the blur is 1 2 1 (in quarters): shifted by one, |1| + |1| + |−1| + |−1| = 4 quarters a row.
        assert_eq!(blurred_distance(&stroke, &shifted, 7), 5 * 16);
    }

    #[test]
    fn the_worst_pair_comes_first_with_its_deciding_pixels() {
        let font = Font::shipped("cleat");
        let ids: Vec<GlyphId> = "EFX".chars().filter_map(|letter| font.id(&letter.into())).collect();
        let worst = worst_pairs(&font, ids.iter().copied(), 9);
        assert_eq!(worst.len(), 3);
        assert_eq!((worst[0].first, worst[0].second), (ids[0], ids[1]));
        assert_eq!(worst[0].deciding, [(1, 4), (2, 4)]);
        let all: Vec<GlyphId> = font.glyphs().map(|(id, ..)| id).collect();
        let brute = all.iter().flat_map(|a| all.iter().filter(move |b| a < b).map(move |b| (a, b)));
        let least = brute
            .filter(|(a, b)| !font.by_id(**a).is_blank() && !font.by_id(**b).is_blank())
            .map(|(a, b)| blurred_distance(font.by_id(*a), font.by_id(*b), font.height()))
            .min();
        assert_eq!(worst_pairs(&font, all, 1).first().map(|pair| pair.blurred_sixteenths), least);
    }
}
