//! A line of hills.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size};

layer! {
    /// Random hills, still or moving to the left.
    Terrain, r#"Terrain(at: Bottom, size: (72, 20), bump: 12, columns_a_second: 10, seed: 4, fill: true)"# {
        /// Position of the area.
        at: Position = Anchor::Bottom;
        /// Width and height of the area. Hills and valleys stay inside it.
        size: Size [0.0, 1000.0] = FULL;
        /// Average distance from hill to hill, in columns.
        bump: u32 [2.0, 500.0] = 16;
        /// Speed to the left; 0 for a still landscape.
        columns_a_second: f64 [0.0, 500.0] = 0.0;
        /// Whether the area below the line is filled.
        fill: bool = false;
        /// Start value of the random numbers.
        seed: u32 = 1;
    }
}
