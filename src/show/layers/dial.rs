//! A dial with a needle.

use crate::show::read::layer;
use crate::show::{Position, Track};

layer! {
    /// A dial with a scale and a needle; angles in degrees, clockwise from the top as the viewer sees it.
    Dial, r#"Dial(at: Centre, radius: 18, value: Swing(from: 0.1, to: 0.9, seconds: 4), ticks: 7)"# {
        /// The centre of the needle's turn.
        at: Position;
        /// Pixels from the centre to the outer edge.
        radius: Track [2.0, 500.0];
        /// Where the needle stands on the scale.
        value: Track [0.0, 1.0];
        /// Where the scale begins.
        start_degrees: f64 [-360.0, 360.0] = -135.0;
        /// How far the scale goes from there.
        arc_degrees: f64 [1.0, 360.0] = 270.0;
        /// Marks of the scale, both ends counted; 0 for none.
        ticks: u32 [0.0, 100.0] = 7;
        /// Pixels of each mark.
        tick_length: u32 [1.0, 64.0] = 3;
        /// Length of the needle as a share of the radius.
        needle: f64 [0.1, 1.0] = 0.8;
        /// Pixels of the needle's width.
        stroke: u32 [1.0, 16.0] = 1;
        /// Whether a line runs along the scale.
        rim: bool = true;
    }
}
