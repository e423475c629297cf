//! Numbers that move, and signals.

use super::{Construct, Entry, optional, required};

const LOW: Entry = optional("low", "a number", "0", "The lowest value.").range(0.0, 1.0);
const HIGH: Entry = optional("high", "a number", "1", "The highest value.").range(0.0, 1.0);

/// A wave of this name.
macro_rules! wave {
    ($name:literal, $about:literal) => {
        Construct {
            name: $name,
            about: $about,
            example: concat!($name, "(seconds: 2)"),
            fields: &[required("seconds", "a number", "Seconds of one period.").range(0.01, 3600.0), LOW, HIGH],
        }
    };
}

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Ramp",
        about: "A number that goes from one value to another, once or again and again.",
        example: "Ramp(from: 0, to: 40, seconds: 2, ease: InOut)",
        fields: &[
            required("from", "a number", "The value before and at the start."),
            required("to", "a number", "The value at the end and after it."),
            optional("start", "a number", "0", "Seconds before it sets out.").range(0.0, 3600.0),
            required("seconds", "a number", "Seconds that it takes.").range(0.0, 3600.0),
            optional(
                "ease",
                "a word such as `Linear`, `InOut`, `BounceOut`",
                "Linear",
                "How it speeds up and slows down.",
            ),
            optional("repeat", "`true` or `false`", "false", "Whether it starts again at its end."),
        ],
    },
    Construct {
        name: "Swing",
        about: "A number that goes there and back again, for ever.",
        example: "Swing(from: 0, to: 40, seconds: 2)",
        fields: &[
            required("from", "a number", "One end."),
            required("to", "a number", "The other end."),
            required("seconds", "a number", "Seconds there and back.").range(0.01, 3600.0),
            optional(
                "ease",
                "a word such as `Linear`, `InOut`, `BounceOut`",
                "InOut",
                "How it speeds up and slows down.",
            ),
        ],
    },
    Construct {
        name: "Random",
        about: "A number that jumps or glides to values drawn from a seed.",
        example: "Random(from: 0, to: 40, every: 0.5, seed: 1)",
        fields: &[
            required("from", "a number", "The lowest value."),
            required("to", "a number", "The highest value."),
            required("every", "a number", "Seconds from one value to the next.").range(0.01, 3600.0),
            required("seed", "a whole number", "The same seed draws the same values."),
            optional(
                "ease",
                "a word such as `Step`, `Linear`, `InOut`",
                "Step",
                "How it goes from one value to the next.",
            ),
        ],
    },
    Construct {
        name: "Keys",
        about: "A number by key frames; `Keys([(0, 1), (2, 5, InOut)])` is the short form.",
        example: "Keys(points: [(0, 1), (2, 5, InOut)], repeat: true)",
        fields: &[
            required(
                "points",
                "a list of `(seconds, value)` or `(seconds, value, ease)`",
                "The key frames, 1000 at most.",
            ),
            optional("repeat", "`true` or `false`", "false", "Whether it starts again at its last key frame."),
        ],
    },
    wave!("Sine", "A signal that rises and falls as a sine."),
    wave!("Square", "A signal that is high for half of its period and low for the rest."),
    wave!("Triangle", "A signal that rises and falls evenly."),
    wave!("Saw", "A signal that rises evenly and falls at once."),
    wave!("Beat", "A signal with a short beat in each period, as a heart's."),
    Construct {
        name: "Wander",
        about: "A signal that wanders by a seed.",
        example: "Wander(seed: 1, seconds: 2)",
        fields: &[
            required("seed", "a whole number", "The same seed wanders the same way."),
            required("seconds", "a number", "Seconds from one turn to the next.").range(0.01, 3600.0),
            LOW,
            HIGH,
        ],
    },
    Construct {
        name: "Data",
        about: "A signal from a column of a CSV file.",
        example: r#"Data(file: "tide.csv", column: "level", every: 0.1)"#,
        fields: &[
            required("file", "a path in quotes", "The file."),
            optional("column", "a heading in quotes, or a whole number from 1", "the first column", "The column."),
            required("every", "a number", "Seconds from one value to the next.").range(0.01, 3600.0),
            optional("low", "a number", "the least value", "What counts as 0."),
            optional("high", "a number", "the greatest value", "What counts as 1."),
        ],
    },
];
