//! A grid of lines.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// A grid of upright and level lines, which may move.
    Grid, r#"Grid(columns: 9, rows: 9, dots: 2)"# {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Columns from one upright line to the next; 0 for none.
        columns: u32 [0.0, 500.0] = 8;
        /// Rows from one level line to the next; 0 for none.
        rows: u32 [0.0, 500.0] = 8;
        /// Draws only every so many pixels of each line; 1 for solid lines.
        dots: u32 [1.0, 64.0] = 1;
        /// Columns by which the upright lines are moved to the right.
        x: Track [-2000.0, 2000.0] = 0.0;
        /// Rows by which the level lines are moved down.
        y: Track [-2000.0, 2000.0] = 0.0;
    }
}
