//! A clock that runs down.

use super::clock_font;
use crate::show::read::layer;
use crate::show::{ClockForm, FontId, Position};

layer! {
    /// A clock that runs down to zero and stays there.
    Countdown, r#"Countdown(seconds: 90, font: "large", at: Centre)"#, finish clock_font {
        /// Seconds that it begins with.
        seconds: f64 [0.1, 360_000.0];
        /// The font it is set in.
        font: FontId;
        /// Where it stands.
        at: Position;
        /// `90`, `90.0`, `1:30` or `0:01:30`.
        form: ClockForm = ClockForm::MinutesSeconds;
        /// Whether it runs up from zero instead.
        up: bool = false;
    }
}
