//! Files beside the script: fonts and lists of events.

use super::{Construct, optional, required};

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Font",
        about: "A font file: which PNG is the glyph sheet, and what its cells hold.",
        example: r#"Font(name: "Small", sheet: "small.png", cell: (3, 5), advance: Drawn, cells: ["ABCDEFGH", "IJKLMNOP"])"#,
        fields: &[
            required("name", "a text in quotes", "What findings call it."),
            required("sheet", "a path in quotes", "The PNG, from the folder of this file."),
            required("cell", "two whole numbers `(width, height)`, 1 to 64 each", "Pixels of a cell."),
            optional("margin", "two whole numbers", "(0, 0)", "Pixels before the first column and row of cells."),
            optional("spacing", "two whole numbers", "(0, 0)", "Pixels between cells."),
            optional("ink", "`Light`, `Dark` or `Opaque`", "Light", "Which pixels are ink."),
            optional("threshold", "a whole number", "128", "From which lightness or opacity on, 1 to 255."),
            optional("guide", "a colour `\"#rrggbb\"`", "none", "The colour of guides, which are not read."),
            required("advance", "`Mono(4)`, `Drawn` or `Marked(\"#rrggbb\")`", "How far the pen moves."),
            optional("tracking", "a whole number", "1", "Pixels between glyphs."),
            optional("baseline", "a whole number", "the cell's height", "Rows above the baseline."),
            optional("cap_height", "a whole number", "the baseline", "Rows of a capital."),
            optional("space", "a whole number", "half a cell and one", "Pixels of a space."),
            optional("pen", "a whole number", "0", "Pixels from the cell's left edge to the pen."),
            required(
                "cells",
                "a list of texts, or of lists of characters and names",
                "What the cells hold, row by row.",
            ),
            optional("kerning", "a map `{\"AV\": -1}`", "{}", "Pairs and the pixels by which the second moves."),
            optional("aliases", "a map `{\"a\": \"A\"}`", "{}", "Characters that take another's glyph."),
            optional("advances", "a map `{\"0123456789\": 4}`", "{}", "Characters with an advance of their own."),
            optional(
                "fallback",
                "`Nothing` or `Capitals`",
                "Nothing",
                "What stands in for small letters that the font lacks.",
            ),
            optional(
                "borrow",
                "a list of paths, or of names of shipped fonts",
                "[]",
                "Fonts whose glyphs are taken where this one has none.",
            ),
        ],
    },
    Construct {
        name: "Events",
        about: "A list of triggers in time, which `preview --events` plays.",
        example: r#"Events(seconds: 20, triggers: [Trigger(at: 3.5, name: "leak")])"#,
        fields: &[
            optional("seconds", "a number", "5 after the last trigger", "How long the preview lasts.")
                .range(0.05, 600.0),
            required(
                "triggers",
                "a list of `Trigger(at: 3.5, name: \"leak\")`",
                "The triggers: each with seconds from the start, and its name.",
            ),
        ],
    },
];
