//! Range rings.

use crate::show::read::layer;
use crate::show::{Position, Track};

layer! {
    /// Rings about a centre at equal distances, with spokes if wanted.
    Rings, r#"Rings(at: Centre, radius: 18, count: 3, spokes: 4)"# {
        /// The centre.
        at: Position;
        /// Pixels from the centre to the outermost ring.
        radius: Track [1.0, 500.0];
        /// How many rings there are.
        count: u32 [1.0, 64.0] = 3;
        /// How many lines run from the centre to the outermost ring, the first one upwards.
        spokes: u32 [0.0, 64.0] = 0;
        /// Draws only every so many pixels; 1 for solid rings.
        dots: u32 [1.0, 16.0] = 1;
    }
}
