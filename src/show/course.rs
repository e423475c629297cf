//! The value of a moving number at a time, along the easing curves.

use super::{Curve, Ease, Key, Slow, Track};
use std::f64::consts::{PI, TAU};

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

/// The rest of a time in a period, 0 up to the period; a time that falls on a multiple by the script's numbers gives 0.
pub fn remainder(seconds: f64, period: f64) -> f64 {
    let rest = seconds - (seconds / period + SECONDS_TOLERANCE).floor() * period;
    rest.max(0.0)
}

fn between(from: &Key, to: &Key, seconds: f64) -> f64 {
    let share = ((seconds - from.seconds) / (to.seconds - from.seconds)).clamp(0.0, 1.0);
    from.value + (to.value - from.value) * eased(to.ease, share)
}

/// The course of an ease: 0 to 1 over 0 to 1, by R. Penner's published equations.
pub fn eased(ease: Ease, share: f64) -> f64 {
    match ease {
        Ease::Linear => share,
        Ease::Step => f64::from(u8::from(share >= 1.0)),
        Ease::Along(_, _) if share <= 0.0 => 0.0,
        Ease::Along(_, _) if share >= 1.0 => 1.0,
        Ease::Along(curve, Slow::Start) => curved(curve, share, false),
        Ease::Along(curve, Slow::End) => 1.0 - curved(curve, 1.0 - share, false),
        Ease::Along(curve, Slow::Both) if share < 0.5 => curved(curve, 2.0 * share, true) / 2.0,
        Ease::Along(curve, Slow::Both) => 1.0 - curved(curve, 2.0 - 2.0 * share, true) / 2.0,
    }
}

/// How far a curve that swings back goes beyond: a tenth of the way (Penner's overshoot), and the factor for both ends.
const OVERSHOOT: f64 = 1.70158;
const OVERSHOOT_OF_BOTH: f64 = 1.525;
/// The period of an elastic swing, as a share of the way; half as long again for both ends.
const PERIOD: f64 = 0.3;
const PERIOD_OF_BOTH: f64 = 0.45;

/// A curve that is slow at its start; `both` chooses the constants that Penner has for curves slow at both ends.
fn curved(curve: Curve, t: f64, both: bool) -> f64 {
    match curve {
        Curve::Sine => 1.0 - libm::cos(t * PI / 2.0),
        Curve::Square => t * t,
        Curve::Cubic => t * t * t,
        Curve::Fourth => t * t * t * t,
        Curve::Fifth => t * t * t * t * t,
        Curve::Exponential => libm::exp2(10.0 * t - 10.0),
        Curve::Circular => 1.0 - libm::sqrt(1.0 - t * t),
        Curve::Back => {
            let over = OVERSHOOT * if both { OVERSHOOT_OF_BOTH } else { 1.0 };
            t * t * ((over + 1.0) * t - over)
        }
        Curve::Elastic => {
            let period = if both { PERIOD_OF_BOTH } else { PERIOD };
            let turn = (t - 1.0 - period / 4.0) * TAU / period;
            -libm::exp2(10.0 * t - 10.0) * libm::sin(turn)
        }
        Curve::Bounce => 1.0 - bounced(1.0 - t),
    }
}

/// Falls and springs up three times, each time less.
fn bounced(t: f64) -> f64 {
    const STEEPNESS: f64 = 7.5625;
    const SPAN: f64 = 2.75;
    let spring = |middle: f64, height: f64| STEEPNESS * (t - middle / SPAN) * (t - middle / SPAN) + height;
    match t * SPAN {
        at if at < 1.0 => STEEPNESS * t * t,
        at if at < 2.0 => spring(1.5, 0.75),
        at if at < 2.5 => spring(2.25, 0.9375),
        _ => spring(2.625, 0.984375),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn track(keys: &[(f64, f64, Ease)], repeat: bool) -> Track {
        let keys =
            keys.iter().map(|(seconds, value, ease)| Key { seconds: *seconds, value: *value, ease: *ease }).collect();
        Track { keys, repeat, live: None }
    }

    /// The quadratic eases of Robert Penner's published equations, worked by hand at a quarter and three quarters.
    #[test]
    fn eases_pass_through_the_published_values() {
        for (ease, quarter, three_quarters) in
            [(Ease::IN, 0.0625, 0.5625), (Ease::OUT, 0.4375, 0.9375), (Ease::IN_OUT, 0.125, 0.875)]
        {
            assert_eq!((eased(ease, 0.25), eased(ease, 0.75)), (quarter, three_quarters), "{ease:?}");
        }
    }

    /// All curves against an independent library of easing functions from the package registry, in single precision.
    #[test]
    fn eases_are_those_of_an_independent_library() {
        use simple_easing as theirs;
        type Theirs = fn(f32) -> f32;
        let curves: [(&str, Theirs); 30] = [
            ("SineIn", theirs::sine_in),
            ("SineOut", theirs::sine_out),
            ("SineInOut", theirs::sine_in_out),
            ("In", theirs::quad_in),
            ("Out", theirs::quad_out),
            ("InOut", theirs::quad_in_out),
            ("CubicIn", theirs::cubic_in),
            ("CubicOut", theirs::cubic_out),
            ("CubicInOut", theirs::cubic_in_out),
            ("FourthIn", theirs::quart_in),
            ("FourthOut", theirs::quart_out),
            ("FourthInOut", theirs::quart_in_out),
            ("FifthIn", theirs::quint_in),
            ("FifthOut", theirs::quint_out),
            ("FifthInOut", theirs::quint_in_out),
            ("ExponentialIn", theirs::expo_in),
            ("ExponentialOut", theirs::expo_out),
            ("ExponentialInOut", theirs::expo_in_out),
            ("CircularIn", theirs::circ_in),
            ("CircularOut", theirs::circ_out),
            ("CircularInOut", theirs::circ_in_out),
            ("BackIn", theirs::back_in),
            ("BackOut", theirs::back_out),
            ("BackInOut", theirs::back_in_out),
            ("ElasticIn", theirs::elastic_in),
            ("ElasticOut", theirs::elastic_out),
            ("ElasticInOut", theirs::elastic_in_out),
            ("BounceIn", theirs::bounce_in),
            ("BounceOut", theirs::bounce_out),
            ("BounceInOut", theirs::bounce_in_out),
        ];
        assert_eq!(curves.len() + 2, Ease::WORDS.len());
        for (name, theirs) in curves {
            let (_, ease) = Ease::WORDS.iter().find(|(word, _)| *word == name).expect("a word");
            for step in 0..=100 {
                let share = f64::from(step) / 100.0;
                #[expect(clippy::cast_possible_truncation, reason = "the other library computes in single precision")]
                let off = eased(*ease, share) - f64::from(theirs(share as f32));
                assert!(off.abs() < 2e-4, "{name} at {share} is {off} off");
            }
        }
    }

    #[test]
    fn a_track_holds_before_and_after_its_keys_and_starts_again_when_it_repeats() {
        let keys = [(1.0, 10.0, Ease::Linear), (3.0, 20.0, Ease::Linear)];
        let once = track(&keys, false);
        assert_eq!([0.0, 1.0, 2.0, 3.0, 9.0].map(|at| value_at(&once, at)), [10.0, 10.0, 15.0, 20.0, 20.0]);
        let again = track(&keys, true);
        assert_eq!([2.0, 3.0, 5.0].map(|at| value_at(&again, at)), [15.0, 10.0, 15.0]);
    }
}
