//! A still text.

use crate::show::read::layer;
use crate::show::{Lettering, Position};

layer! {
    /// A still text.
    Text, r#"Text(text: "DEPTH", font: "small", at: Top(0, 1))"# {
        /// The text and its font.
        lettering: Lettering;
        /// Where it stands.
        at: Position;
    }
}
