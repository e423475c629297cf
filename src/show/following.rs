//! Live values: numbers that the firmware sets while the show plays, and what follows them.

use super::course::value_at;
use super::track::Track;
use crate::diag::Span;
use crate::whole::{limited, rounded};

/// Names a live value by its place in [`Show::live`](crate::show::Show::live).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LiveId(pub usize);

/// A number that the firmware sets.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveValue {
    pub name: String,
    pub span: Span,
    /// The lowest and the highest value.
    pub from: i16,
    pub to: i16,
    /// The number of steps between them: 1 to 255, and not more than there are values.
    pub steps: u8,
    /// The value that counts until the firmware sets one.
    pub start: i16,
    /// What previews show, in seconds from the start of the scene.
    pub samples: Track,
}

/// What a number has of a live value: from `low` at its lowest step to `high` at its highest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Following {
    pub value: LiveId,
    pub low: f64,
    pub high: f64,
    pub steps: u8,
}

impl Following {
    /// The number at a step.
    pub fn at(&self, step: u8) -> f64 {
        self.low + (self.high - self.low) * f64::from(step) / f64::from(self.steps)
    }
}

impl LiveValue {
    /// How far the highest value is above the lowest.
    pub fn range(&self) -> u16 {
        self.to.abs_diff(self.from)
    }

    /// Steps for each value above the lowest, in 2⁻¹⁶ of a step, rounded; so no step is more than a quarter off.
    pub fn factor(&self) -> u16 {
        const WHOLE: u32 = 1 << 16;
        let range = u32::from(self.range()).max(1);
        limited((u32::from(self.steps) * WHOLE + range / 2) / range)
    }

    /// The step at which a value is drawn; one beyond the limits counts as the nearest.
    pub fn step(&self, value: i16) -> u8 {
        const HALF: u32 = 1 << 15;
        let above = value.clamp(self.from, self.to).abs_diff(self.from);
        limited((u32::from(above) * u32::from(self.factor()) + HALF) >> 16)
    }

    /// A value that is drawn at a step: the nearest to it.
    pub fn value_at(&self, step: u8) -> i16 {
        let steps = i32::from(self.steps.max(1));
        limited(i32::from(self.from) + (i32::from(self.range()) * i32::from(step) + steps / 2) / steps)
    }

    /// The value that previews set at a time of the scene, rounded to the nearest.
    pub fn sample(&self, seconds: f64) -> i16 {
        rounded::<i16>(value_at(&self.samples, seconds)).clamp(self.from, self.to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::{Sources, Span};

    /// The steps of exact arithmetic, rounded to the nearest, but for a quarter of a step; the ends are met.
    #[test]
    fn steps_are_those_of_exact_arithmetic() {
        let span = Span { file: Sources::default().add(String::new(), String::new()), start: 0, end: 0 };
        for (from, to, steps) in [(0, 100, 50), (-40, 85, 125), (0, 1, 1), (-20, 12_345, 255), (0, 32_767, 7)] {
            let (name, samples) = (String::new(), Track::still(0.0));
            let value = LiveValue { name, span, from, to, steps, start: from, samples };
            assert_eq!((value.step(i16::MIN), value.step(i16::MAX)), (0, steps), "{from} to {to} in {steps}");
            assert!((0..=steps).all(|step| value.step(value.value_at(step)) == step), "{from} to {to} in {steps}");
            for at in from..=to {
                let exact = f64::from(at - from) * f64::from(steps) / f64::from(to - from);
                assert!((f64::from(value.step(at)) - exact).abs() <= 0.75, "{at} of {from} to {to} in {steps}");
            }
        }
    }
}
