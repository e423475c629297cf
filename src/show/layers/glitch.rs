//! Bands of the picture torn sideways.

use crate::show::place::FULL;
use crate::show::read::layer;
use crate::show::{Anchor, Position, Size, Track};

layer! {
    /// Shifts bands of the picture below sideways, like a bad signal. It draws nothing itself.
    Glitch, r#"Glitch(pixels: 6, share: 0.4, times_a_second: 8, seed: 1)"# {
        /// Position of the area.
        at: Position = Anchor::Centre;
        /// Width and height of the area.
        size: Size [0.0, 1000.0] = FULL;
        /// Largest shift of a band in pixels.
        pixels: Track [0.0, 500.0] = 4.0;
        /// The part of the bands that are shifted at a time, 0 to 1.
        share: Track [0.0, 1.0] = 0.4;
        /// Rows of a band.
        rows: u32 [1.0, 64.0] = 3;
        /// How often the shifts change. After 16 changes they repeat.
        times_a_second: f64 [0.1, 100.0] = 8.0;
        /// Start value of the random numbers.
        seed: u32 = 1;
    }
}
