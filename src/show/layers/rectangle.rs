//! A rectangle.

use crate::show::read::layer;
use crate::show::{Position, Size};

layer! {
    /// A rectangle, filled or as an outline.
    Rectangle, r#"Rectangle(at: Centre, size: (20, 10), stroke: 1)"# {
        /// Where it stands.
        at: Position;
        /// Width and height.
        size: Size [0.0, 1000.0];
        /// Whether it is filled.
        fill: bool = false;
        /// Pixels of its outline, inside its size.
        stroke: u32 [1.0, 64.0] = 1;
    }
}
