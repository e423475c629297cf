//! A straight line.

use crate::show::Position;
use crate::show::read::layer;

layer! {
    /// A straight line between two positions.
    Line, r#"Line(start: (0, 20), end: (Ramp(from: 0, to: 71, seconds: 3), 30), stroke: 2)"# {
        /// Where it starts.
        start: Position;
        /// Where it ends; that pixel is drawn too.
        end: Position;
        /// Line width in pixels.
        stroke: u32 [1.0, 64.0] = 1;
    }
}
