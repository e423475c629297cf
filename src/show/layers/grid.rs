//! A grid of lines.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// A grid of vertical and horizontal lines, which can move.
    Grid, r#"Grid(columns: 9, rows: 9, dots: 2)"# {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Columns from one vertical line to the next; 0 for none.
        columns: u32 [0.0, 500.0] = 8;
        /// Rows from one horizontal line to the next; 0 for none.
        rows: u32 [0.0, 500.0] = 8;
        /// Distance of the dots of a line in pixels; 1 for solid lines.
        dots: u32 [1.0, 64.0] = 1;
        /// Shift of the vertical lines to the right, in columns.
        x: Track [-2000.0, 2000.0] = 0.0;
        /// Shift of the horizontal lines down, in rows.
        y: Track [-2000.0, 2000.0] = 0.0;
    }
}
