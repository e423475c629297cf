//! A line of hills.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size};

layer! {
    /// A line of hills, drawn from a seed, still or passing by to the left.
    Terrain, r#"Terrain(at: Bottom, size: (72, 20), bump: 12, columns_a_second: 10, seed: 4, fill: true)"# {
        /// Where the area stands.
        at: Position = Anchor::Bottom;
        /// Width and height of the area, which the highest hill and the lowest valley touch at most.
        size: Size [0.0, 1000.0] = FULL;
        /// Columns from one hill to the next, about.
        bump: u32 [2.0, 500.0] = 16;
        /// Columns that it moves to the left each second; 0 for a still one.
        columns_a_second: f64 [0.0, 500.0] = 0.0;
        /// Whether it is filled below the line.
        fill: bool = false;
        /// Chooses among many such lands.
        seed: u32 = 1;
    }
}
