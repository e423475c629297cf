//! A cover of scattered pixels.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// Covers an area pixel by pixel in an even pattern; a share that sinks from 1 to 0 lets what lies below appear.
    Dissolve, r#"Dissolve(share: Ramp(from: 1, to: 0, seconds: 1))"#, mode Erase {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// How much of it is covered.
        share: Track [0.0, 1.0];
        /// Side of each grain in pixels.
        grain: u32 [1.0, 64.0] = 1;
    }
}
