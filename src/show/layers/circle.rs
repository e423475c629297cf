//! A circle.

use crate::show::read::layer;
use crate::show::{Position, Track};

layer! {
    /// A circle, filled or outlined.
    Circle, r#"Circle(at: Centre, radius: Ramp(from: 0, to: 18, seconds: 2))"# {
        /// Its centre.
        at: Position;
        /// Its radius in pixels.
        radius: Track [0.0, 500.0];
        /// Whether it is filled.
        fill: bool = false;
        /// Line width in pixels, inward from the radius.
        stroke: u32 [1.0, 64.0] = 1;
    }
}
