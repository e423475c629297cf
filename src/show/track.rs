//! Numbers that move over time: key frames, and the values between them.

use super::following::Following;

/// A number that can move over time: key frames in order of time, in seconds from the start of the layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// At least one; before the first its value holds, after the last its value holds.
    pub keys: Vec<Key>,
    /// Whether the keys start again after the last one.
    pub repeat: bool,
    /// The live value that it follows; its key is then what it is at the value's start.
    pub live: Option<Following>,
}

/// The value reached at a time, and the course on the way to it from the key before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    pub seconds: f64,
    pub value: f64,
    pub ease: Ease,
}

/// The course between two keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ease {
    /// At an even rate.
    Linear,
    /// Jumps at the key.
    Step,
    /// Along a curve, slow at the start, at the end, or at both.
    Along(Curve, Slow),
}

/// The curve of an ease.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curve {
    Sine,
    Square,
    Cubic,
    Fourth,
    Fifth,
    Exponential,
    Circular,
    /// Swings back before it goes, or past its goal.
    Back,
    /// Swings about its goal.
    Elastic,
    /// Falls and springs up again.
    Bounce,
}

/// Where a curve is slow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slow {
    Start,
    End,
    Both,
}

impl Ease {
    /// Starts slowly, quadratic.
    pub const IN: Self = Self::Along(Curve::Square, Slow::Start);
    /// Ends slowly, quadratic.
    pub const OUT: Self = Self::Along(Curve::Square, Slow::End);
    /// Starts and ends slowly, quadratic.
    pub const IN_OUT: Self = Self::Along(Curve::Square, Slow::Both);
}

impl Track {
    /// Whether it is below 0 at some time or step.
    pub fn can_be_negative(&self) -> bool {
        let ends = self.live.iter().flat_map(|live| [live.low, live.high]);
        self.keys.iter().map(|key| key.value).chain(ends).any(|value| value < 0.0)
    }

    /// The number where each live value is at a step, by the values' numbers.
    pub fn at_steps(&self, steps: &[u8]) -> Self {
        let step = |live: &Following| steps.get(live.value.0).map(|step| live.at(*step));
        self.live.as_ref().and_then(step).map_or_else(|| self.clone(), Self::still)
    }

    /// A number that does not move.
    pub fn still(value: f64) -> Self {
        Self { keys: vec![Key { seconds: 0.0, value, ease: Ease::Linear }], repeat: false, live: None }
    }
}
