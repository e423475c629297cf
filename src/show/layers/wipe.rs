//! A cover that comes from one side.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Side, Size, Track};

layer! {
    /// Covers an area from one side. Let `share` go from 1 to 0 to uncover what lies below.
    Wipe, r#"Wipe(share: Ramp(from: 1, to: 0, seconds: 1), from_side: Right)"#, mode Erase {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// The covered part of the area, 0 to 1.
        share: Track [0.0, 1.0];
        /// The side from which the cover grows.
        from_side: Side = Side::Left;
    }
}
