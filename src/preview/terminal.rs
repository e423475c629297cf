//! The display in a terminal: a character for two pixels, or for eight if there is less room.

use crate::render::Bitmap;

/// Rows of text, each of two rows of pixels: `▀` upper lit, `▄` lower lit, `█` both, a space for neither.
pub fn half_blocks(picture: &Bitmap) -> Vec<String> {
    let width = picture.width().cast_signed();
    let block = |x: i32, y: i32| match (picture.get(x, y), picture.get(x, y + 1)) {
        (true, true) => '█',
        (true, false) => '▀',
        (false, true) => '▄',
        (false, false) => ' ',
    };
    (0..picture.height().cast_signed()).step_by(2).map(|y| (0..width).map(|x| block(x, y)).collect()).collect()
}

/// Rows of text, each of four rows of pixels, two columns to a letter: patterns of eight dots (The Unicode Standard, block Braille
/// Patterns: U+2800 and a bit for each dot, dots 1, 2, 3, 7 down the left column and 4, 5, 6, 8 down the right one).
pub fn eight_dots(picture: &Bitmap) -> Vec<String> {
    const NO_DOTS: u32 = 0x2800;
    const DOTS: [(i32, i32); 8] = [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3)];
    let letter = |x: i32, y: i32| {
        let lit = DOTS.iter().enumerate().filter(|(_, (right, down))| picture.get(x + right, y + down));
        let bits: u32 = lit.map(|(dot, _)| 1 << dot).sum();
        // The block has a letter for each of the 256 sums.
        char::from_u32(NO_DOTS + bits).unwrap_or(' ')
    };
    let (width, height) = (picture.width().cast_signed(), picture.height().cast_signed());
    (0..height).step_by(4).map(|y| (0..width).step_by(2).map(|x| letter(x, y)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_rows_make_one_and_an_odd_last_row_stands_above_nothing() {
        let picture: Bitmap = "##.\n#.#\n.#.\n".parse().expect("drawn");
        assert_eq!(half_blocks(&picture), ["█▀▄", " ▀ "]);
    }

    /// Letters by their names in The Unicode Standard: U+2847 is dots 1, 2, 3, 7, and U+28B8 dots 4, 5, 6, 8.
    #[test]
    fn eight_pixels_make_a_letter() {
        let picture: Bitmap = "#..#.\n#..#.\n#..#.\n#..##\n....#\n".parse().expect("drawn");
        assert_eq!(eight_dots(&picture), ["\u{2847}\u{28B8}\u{2840}", "\u{2800}\u{2800}\u{2801}"]);
    }
}
