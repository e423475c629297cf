//! A still text.

use crate::show::read::layer;
use crate::show::{Lettering, Position};

layer! {
    /// A text that does not move.
    Text, r#"Text(text: "DEPTH", font: "small", at: Top(0, 1))"# {
        /// The text and its font.
        lettering: Lettering;
        /// Its position.
        at: Position;
    }
}
