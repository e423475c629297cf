//! Progress in steps.

use crate::show::read::layer;
use crate::show::{Position, Side, Size, Track};

layer! {
    /// A row of boxes that fill one after another.
    Steps, r#"Steps(at: Centre, size: (50, 8), count: 6, done: Ramp(from: 0, to: 6, seconds: 6))"# {
        /// Its position.
        at: Position;
        /// Width and height of the whole row.
        size: Size [1.0, 1000.0];
        /// Number of steps.
        count: u32 [1.0, 100.0] = 5;
        /// Number of steps that are done; a part of a step does not count.
        done: Track [0.0, 100.0];
        /// Pixels between the boxes.
        gap: u32 [0.0, 64.0] = 2;
        /// The side from which they fill.
        from_side: Side = Side::Left;
    }
}
