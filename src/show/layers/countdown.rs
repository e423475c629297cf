//! A clock that runs down.

use super::clock_font;
use crate::show::read::layer;
use crate::show::{ClockForm, FontId, Position};

layer! {
    /// A clock that counts down to zero and stops there.
    Countdown, r#"Countdown(seconds: 90, font: "large", at: Centre)"#, finish clock_font {
        /// Seconds at the start.
        seconds: f64 [0.1, 360_000.0];
        /// Its font.
        font: FontId;
        /// Its position.
        at: Position;
        /// `90`, `90.0`, `1:30` or `0:01:30`.
        form: ClockForm = ClockForm::MinutesSeconds;
        /// Whether it counts up from zero instead.
        up: bool = false;
    }
}
