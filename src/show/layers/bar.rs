//! A bar that shows a value.

use crate::show::read::layer;
use crate::show::{Position, Side, Size, Track};

layer! {
    /// A bar that fills from one side. Its value goes from 0 to 1.
    Bar, r#"Bar(at: Bottom, size: (40, 5), value: Ramp(from: 0, to: 1, seconds: 3, ease: BounceOut))"# {
        /// Its position.
        at: Position;
        /// Width and height, including its frame.
        size: Size [0.0, 1000.0];
        /// The filled part, 0 to 1.
        value: Track [0.0, 1.0];
        /// The side from which it fills.
        from_side: Side = Side::Left;
        /// Whether it has a frame, with a dark gap inside.
        frame: bool = true;
    }
}
