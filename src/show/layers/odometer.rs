//! A counter of turning wheels.

use super::wheel_font;
use crate::show::read::layer;
use crate::show::{FontId, Position, Track};

layer! {
    /// A mechanical counter. The last wheel turns evenly; each other wheel turns when the one to its right passes from 9 to 0.
    Odometer, r#"Odometer(value: Ramp(from: 195, to: 203, seconds: 8), wheels: 5, font: "large", at: Centre)"#, finish wheel_font {
        /// The number shown.
        value: Track [0.0, 999_999_999.0];
        /// Its font.
        font: FontId;
        /// Its position.
        at: Position;
        /// Number of wheels.
        wheels: u32 [1.0, 9.0] = 5;
        /// Whether the wheels have frames.
        frame: bool = true;
    }
}
