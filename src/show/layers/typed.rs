//! A text that appears letter by letter.

use crate::show::read::layer;
use crate::show::{Lettering, Position};

layer! {
    /// A text that appears letter by letter, with a block cursor if wanted.
    Typed, r#"Typed(text: "POWER ON", font: "small", at: TopLeft(0, 1), letters_a_second: 12)"# {
        /// The text and its font.
        lettering: Lettering;
        /// Where the whole text stands.
        at: Position;
        /// Letters that appear each second.
        letters_a_second: f64 [0.1, 1000.0] = 12.0;
        /// Whether a block stands behind the last letter.
        cursor: bool = true;
    }
}
