//! A line that moves through an area again and again.

use crate::show::read::layer;
use crate::show::{Lettering, Position, Track};

layer! {
    /// A line of text that moves to the left through an area, again and again.
    Marquee, r#"Marquee(text: "ALL STATIONS", font: "small", at: Bottom, width: 72, columns_a_second: 20)"# {
        /// The text, one line, and its font.
        lettering: Lettering;
        /// Position of the area.
        at: Position;
        /// Width of the area.
        width: Track [0.0, 1000.0];
        /// Speed of the line.
        columns_a_second: f64 [0.1, 1000.0] = 20.0;
        /// Columns between the end of the text and its next repetition.
        gap: u32 [0.0, 1000.0] = 12;
    }
}
