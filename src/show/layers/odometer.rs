//! A counter of turning wheels.

use super::wheel_font;
use crate::show::read::layer;
use crate::show::{FontId, Position, Track};

layer! {
    /// A counter of wheels: the last one turns evenly, each other one turns on as the one behind it passes from 9 to 0.
    Odometer, r#"Odometer(value: Ramp(from: 195, to: 203, seconds: 8), wheels: 5, font: "large", at: Centre)"#, finish wheel_font {
        /// The number shown.
        value: Track [0.0, 999_999_999.0];
        /// The font it is set in.
        font: FontId;
        /// Where it stands.
        at: Position;
        /// How many wheels it has.
        wheels: u32 [1.0, 9.0] = 5;
        /// Whether lines stand round the wheels.
        frame: bool = true;
    }
}
