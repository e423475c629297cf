//! A text that appears letter by letter.

use crate::show::read::layer;
use crate::show::{Lettering, Position};

layer! {
    /// A text that appears letter by letter, with or without a block cursor.
    Typed, r#"Typed(text: "POWER ON", font: "small", at: TopLeft(0, 1), letters_a_second: 12)"# {
        /// The text and its font.
        lettering: Lettering;
        /// Position of the whole text.
        at: Position;
        /// Speed of typing.
        letters_a_second: f64 [0.1, 1000.0] = 12.0;
        /// Whether a block cursor follows the last letter.
        cursor: bool = true;
    }
}
