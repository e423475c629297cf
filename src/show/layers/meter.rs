//! A level meter.

use crate::show::read::layer;
use crate::show::{Position, Side, Size, Track};

layer! {
    /// A bar or column of segments, with a mark that stays at the peak for a while and then falls.
    Meter, r#"Meter(at: Centre, size: (8, 30), value: Random(from: 0.1, to: 1, every: 0.25, seed: 3), segments: 10)"# {
        /// Where it stands.
        at: Position;
        /// Width and height.
        size: Size [1.0, 1000.0];
        /// How much of it is filled.
        value: Track [0.0, 1.0];
        /// The side from which it fills.
        from_side: Side = Side::Bottom;
        /// How many segments it has; 0 for a solid one.
        segments: u32 [0.0, 200.0] = 0;
        /// Whether the peak is marked.
        peak: bool = true;
        /// Seconds that the peak stays.
        hold_seconds: f64 [0.0, 60.0] = 1.0;
        /// The share of the whole by which the peak falls each second after that.
        fall_a_second: f64 [0.05, 100.0] = 0.5;
    }
}
