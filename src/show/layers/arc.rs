//! An arc.

use crate::show::read::layer;
use crate::show::{Position, Track};

layer! {
    /// A part of a circle. Angles are in degrees, clockwise from the top.
    Arc, r#"Arc(at: Centre, radius: 16, start_degrees: -135, arc_degrees: Ramp(from: 0, to: 270, seconds: 2), stroke: 3)"# {
        /// The centre of the circle.
        at: Position;
        /// Pixels from its centre to its outer edge.
        radius: Track [0.0, 500.0];
        /// Where it starts.
        start_degrees: Track [-720.0, 720.0] = 0.0;
        /// Its length in degrees, clockwise; 0 draws nothing.
        arc_degrees: Track [0.0, 360.0] = 180.0;
        /// Line width in pixels, inward from the radius.
        stroke: u32 [1.0, 64.0] = 1;
    }
}
