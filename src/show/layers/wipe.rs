//! A cover that comes from one side.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Side, Size, Track};

layer! {
    /// Covers an area from one side on; a share that sinks from 1 to 0 uncovers what lies below.
    Wipe, r#"Wipe(share: Ramp(from: 1, to: 0, seconds: 1), from_side: Right)"#, mode Erase {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// How much of it is covered.
        share: Track [0.0, 1.0];
        /// The side at which the cover begins.
        from_side: Side = Side::Left;
    }
}
