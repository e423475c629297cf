//! A text that the firmware sets.

use crate::show::LiveCharacter;
use crate::show::read::layer;

layer! {
    /// A text that the firmware sets with one call, by its `name`. It can be drawn over layers that move. Each character takes about 14 bytes of RAM.
    LiveText, r#"LiveText(name: "volts", font: "small", characters: "0123456789.", width: 4, align: Right, at: Centre, samples: [(0, "12.4"), (1, "12.3"), (2, "9.6")])"# {
        /// Its text.
        text: LiveCharacter;
    }
}
