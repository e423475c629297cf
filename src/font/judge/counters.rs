//! Counters: enclosed paper inside a letter. A letter that should have one and has none, or the other way round, has been
//! closed or opened by the grid of pixels.

use crate::font::{Font, Glyph, Symbol};
use crate::whole::limited;

/// Letters and how many counters each must have at least and at most. Common shapes of the Latin alphabet (common practice);
/// letters that are drawn in several ways, such as `4`, `g` and `&`, have a range or are left out.
const COUNTERS: &[(&str, usize, usize)] = &[
    ("ADOPQRabdeopq69", 1, 2),
    ("0", 1, 2),
    ("B8", 2, 2),
    ("4", 0, 1),
    ("g", 1, 2),
    ("CEFGHIJKLMNSTUVWXYZ12357cfhijklmnrstuvwxyz", 0, 0),
];

/// The enclosed areas of paper in a glyph: paper joins along sides only, so a stroke that meets at a corner closes.
pub fn holes(glyph: &Glyph, height: u32) -> usize {
    let (width, height) = (glyph.columns().len() + 2, height as usize + 2);
    let lit =
        |x: usize, y: usize| x >= 1 && y >= 1 && glyph.lit(glyph.left() + limited::<i32, usize>(x) - 1, limited(y - 1));
    let mut seen = vec![false; width * height];
    let mut areas = 0;
    for start in 0..width * height {
        if seen[start] || lit(start % width, start / width) {
            continue;
        }
        areas += 1;
        let mut open = vec![start];
        while let Some(at) = open.pop() {
            let (x, y) = (at % width, at / width);
            if seen[at] || lit(x, y) {
                continue;
            }
            seen[at] = true;
            let sides = [
                (x > 0, at.wrapping_sub(1)),
                (x + 1 < width, at + 1),
                (y > 0, at.wrapping_sub(width)),
                (y + 1 < height, at + width),
            ];
            open.extend(sides.into_iter().filter(|(inside, _)| *inside).map(|(_, side)| side));
        }
    }
    // The paper around the glyph is one area and no counter.
    areas - 1
}

/// Letters and digits whose counters are not what their shape asks for, each in words.
pub fn odd_counters(font: &Font) -> Vec<String> {
    let mut odd = Vec::new();
    for (_, symbol, glyph) in font.glyphs().filter(|(_, _, glyph)| !glyph.is_blank()) {
        let Symbol::Char(letter) = symbol else { continue };
        let Some((_, least, most)) = COUNTERS.iter().find(|(letters, ..)| letters.contains(*letter)) else { continue };
        let found = holes(glyph, font.height());
        if found < *least {
            odd.push(format!(
                "{symbol} has {found} counters (enclosed spaces), but its shape needs {least}: one has closed or opened"
            ));
        } else if found > *most {
            odd.push(format!(
                "{symbol} has {found} counters (enclosed spaces), but its shape needs {most}: an opening has closed"
            ));
        }
    }
    odd
}

#[cfg(test)]
mod tests {
    use super::*;

    fn glyph(drawing: &str) -> Glyph {
        let rows: Vec<&[u8]> = drawing.lines().map(|row| row.trim().as_bytes()).collect();
        let column = |x: usize| rows.iter().enumerate().map(|(y, row)| u64::from(row[x] == b'#') << y).sum();
        let columns: Vec<u64> = (0..rows[0].len()).map(column).collect();
        Glyph::new(&columns, 0)
    }

    #[test]
    fn counters_are_counted_as_a_person_counts_them() {
        assert_eq!(holes(&glyph("###\n#.#\n###"), 3), 1);
        assert_eq!(holes(&glyph("###\n#.#\n###\n#.#\n###"), 5), 2);
        assert_eq!(holes(&glyph(".#.\n#.#\n.#."), 3), 1, "corners close");
        assert_eq!(holes(&glyph("###\n#..\n###"), 3), 0);
        assert_eq!(holes(&glyph("#"), 1), 0);
    }

    #[test]
    fn shipped_fonts_have_the_counters_of_their_letters() {
        for name in ["cleat", "thole", "binnacle"] {
            assert_eq!(odd_counters(&Font::shipped(name)), [""; 0], "{name}");
        }
    }
}
