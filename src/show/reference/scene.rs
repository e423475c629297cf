//! A scene and its contents, except its layers.

use super::{Construct, optional, required};

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Scene",
        about: "A part of the show: its layers and cues, its length, and what follows it.",
        example: r#"Scene(name: "boot", seconds: 4, then: Go("boot"), layers: [Text(text: "HELM", font: "small", at: Centre)])"#,
        fields: &[
            required("name", "a text in quotes", "Its name, for use in `Go`, `like` and `start`."),
            optional("seconds", "a number", "until all layers have ended", "Its length in seconds.").range(0.0, 600.0),
            optional(
                "contrast",
                "a number that may move",
                "the show's",
                "Contrast of the display. It may follow a live value.",
            )
            .range(0.0, 255.0),
            optional("priority", "a whole number", "0", "Triggers with a lower priority are ignored in this scene."),
            optional("then", "`Hold`, `Repeat`, `Back` or `Go(\"scene\")`", "Hold", "What follows."),
            optional(
                "triggers",
                "a map `{\"trigger\": Go(\"scene\")}`; also `Back`, `Ignore`, `Set(…)`, `Count(…)`",
                "as the show says",
                "What each trigger does in this scene.",
            ),
            optional("dark", "`true` or `false`", "false", "Whether the scene is empty on purpose."),
            optional("layers", "a list of layers", "[]", "What is drawn, from bottom to top."),
            optional("fields", "a list of `Field(…)`", "[]", "Live fields: texts that the firmware writes."),
            optional("cues", "a list of `Cue(…)`", "[]", "Events for the firmware."),
            optional("off", "`true`, or a list of `Off(…)`", "false", "When the display is switched off."),
            optional(
                "like",
                "the name of a scene, in quotes",
                "none",
                "A scene or base to start from: its fields apply where this scene sets none, and its layers are drawn below.",
            ),
            optional(
                "style",
                "the name of a style in quotes, or a list of them",
                "none",
                "Fields that apply where this scene sets none.",
            ),
        ],
    },
    Construct {
        name: "Cue",
        about: "A named event at a time, which the player reports to the firmware.",
        example: r#"Cue(at: 0.5, name: "chirp")"#,
        fields: &[
            optional("at", "a number, or `After(\"layer\", 0.5)`", "0", "Seconds from the scene's start.")
                .range(0.0, 600.0),
            required("name", "the name of a cue, in quotes", "One of the show's `cues`."),
        ],
    },
    Construct {
        name: "Off",
        about: "A part of a scene in which the display is switched off.",
        example: "Off(from: 1, until: 2.5)",
        fields: &[
            optional("from", "a number, or `After(\"layer\", 0.5)`", "0", "Seconds from the scene's start.")
                .range(0.0, 600.0),
            optional("until", "a number, or `After(…)`", "the scene's end", "When it is switched on again.")
                .range(0.0, 600.0),
        ],
    },
    Construct {
        name: "Field",
        about: "A live field: text that the firmware writes while the scene plays.",
        example: r#"Field(name: "volts", font: "small", characters: "0123456789.", width: 4, at: TopLeft, samples: [(0, "3.7")])"#,
        fields: &[
            required("name", "a text in quotes", "Its name in the firmware."),
            required("font", "the name of a font of the show, in quotes", "Its font."),
            required(
                "characters",
                "a text in quotes",
                "All characters that it can show; the space is included automatically.",
            ),
            required("width", "a whole number", "Number of characters.").range(1.0, 32.0),
            optional("align", "`Left`, `Centre` or `Right`", "Left", "Where a shorter text is placed."),
            required("at", "a position", "Its position."),
            optional("samples", "a list of `(seconds, \"text\")`", "[]", "What the preview shows."),
        ],
    },
    Construct {
        name: "Blink",
        about: "Shows and hides a layer in turn, starting with shown.",
        example: "Blink(on: 0.5, off: 0.5)",
        fields: &[
            required("on", "a number", "Seconds shown.").range(0.01, 600.0),
            required("off", "a number", "Seconds hidden.").range(0.01, 600.0),
        ],
    },
    Construct {
        name: "Window",
        about: "A rectangle that clips a layer.",
        example: "Window(at: Centre, size: (20, 10))",
        fields: &[
            optional("at", "a position", "Centre", "Its position."),
            required("size", "a size `(width, height)`, or `Full`", "Its size."),
        ],
    },
    Construct {
        name: "Disc",
        about: "A disc that clips a layer.",
        example: "Disc(at: Centre, radius: 12)",
        fields: &[
            optional("at", "a position", "Centre", "Its centre."),
            required("radius", "a number that may move", "Pixels.").range(0.0, 1000.0),
        ],
    },
    Construct {
        name: "Echo",
        about: "A point that lights up when the beam of a sweep passes it, and then fades.",
        example: "Echo(degrees: 70, distance: 0.6)",
        fields: &[
            required("degrees", "a number", "Its direction, clockwise from the top.").range(-360.0, 360.0),
            required("distance", "a number", "Distance from the centre as a part of the radius.").range(0.0, 1.0),
            optional("size", "a whole number", "1", "Side of its square in pixels.").range(1.0, 16.0),
            optional("fade_seconds", "a number", "2", "Seconds until it is dark again.").range(0.0, 600.0),
        ],
    },
];
