//! Range rings.

use crate::show::read::layer;
use crate::show::{Position, Track};

layer! {
    /// Concentric rings at equal distances, with optional spokes.
    Rings, r#"Rings(at: Centre, radius: 18, count: 3, spokes: 4)"# {
        /// The centre.
        at: Position;
        /// Radius of the outermost ring in pixels.
        radius: Track [1.0, 500.0];
        /// Number of rings.
        count: u32 [1.0, 64.0] = 3;
        /// Number of lines from the centre to the outermost ring; the first one points up.
        spokes: u32 [0.0, 64.0] = 0;
        /// Distance of the dots in pixels; 1 for solid rings.
        dots: u32 [1.0, 16.0] = 1;
    }
}
