//! A bar that shows a value.

use crate::show::read::layer;
use crate::show::{Position, Side, Size, Track};

layer! {
    /// A bar filled from one side by a value of 0 to 1.
    Bar, r#"Bar(at: Bottom, size: (40, 5), value: Ramp(from: 0, to: 1, seconds: 3, ease: BounceOut))"# {
        /// Where it stands.
        at: Position;
        /// Width and height, its frame included.
        size: Size [0.0, 1000.0];
        /// How much of it is filled.
        value: Track [0.0, 1.0];
        /// The side from which it fills.
        from_side: Side = Side::Left;
        /// Whether a line runs round it, with a dark gap inside.
        frame: bool = true;
    }
}
