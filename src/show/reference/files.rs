//! Other files than the script: fonts and lists of events.

use super::{Construct, optional, required};

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Font",
        about: "A font file: the PNG of the glyph sheet, and the characters in its cells.",
        example: r#"Font(name: "Small", sheet: "small.png", cell: (3, 5), advance: Drawn, cells: ["ABCDEFGH", "IJKLMNOP"])"#,
        fields: &[
            required("name", "a text in quotes", "Its name in messages."),
            required("sheet", "a path in quotes", "The PNG; its path is relative to this file."),
            required("cell", "two whole numbers `(width, height)`, 1 to 64 each", "Size of a cell in pixels."),
            optional(
                "margin",
                "two whole numbers",
                "(0, 0)",
                "Pixels to the left of the first column of cells, and above the first row.",
            ),
            optional("spacing", "two whole numbers", "(0, 0)", "Pixels between cells."),
            optional(
                "ink",
                "`Light`, `Dark` or `Opaque`",
                "Light",
                "Which pixels are ink: light, dark or opaque ones.",
            ),
            optional(
                "threshold",
                "a whole number from 1 to 255",
                "128",
                "Lightness or opacity from which a pixel is ink.",
            ),
            optional("guide", "a colour `\"#rrggbb\"`", "none", "The colour of guide pixels, which are ignored."),
            required(
                "advance",
                "`Mono(4)`, `Drawn` or `Marked(\"#rrggbb\")`",
                "Advance: fixed, drawn width, or marked by a colour.",
            ),
            optional("tracking", "a whole number, at most 128", "1", "Additional pixels between glyphs."),
            optional(
                "baseline",
                "a whole number, at most the cell's height",
                "the cell's height",
                "Rows above the baseline.",
            ),
            optional(
                "cap_height",
                "a whole number, at most the baseline",
                "the baseline",
                "Height of a capital in rows.",
            ),
            optional("space", "a whole number, at most 128", "half a cell + 1", "Width of a space in pixels."),
            optional("pen", "a whole number from 0 to 255", "0", "Pixels from the cell's left edge to the pen."),
            required(
                "cells",
                "a list of texts, or of lists of characters and names",
                "The characters in the cells, row by row.",
            ),
            optional(
                "kerning",
                "a map `{\"AV\": -1}`",
                "{}",
                "Pairs of characters, and how many pixels the second one moves.",
            ),
            optional("aliases", "a map `{\"a\": \"A\"}`", "{}", "Characters that use the glyph of another one."),
            optional("advances", "a map `{\"0123456789\": 4}`", "{}", "Characters with their own advance."),
            optional(
                "fallback",
                "`Nothing` or `Capitals`",
                "Nothing",
                "What replaces small letters that the font does not have.",
            ),
            optional(
                "borrow",
                "a list of paths, or of names of shipped fonts",
                "[]",
                "Fonts that supply missing glyphs.",
            ),
        ],
    },
    Construct {
        name: "Events",
        about: "A list of triggers and their times, for `pageloom preview --events`.",
        example: r#"Events(seconds: 20, triggers: [Trigger(at: 3.5, name: "leak")])"#,
        fields: &[
            optional("seconds", "a number", "5 after the last trigger", "Length of the preview in seconds.")
                .range(0.05, 600.0),
            required(
                "triggers",
                "a list of `Trigger(at: 3.5, name: \"leak\")`",
                "The triggers, each with its name and its time in seconds from the start.",
            ),
            optional(
                "live",
                "a list of `Value(at: 3.5, name: \"level\", value: 40)`",
                "[]",
                "Live values that are set, each with its time, its name and the value. From that time on its samples are ignored.",
            ),
        ],
    },
    Construct {
        name: "Value",
        about: "A live value that is set at a time, in a list of events.",
        example: r#"Value(at: 3.5, name: "level", value: 40)"#,
        fields: &[
            required("at", "a number", "Seconds from the start.").range(0.0, 600.0),
            required("name", "a text in quotes", "The name of the live value."),
            required("value", "a number", "The value, in the range of the live value."),
        ],
    },
];
