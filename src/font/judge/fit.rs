//! Which lines fit a width, and how many characters a line can hold.

use crate::font::{Font, Symbol, symbols};
use crate::whole::limited;

/// A line against a width.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineFit {
    /// Width of the line in pixels.
    pub width: i32,
    /// Pixels beyond the width; 0 when it fits.
    pub excess: i32,
    /// How many elements of the text, from its start, fit.
    pub fitting: usize,
}

/// Holds one line of text against a width in pixels.
pub fn fit(font: &Font, text: &str, width: i32) -> LineFit {
    let line = font.layout(text);
    let fitting = line.sets.iter().take_while(|set| set.x + set.glyph.right() <= width).count();
    let excess = (line.width - width).max(0);
    LineFit { width: line.width, excess, fitting: if excess == 0 { line.sets.len() } else { fitting } }
}

/// How many characters of a text's own mix fit a width: the mean advance of its visible characters decides. `None` for a text
/// without any. This is the longest line to plan with.
pub fn roomiest(font: &Font, text: &str, width: i32) -> Option<u32> {
    let advances: Vec<i32> = symbols(text)
        .iter()
        .filter(|symbol| !matches!(symbol, Symbol::Char('\n' | '\r')))
        .filter_map(|symbol| font.id(symbol))
        .map(|id| font.by_id(id).advance())
        .collect();
    let total: i64 = advances.iter().map(|advance| i64::from(*advance)).sum();
    // The gap behind the last character does not count.
    let room = i64::from(width) + i64::from(font.metrics().gap);
    (total > 0 && room > 0).then(|| limited(room * limited::<i64, usize>(advances.len()) / total))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mono_line_of_72_pixels_holds_18_characters_of_cleat() {
        let font = Font::shipped("cleat");
        assert_eq!(roomiest(&font, "DEPTH 128 M", 72), Some(18));
        assert_eq!(fit(&font, "ABCDEFGHIJKLMNOPQR", 72), LineFit { width: 71, excess: 0, fitting: 18 });
        assert_eq!(fit(&font, "ABCDEFGHIJKLMNOPQRS", 72), LineFit { width: 75, excess: 3, fitting: 18 });
        assert_eq!(roomiest(&font, "", 72), None);
    }
}
