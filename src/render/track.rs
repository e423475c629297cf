//! Numbers that move as whole pixels and whole steps.

use crate::show::Track;
pub(crate) use crate::show::{remainder, value_at};
use crate::whole::floored;

/// Added before rounding down, so that what is whole by the script's numbers is whole here too.
const TOLERANCE: f64 = 1e-9;

/// The value as whole pixels, rounded to the nearest, halves upwards.
pub fn pixels_at(track: &Track, seconds: f64) -> i32 {
    floored(value_at(track, seconds) + 0.5 + TOLERANCE)
}

/// How many whole steps at `rate` a second have been made by a time.
pub fn steps(seconds: f64, rate: f64) -> i64 {
    floored(seconds * rate + TOLERANCE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_round_upwards_and_steps_that_are_whole_stay_whole() {
        assert_eq!(steps(0.3, 10.0), 3);
        assert_eq!(pixels_at(&Track::still(-1.5), 0.0), -1);
        assert_eq!(pixels_at(&Track::still(2.5), 0.0), 3);
    }
}
