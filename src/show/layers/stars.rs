//! A field of stars.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Side, Size};

layer! {
    /// Stars scattered over an area, still or passing by, the near ones faster than the far ones.
    Stars, r#"Stars(count: 40, pixels_a_second: 12, towards: Left, seed: 7)"# {
        /// Where the area stands.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// How many stars there are.
        count: u32 [1.0, 2000.0] = 30;
        /// Pixels that the nearest stars move each second; 0 for still ones.
        pixels_a_second: f64 [0.0, 500.0] = 0.0;
        /// The side towards which they move.
        towards: Side = Side::Left;
        /// Distances at which they stand; the second one moves at half the speed, the third at a third of it.
        distances: u32 [1.0, 8.0] = 3;
        /// The share of stars that are out at a time, changing three times a second.
        twinkle: f64 [0.0, 1.0] = 0.0;
        /// Chooses among many such skies.
        seed: u32 = 1;
    }
}
