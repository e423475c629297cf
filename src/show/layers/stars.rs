//! A field of stars.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Side, Size};

layer! {
    /// Stars scattered over an area. They stand still or move; near stars move faster than far ones.
    Stars, r#"Stars(count: 40, pixels_a_second: 12, towards: Left, seed: 7)"# {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Number of stars.
        count: u32 [1.0, 2000.0] = 30;
        /// Speed of the nearest stars; 0 for a still sky.
        pixels_a_second: f64 [0.0, 500.0] = 0.0;
        /// The side to which they move.
        towards: Side = Side::Left;
        /// Number of distances. Stars at the second distance move at 1/2 of the speed, at the third at 1/3, and so on.
        distances: u32 [1.0, 8.0] = 3;
        /// The part of the stars that are dark at a time, 0 to 1. Other stars are dark three times a second; after eight changes the pattern repeats.
        twinkle: f64 [0.0, 1.0] = 0.0;
        /// Start value of the random numbers.
        seed: u32 = 1;
    }
}
