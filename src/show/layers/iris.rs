//! A round opening.

use crate::show::read::layer;
use crate::show::{Anchor, Position, Track};

layer! {
    /// Covers everything outside a disc: a round opening that grows or shrinks.
    Iris, r#"Iris(at: Centre, radius: Ramp(from: 0, to: 42, seconds: 1))"#, mode Erase {
        /// The centre of the opening.
        at: Position = Anchor::Centre;
        /// Pixels of its radius; 0 covers all.
        radius: Track [0.0, 500.0];
    }
}
