//! A dial with a needle.

use crate::show::read::layer;
use crate::show::{Position, Track};

layer! {
    /// A dial with a scale and a needle. Angles are in degrees, clockwise from the top.
    Dial, r#"Dial(at: Centre, radius: 18, value: Swing(from: 0.1, to: 0.9, seconds: 4), ticks: 7)"# {
        /// The centre, about which the needle turns.
        at: Position;
        /// Pixels from the centre to the outer edge.
        radius: Track [2.0, 500.0];
        /// The reading, from 0 to 1 of the scale.
        value: Track [0.0, 1.0];
        /// Where the scale starts.
        start_degrees: f64 [-360.0, 360.0] = -135.0;
        /// Length of the scale in degrees.
        arc_degrees: f64 [1.0, 360.0] = 270.0;
        /// Number of marks on the scale, including both ends; 0 for none.
        ticks: u32 [0.0, 100.0] = 7;
        /// Length of a mark in pixels.
        tick_length: u32 [1.0, 64.0] = 3;
        /// Length of the needle as a part of the radius.
        needle: f64 [0.1, 1.0] = 0.8;
        /// Width of the needle in pixels.
        stroke: u32 [1.0, 16.0] = 1;
        /// Whether a line is drawn along the scale.
        rim: bool = true;
    }
}
