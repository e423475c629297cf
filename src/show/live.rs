//! Live fields: texts in a scene that the firmware writes while the show plays, such as a depth or a voltage.

use super::{FontId, Position};
use crate::diag::Span;
use crate::whole::limited;

/// A field as the script describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveField {
    pub name: String,
    pub span: Span,
    pub font: FontId,
    /// The characters that the firmware can write, each once: Latin-1 without the space, which is always included.
    pub characters: Vec<char>,
    /// How many characters it holds, 1 to 32.
    pub cells: u32,
    pub align: Align,
    /// The position of the field. It does not move.
    pub at: Position,
    /// What previews show: from a second of the scene on, a text.
    pub samples: Vec<(f64, String)>,
}

/// Where a text is placed that is shorter than its field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    Left,
    Centre,
    Right,
}

impl Align {
    /// The alignment as in the player's tables: by how many halves of the remaining width a shorter text moves to the right.
    pub fn code(self) -> u8 {
        match self {
            Align::Left => 0,
            Align::Centre => 1,
            Align::Right => 2,
        }
    }
}

impl LiveField {
    /// For each of its characters, from the left, the number of the character that a text shows there, from 1; 0 for none. What does
    /// not fit is cut off.
    pub fn numbers(&self, text: &str) -> Vec<u8> {
        let letters: Vec<char> = text.chars().take(self.cells as usize).collect();
        let rest = self.cells as usize - letters.len();
        let before = rest * usize::from(self.align.code()) / 2;
        let mut numbers = vec![0; self.cells as usize];
        for (number, letter) in numbers[before..].iter_mut().zip(letters) {
            *number = self.characters.iter().position(|own| *own == letter).map_or(0, |at| limited(at + 1));
        }
        numbers
    }
    /// The text that previews show at a time of the scene; empty before the first sample.
    pub fn sample(&self, seconds: f64) -> &str {
        /// Times closer than this count as equal.
        const TOLERANCE: f64 = 1e-9;
        let shown = self.samples.iter().rfind(|(at, _)| *at <= seconds + TOLERANCE);
        shown.map_or("", |(_, text)| text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;
    use crate::show::{Anchor, Track};

    /// By hand: five cells, `1` to `4` and the point are numbers 1 to 5, an odd rest in the centre goes behind the text.
    #[test]
    fn characters_of_a_text_stand_where_its_alignment_puts_them() {
        let span = Span { file: Sources::default().add(String::new(), String::new()), start: 0, end: 0 };
        let at = Position { anchor: Anchor::Centre, x: Track::still(0.0), y: Track::still(0.0) };
        let of = |align: Align, text: &str| {
            let (name, characters) = (String::new(), "1234.".chars().collect());
            let (font, at) = (FontId(0), at.clone());
            LiveField { name, span, font, characters, cells: 5, align, at, samples: Vec::new() }.numbers(text)
        };
        assert_eq!(of(Align::Left, "12"), [1, 2, 0, 0, 0]);
        assert_eq!(of(Align::Centre, "12"), [0, 1, 2, 0, 0]);
        assert_eq!(of(Align::Right, "12"), [0, 0, 0, 1, 2]);
        assert_eq!(of(Align::Centre, "1 x."), [1, 0, 0, 5, 0]);
        assert_eq!(of(Align::Right, "4321.4"), [4, 3, 2, 1, 5]);
        assert_eq!(of(Align::Right, ""), [0; 5]);
    }
}
