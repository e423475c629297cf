//! A frame round an area.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size};

layer! {
    /// A frame round an area, solid or of dashes that run round it; let it flash with `blink`.
    Border, r#"Border(stroke: 2, dash: 4, gap: 4, pixels_a_second: 12)"# {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height, the frame included.
        size: Size [0.0, 1000.0] = FULL;
        /// Pixels of its width, inside its size.
        stroke: u32 [1.0, 64.0] = 1;
        /// Pixels of each dash; 0 for a solid frame.
        dash: u32 [0.0, 500.0] = 0;
        /// Pixels between dashes.
        gap: u32 [1.0, 500.0] = 3;
        /// Pixels that the dashes run each second, clockwise; less than 0 runs the other way.
        pixels_a_second: f64 [-500.0, 500.0] = 0.0;
    }
}
