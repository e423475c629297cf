//! A cover of slats.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// Covers an area with slats that close side by side. Let `share` go from 1 to 0 to open them.
    Shutter, r#"Shutter(share: Ramp(from: 1, to: 0, seconds: 1), slats: 5)"#, mode Erase {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// How far the slats are closed.
        share: Track [0.0, 1.0];
        /// Number of slats.
        slats: u32 [1.0, 100.0] = 5;
        /// Whether the slats are vertical.
        upright: bool = false;
    }
}
