//! A cover of scattered pixels.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// Covers an area pixel by pixel in an even pattern. Let `share` go from 1 to 0 to uncover what lies below.
    Dissolve, r#"Dissolve(share: Ramp(from: 1, to: 0, seconds: 1))"#, mode Erase {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// The covered part of the area, 0 to 1.
        share: Track [0.0, 1.0];
        /// Side of each grain in pixels.
        grain: u32 [1.0, 64.0] = 1;
    }
}
