//! Lines that roll up through an area.

use crate::show::read::layer;
use crate::show::{Lettering, Position, Size};

layer! {
    /// Lines of text that scroll up through an area, `step` rows at a time. They enter at its lower edge.
    Roll, r#"Roll(text: ["TRIM OK", "CELLS 7.4V", "HULL 44 BAR"], font: "small", at: Top, size: (72, 30), rows_a_second: 12)"# {
        /// The text and its font.
        lettering: Lettering;
        /// Position of the area.
        at: Position;
        /// Width and height of the area.
        size: Size [0.0, 1000.0];
        /// Speed of the text.
        rows_a_second: f64 [0.1, 1000.0] = 8.0;
        /// Rows per step. Use the line height of the font to scroll line by line.
        step: u32 [1.0, 64.0] = 1;
    }
}
