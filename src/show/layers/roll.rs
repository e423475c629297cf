//! Lines that roll up through an area.

use crate::show::read::layer;
use crate::show::{Lettering, Position, Size};

layer! {
    /// Lines that roll up through an area, entering at its lower edge, `step` rows at a time.
    Roll, r#"Roll(text: ["TRIM OK", "CELLS 7.4V", "HULL 44 BAR"], font: "small", at: Top, size: (72, 30), rows_a_second: 12)"# {
        /// The text and its font.
        lettering: Lettering;
        /// Where the area stands.
        at: Position;
        /// Width and height of the area.
        size: Size [0.0, 1000.0];
        /// Rows that the text rises each second.
        rows_a_second: f64 [0.1, 1000.0] = 8.0;
        /// Rows that it rises at once; a font's line height makes it jump line by line.
        step: u32 [1.0, 64.0] = 1;
    }
}
