//! A rectangle.

use crate::show::read::layer;
use crate::show::{Position, Size};

layer! {
    /// A rectangle, filled or outlined.
    Rectangle, r#"Rectangle(at: Centre, size: (20, 10), stroke: 1)"# {
        /// Its position.
        at: Position;
        /// Width and height.
        size: Size [0.0, 1000.0];
        /// Whether it is filled.
        fill: bool = false;
        /// Line width in pixels, inward from the edge.
        stroke: u32 [1.0, 64.0] = 1;
    }
}
