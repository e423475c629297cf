//! The glass in a terminal: two rows of pixels to a row of half blocks.

use crate::render::Bitmap;

/// Rows of text, each of two rows of pixels: `▀` upper lit, `▄` lower lit, `█` both, a space for neither.
pub fn half_blocks(picture: &Bitmap) -> Vec<String> {
    let width = picture.width() as i32;
    let block = |x: i32, y: i32| match (picture.get(x, y), picture.get(x, y + 1)) {
        (true, true) => '█',
        (true, false) => '▀',
        (false, true) => '▄',
        (false, false) => ' ',
    };
    (0..picture.height() as i32).step_by(2).map(|y| (0..width).map(|x| block(x, y)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_rows_make_one_and_an_odd_last_row_stands_above_nothing() {
        let picture: Bitmap = "##.\n#.#\n.#.\n".parse().expect("drawn");
        assert_eq!(half_blocks(&picture), ["█▀▄", " ▀ "]);
    }
}
