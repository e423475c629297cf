//! A round opening.

use crate::show::read::layer;
use crate::show::{Anchor, Position, Track};

layer! {
    /// Covers everything outside a disc: a round opening that grows or shrinks.
    Iris, r#"Iris(at: Centre, radius: Ramp(from: 0, to: 42, seconds: 1))"#, mode Erase {
        /// The centre of the opening.
        at: Position = Anchor::Centre;
        /// Radius in pixels; 0 covers everything.
        radius: Track [0.0, 500.0];
    }
}
