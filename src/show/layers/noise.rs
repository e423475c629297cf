//! Flickering grains.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// Random flickering grains, like a screen without a signal.
    Noise, r#"Noise(share: 0.3, times_a_second: 10, seed: 1)"# {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// The part of the grains that are ink, 0 to 1.
        share: Track [0.0, 1.0] = 0.5;
        /// How often they change.
        times_a_second: f64 [0.1, 100.0] = 10.0;
        /// Side of each grain in pixels.
        grain: u32 [1.0, 64.0] = 1;
        /// Start value of the random numbers.
        seed: u32 = 1;
    }
}
