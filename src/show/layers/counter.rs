//! A number in digits.

use super::number_font;
use crate::show::read::layer;
use crate::show::{FontId, Position, Track};

layer! {
    /// A number in digits that follows a value.
    Counter, r#"Counter(value: Ramp(from: 0, to: 318, seconds: 3), digits: 4, after: " m", font: "large", at: Centre)"#, finish number_font {
        /// The number shown.
        value: Track [-999_999_999.0, 999_999_999.0];
        /// Its font.
        font: FontId;
        /// Its position.
        at: Position;
        /// The smallest number of digits before the decimal point; zeros fill the places in front.
        digits: u32 [1.0, 9.0] = 1;
        /// Digits after the decimal point.
        decimals: u32 [0.0, 6.0] = 0;
        /// Text before the number.
        before: String = String::new();
        /// Text after the number.
        after: String = String::new();
    }
}
