//! Numbers that may move in time: key frames and the course between them.

/// A number that may move in time: key frames in order of time, seconds counted from the layer's start.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// At least one; before the first its value holds, after the last its value holds.
    pub keys: Vec<Key>,
    /// Whether the keys start again after the last one.
    pub repeat: bool,
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
    Linear,
    /// Starts slowly (quadratic).
    In,
    /// Ends slowly (quadratic).
    Out,
    /// Starts and ends slowly (quadratic).
    InOut,
    /// Jumps at the key.
    Step,
}

impl Track {
    /// A number that does not move.
    pub fn still(value: f64) -> Self {
        Self { keys: vec![Key { seconds: 0.0, value, ease: Ease::Linear }], repeat: false }
    }
}
