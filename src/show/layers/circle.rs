//! A circle.

use crate::show::read::layer;
use crate::show::{Position, Track};

layer! {
    /// A circle, filled or as an outline.
    Circle, r#"Circle(at: Centre, radius: Ramp(from: 0, to: 18, seconds: 2))"# {
        /// Its centre.
        at: Position;
        /// Pixels from its centre to its edge.
        radius: Track [0.0, 500.0];
        /// Whether it is filled.
        fill: bool = false;
        /// Pixels of its outline, inside its radius.
        stroke: u32 [1.0, 64.0] = 1;
    }
}
