//! A scene and what stands in it beside its layers.

use super::{Construct, optional, required};

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Scene",
        about: "A length of time with layers and cues, and what follows.",
        example: r#"Scene(name: "boot", seconds: 4, then: Go("boot"), layers: [Text(text: "HELM", font: "small", at: Centre)])"#,
        fields: &[
            required("name", "a text in quotes", "What others call it."),
            optional("seconds", "a number", "until all of its layers are through", "How long it lasts.")
                .range(0.0, 600.0),
            optional("contrast", "a number that may move", "the show's", "The controller's contrast.")
                .range(0.0, 255.0),
            optional("priority", "a whole number", "0", "Triggers of a lower priority are ignored meanwhile."),
            optional("then", "`Hold`, `Repeat`, `Back` or `Go(\"scene\")`", "Hold", "What follows."),
            optional(
                "triggers",
                "a map `{\"trigger\": Go(\"scene\")}`; also `Back`, `Ignore`, `Set(…)`, `Count(…)`",
                "as the show says",
                "What each trigger does meanwhile.",
            ),
            optional("dark", "`true` or `false`", "false", "Whether it is meant to show nothing."),
            optional("layers", "a list of layers", "[]", "What is drawn, the lowest first."),
            optional("fields", "a list of `Field(…)`", "[]", "Values that the firmware writes while the scene plays."),
            optional("cues", "a list of `Cue(…)`", "[]", "Marks in time for the firmware."),
            optional("off", "`true`, or a list of `Off(…)`", "false", "When the display is switched off."),
            optional(
                "like",
                "the name of a scene, in quotes",
                "none",
                "A scene or base whose fields count where this one gives none; its layers lie below.",
            ),
            optional(
                "style",
                "the name of a style in quotes, or a list of them",
                "none",
                "Fields that count where this one gives none.",
            ),
        ],
    },
    Construct {
        name: "Cue",
        about: "A named mark in time that the player hands to the firmware.",
        example: r#"Cue(at: 0.5, name: "chirp")"#,
        fields: &[
            optional("at", "a number, or `After(\"layer\", 0.5)`", "0", "Seconds from the scene's start.")
                .range(0.0, 600.0),
            required("name", "the name of a cue, in quotes", "One of the show's `cues`."),
        ],
    },
    Construct {
        name: "Off",
        about: "A stretch of a scene during which the display is switched off.",
        example: "Off(from: 1, until: 2.5)",
        fields: &[
            optional("from", "a number, or `After(\"layer\", 0.5)`", "0", "Seconds from the scene's start.")
                .range(0.0, 600.0),
            optional("until", "likewise", "the scene's end", "When it is switched on again.").range(0.0, 600.0),
        ],
    },
    Construct {
        name: "Field",
        about: "A live field: characters that the firmware writes while the scene plays.",
        example: r#"Field(name: "volts", font: "small", characters: "0123456789.", width: 4, at: TopLeft, samples: [(0, "3.7")])"#,
        fields: &[
            required("name", "a text in quotes", "What the firmware calls it."),
            required("font", "the name of a font of the show, in quotes", "The font it is set in."),
            required(
                "characters",
                "a text in quotes",
                "Every character that it may show; the space is always among them.",
            ),
            required("width", "a number", "Characters that it holds.").range(1.0, 32.0),
            optional("align", "`Left`, `Centre` or `Right`", "Left", "Where a shorter text stands."),
            required("at", "a position", "Where the field stands."),
            optional("samples", "a list of `(seconds, \"text\")`", "[]", "What previews show in it."),
        ],
    },
    Construct {
        name: "Blink",
        about: "Shows a layer and hides it in turn, shown first.",
        example: "Blink(on: 0.5, off: 0.5)",
        fields: &[
            required("on", "a number", "Seconds shown.").range(0.01, 600.0),
            required("off", "a number", "Seconds hidden.").range(0.01, 600.0),
        ],
    },
    Construct {
        name: "Window",
        about: "A rectangle in which alone a layer's ink counts.",
        example: "Window(at: Centre, size: (20, 10))",
        fields: &[
            optional("at", "a position", "Centre", "Where it stands."),
            required("size", "a size `(width, height)`, or `Full`", "Its size."),
        ],
    },
    Construct {
        name: "Disc",
        about: "A disc in which alone a layer's ink counts.",
        example: "Disc(at: Centre, radius: 12)",
        fields: &[
            optional("at", "a position", "Centre", "Its centre."),
            required("radius", "a number that may move", "Pixels.").range(0.0, 1000.0),
        ],
    },
    Construct {
        name: "Echo",
        about: "Something that a sweep finds: it lights up as the beam passes, and fades.",
        example: "Echo(degrees: 70, distance: 0.6)",
        fields: &[
            required("degrees", "a number", "Its direction, clockwise from the top.").range(-360.0, 360.0),
            required("distance", "a number", "From the centre, as a share of the radius.").range(0.0, 1.0),
            optional("size", "a whole number", "1", "Side of its square in pixels.").range(1.0, 16.0),
            optional("fade_seconds", "a number", "2", "Seconds until it is gone.").range(0.0, 600.0),
        ],
    },
];
