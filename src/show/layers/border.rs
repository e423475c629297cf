//! A frame round an area.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size};

layer! {
    /// A frame around an area: solid, or dashes that move around it. Use `blink` to make it flash.
    Border, r#"Border(stroke: 2, dash: 4, gap: 4, pixels_a_second: 12)"# {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height, including the frame.
        size: Size [0.0, 1000.0] = FULL;
        /// Line width in pixels, inward from the edge.
        stroke: u32 [1.0, 64.0] = 1;
        /// Length of a dash in pixels; 0 for a solid frame.
        dash: u32 [0.0, 500.0] = 0;
        /// Pixels between dashes.
        gap: u32 [1.0, 500.0] = 3;
        /// Speed of the dashes, clockwise; negative for anticlockwise.
        pixels_a_second: f64 [-500.0, 500.0] = 0.0;
    }
}
