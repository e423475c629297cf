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
        about: "A number that moves from one value to another, once or repeatedly.",
        example: "Ramp(from: 0, to: 40, seconds: 2, ease: InOut)",
        fields: &[
            required("from", "a number", "The value at the start and before it."),
            required("to", "a number", "The value at the end and after it."),
            optional("start", "a number", "0", "Seconds before it starts to move.").range(0.0, 3600.0),
            required("seconds", "a number", "Duration in seconds.").range(0.0, 3600.0),
            optional(
                "ease",
                "a word such as `Linear`, `InOut`, `BounceOut`",
                "Linear",
                "Easing: how it speeds up and slows down.",
            ),
            optional("repeat", "`true` or `false`", "false", "Whether it repeats."),
        ],
    },
    Construct {
        name: "Swing",
        about: "A number that moves back and forth between two values.",
        example: "Swing(from: 0, to: 40, seconds: 2)",
        fields: &[
            required("from", "a number", "One end."),
            required("to", "a number", "The other end."),
            required("seconds", "a number", "Seconds for one move to the other end and back.").range(0.01, 3600.0),
            optional(
                "ease",
                "a word such as `Linear`, `InOut`, `BounceOut`",
                "InOut",
                "Easing: how it speeds up and slows down.",
            ),
        ],
    },
    Construct {
        name: "Random",
        about: "A number that jumps or moves to random values.",
        example: "Random(from: 0, to: 40, every: 0.5, seed: 1)",
        fields: &[
            required("from", "a number", "The lowest value."),
            required("to", "a number", "The highest value."),
            required("every", "a number", "Seconds from one value to the next.").range(0.01, 3600.0),
            required(
                "seed",
                "a whole number",
                "Start value of the random numbers; the same seed gives the same values.",
            ),
            optional("ease", "a word such as `Step`, `Linear`, `InOut`", "Step", "Easing from one value to the next."),
        ],
    },
    Construct {
        name: "Keys",
        about: "A number defined by key frames; `Keys([(0, 1), (2, 5, InOut)])` is the short form.",
        example: "Keys(points: [(0, 1), (2, 5, InOut)], repeat: true)",
        fields: &[
            required(
                "points",
                "a list of `(seconds, value)` or `(seconds, value, ease)`",
                "The key frames, at most 1000.",
            ),
            optional("repeat", "`true` or `false`", "false", "Whether it repeats after its last key frame."),
        ],
    },
    Construct {
        name: "Live",
        about: "A number that the firmware sets while the show plays. Several layers in several scenes can follow the same value: write all fields where its name is used first, and only the name after that.",
        example: r#"Live(name: "level", from: 0, to: 100, steps: 50, samples: [(0, 20), (2, 80, InOut)], start: 20)"#,
        fields: &[
            required("name", "a text in quotes", "Its name; the firmware's constant is named after it."),
            optional("from", "a whole number", "as in its first use", "The lowest value that the firmware may set.")
                .range(-32_768.0, 32_767.0),
            optional("to", "a whole number", "as in its first use", "The highest value.").range(-32_768.0, 32_767.0),
            optional(
                "steps",
                "a whole number",
                "as in its first use",
                "The number of steps from `from` to `to` in which it is drawn.",
            )
            .range(1.0, 255.0),
            optional("start", "a whole number", "`from`", "The value until the firmware sets one.")
                .range(-32_768.0, 32_767.0),
            optional(
                "samples",
                "a list of `(seconds, value)` or `(seconds, value, ease)`, or a number that moves",
                "`start`",
                "What previews show, in seconds from the start of the scene.",
            ),
            optional(
                "low",
                "a number",
                "0 if the layer takes 0 to 1, else `from`",
                "The number that the layer gets at `from`.",
            ),
            optional(
                "high",
                "a number",
                "1 if the layer takes 0 to 1, else `to`",
                "The number that the layer gets at `to`.",
            ),
        ],
    },
    wave!("Sine", "A sine wave."),
    wave!("Square", "A square wave: high for half of the period, then low."),
    wave!("Triangle", "A triangle wave."),
    wave!("Saw", "A sawtooth wave."),
    wave!("Beat", "A signal like a heartbeat, one beat per period."),
    Construct {
        name: "Wander",
        about: "A signal that moves at random.",
        example: "Wander(seed: 1, seconds: 2)",
        fields: &[
            required(
                "seed",
                "a whole number",
                "Start value of the random numbers; the same seed gives the same signal.",
            ),
            required("seconds", "a number", "Seconds from one random value to the next.").range(0.01, 3600.0),
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
            optional("low", "a number", "the lowest value", "The value drawn as 0."),
            optional("high", "a number", "the highest value", "The value drawn as 1."),
        ],
    },
];
