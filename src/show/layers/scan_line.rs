//! A line that passes over an area.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Side, Size};

layer! {
    /// A line with a fading trail that passes over an area again and again.
    ScanLine, r#"ScanLine(seconds: 2, trail: 8, mode: Invert)"# {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Seconds for one pass.
        seconds: f64 [0.1, 600.0] = 2.0;
        /// The side at which it enters.
        from_side: Side = Side::Top;
        /// Line width in pixels.
        stroke: u32 [1.0, 64.0] = 1;
        /// Length of the trail in pixels; 0 for none.
        trail: u32 [0.0, 500.0] = 0;
    }
}
