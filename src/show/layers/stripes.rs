//! Slanting stripes.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size};

layer! {
    /// Slanting stripes, as on a hazard sign, which can move.
    Stripes, r#"Stripes(at: Bottom, size: (72, 8), width: 5, pixels_a_second: 10)"# {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Width of a stripe and of a gap, in columns.
        width: u32 [1.0, 200.0] = 4;
        /// Speed to the right; negative for the left.
        pixels_a_second: f64 [-500.0, 500.0] = 0.0;
        /// Whether they lean to the left instead of the right.
        leaning_left: bool = false;
    }
}
