//! A line that passes over an area.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Side, Size};

layer! {
    /// A line that passes over an area again and again, with a fading trail.
    ScanLine, r#"ScanLine(seconds: 2, trail: 8, mode: Invert)"# {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Seconds of each pass.
        seconds: f64 [0.1, 600.0] = 2.0;
        /// The side at which it comes in.
        from_side: Side = Side::Top;
        /// Pixels of its width.
        stroke: u32 [1.0, 64.0] = 1;
        /// Pixels of its trail; 0 for none.
        trail: u32 [0.0, 500.0] = 0;
    }
}
