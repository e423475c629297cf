//! Numbers that move: the value of a track at a time.

use crate::show::{Ease, Key, Track};

/// Times closer than this count as equal, so that a frame that falls on a key by the script's numbers falls on it here too.
const SECONDS_TOLERANCE: f64 = 1e-9;

/// The value at a time in seconds from the layer's start: the first key's value before it, the last key's after it.
pub fn value_at(track: &Track, seconds: f64) -> f64 {
    let Some((first, last)) = track.keys.first().zip(track.keys.last()) else { return 0.0 };
    let seconds = if track.repeat && last.seconds > 0.0 { remainder(seconds, last.seconds) } else { seconds };
    let after = track.keys.iter().position(|key| key.seconds > seconds + SECONDS_TOLERANCE);
    match after {
        None => last.value,
        Some(0) => first.value,
        Some(next) => between(&track.keys[next - 1], &track.keys[next], seconds),
    }
}

/// The value as whole pixels, rounded to the nearest, halves upwards.
pub fn pixels_at(track: &Track, seconds: f64) -> i32 {
    (value_at(track, seconds) + 0.5 + SECONDS_TOLERANCE).floor() as i32
}

/// How many whole steps at `rate` a second have been made by a time.
pub fn steps(seconds: f64, rate: f64) -> i64 {
    (seconds * rate + SECONDS_TOLERANCE).floor() as i64
}

/// The rest of a time in a period, 0 up to the period; a time that falls on a multiple by the script's numbers gives 0.
pub fn remainder(seconds: f64, period: f64) -> f64 {
    let rest = seconds - (seconds / period + SECONDS_TOLERANCE).floor() * period;
    rest.max(0.0)
}

fn between(from: &Key, to: &Key, seconds: f64) -> f64 {
    let share = ((seconds - from.seconds) / (to.seconds - from.seconds)).clamp(0.0, 1.0);
    from.value + (to.value - from.value) * eased(to.ease, share)
}

/// The course of an ease: 0 to 1 over 0 to 1.
pub fn eased(ease: Ease, share: f64) -> f64 {
    match ease {
        Ease::Linear => share,
        Ease::In => share * share,
        Ease::Out => share * (2.0 - share),
        Ease::InOut if share < 0.5 => 2.0 * share * share,
        Ease::InOut => 1.0 - 2.0 * (1.0 - share) * (1.0 - share),
        Ease::Step => {
            if share < 1.0 {
                0.0
            } else {
                1.0
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn track(keys: &[(f64, f64, Ease)], repeat: bool) -> Track {
        let keys =
            keys.iter().map(|(seconds, value, ease)| Key { seconds: *seconds, value: *value, ease: *ease }).collect();
        Track { keys, repeat }
    }

    /// The quadratic eases of Robert Penner's published equations, worked by hand at a quarter and three quarters.
    #[test]
    fn eases_pass_through_the_published_values() {
        for (ease, quarter, three_quarters) in
            [(Ease::In, 0.0625, 0.5625), (Ease::Out, 0.4375, 0.9375), (Ease::InOut, 0.125, 0.875)]
        {
            assert_eq!((eased(ease, 0.25), eased(ease, 0.75)), (quarter, three_quarters), "{ease:?}");
        }
    }

    #[test]
    fn a_track_holds_before_and_after_its_keys_and_starts_again_when_it_repeats() {
        let keys = [(1.0, 10.0, Ease::Linear), (3.0, 20.0, Ease::Linear)];
        let once = track(&keys, false);
        assert_eq!([0.0, 1.0, 2.0, 3.0, 9.0].map(|at| value_at(&once, at)), [10.0, 10.0, 15.0, 20.0, 20.0]);
        let again = track(&keys, true);
        assert_eq!([2.0, 3.0, 5.0].map(|at| value_at(&again, at)), [15.0, 10.0, 15.0]);
        assert_eq!(steps(0.3, 10.0), 3);
        assert_eq!(pixels_at(&Track::still(-1.5), 0.0), -1);
    }
}
