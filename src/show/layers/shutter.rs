//! A cover of slats.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// Covers an area with slats that close one beside the other; a share that sinks from 1 to 0 opens them.
    Shutter, r#"Shutter(share: Ramp(from: 1, to: 0, seconds: 1), slats: 5)"#, mode Erase {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// How far the slats are closed.
        share: Track [0.0, 1.0];
        /// How many slats there are.
        slats: u32 [1.0, 100.0] = 5;
        /// Whether the slats stand upright.
        upright: bool = false;
    }
}
