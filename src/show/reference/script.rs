//! The whole script, and what stands around its scenes.

use super::{Construct, optional, required};

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Show",
        about: "The whole script: the hardware, what the scenes use, the scenes, and where to start.",
        example: r#"Show(name: "demo", panel: "0.42in-72x40-ssd1306", bus: I2c(clock: 400_000), microcontroller: "ATmega328P", frame_rate: 20, start: "boot", scenes: [Scene(name: "boot", dark: true)])"#,
        fields: &[
            required(
                "name",
                "a text in quotes",
                "Names the files and the code that are made: letters, digits, `-` and `_`, 40 at most.",
            ),
            required(
                "panel",
                "the name of a known panel in quotes, or `Panel(…)`",
                "The display; `pageloom panels` lists those that are known.",
            ),
            required("bus", "`I2c(…)` or `Spi(…)`", "How the display is reached, and what else is on the bus."),
            required(
                "microcontroller",
                "the name of a known part in quotes, or `Part(…)`",
                "The chip that plays the show; `pageloom panels` lists those that are known.",
            ),
            required("frame_rate", "a whole number", "Frames a second.").range(1.0, 100.0),
            optional("mounting", "`Mounting(…)`", "upright, nothing in front", "How the display sits in the model."),
            optional(
                "fonts",
                "a map `{\"name\": \"file.ron\", \"other\": Shipped(\"cleat\")}`",
                "{}",
                "The fonts, by the names that texts use.",
            ),
            optional(
                "pictures",
                "a map `{\"name\": \"file.png\"}`; also a GIF, or `Frames(…)`",
                "{}",
                "The pictures, by the names that layers use.",
            ),
            optional("cues", "a list of texts", "[]", "Names of the marks that scenes give to the firmware."),
            optional(
                "triggers",
                "a map `{\"name\": Go(\"scene\")}`; also `Back`, `Ignore`, `Set(…)`, `Count(…)`, `Trigger(…)`",
                "{}",
                "Events from the firmware, and what each does where a scene does not say otherwise.",
            ),
            required("scenes", "a list of `Scene(…)`", "The scenes, 250 at most."),
            optional("viewing_distance", "a number", "300", "Millimetres from the eye to the display, for legibility.")
                .range(20.0, 10_000.0),
            optional(
                "profile",
                "`Lean` or `Dense`",
                "what leaves the most room",
                "How frames are stored: `Lean` keeps no copy of the picture, `Dense` keeps one in RAM and takes less flash on most shows. Without it both are made, and the one with the most room is taken.",
            ),
            optional("contrast", "a whole number", "the panel's own", "Contrast of scenes that give none, 0 to 255."),
            required("start", "the name of a scene, in quotes", "The scene that plays first."),
            optional("power", "`Power(…)`", "none", "The supply, for current and running time."),
            optional(
                "day",
                "a map `{\"scene\": hours}`",
                "the show left to itself",
                "Hours that each scene plays on a day, for wear and running time.",
            ),
            optional(
                "photos",
                "a list of `Photo(…)`",
                "two usual cameras",
                "Cameras that the display must look well to.",
            ),
            optional("lamps", "a map `{\"name\": Lamp(…)}`", "{}", "Lamps beside the display that keep time with it."),
            optional(
                "styles",
                "a map `{\"name\": (field: value)}`",
                "{}",
                "Fields that a record takes over by `style: \"name\"`, or `style: [\"one\", \"two\"]`.",
            ),
            optional(
                "templates",
                "a map `{\"name\": Template(…)}`",
                "{}",
                "Layers that are used in several places, by `Use(template: \"name\")`.",
            ),
            optional(
                "modes",
                "a map `{\"light\": [\"day\", \"night\"]}`",
                "{}",
                "States of the show; the first value is where it begins. `By(\"light\", {\"day\": …, \"night\": …})` chooses a value.",
            ),
            optional("bases", "a list of `Scene(…)`", "[]", "Scenes that never play and that others are `like`."),
        ],
    },
    Construct {
        name: "Trigger",
        about: "What a trigger does in scenes that do not say otherwise, and which scenes are too important for it.",
        example: r#"Trigger(does: Go("alert"), priority: 2)"#,
        fields: &[
            required("does", "`Go(\"scene\")`, `Back` or `Ignore`", "What happens."),
            optional("priority", "a whole number", "0", "Scenes of a higher priority ignore it."),
        ],
    },
    Construct {
        name: "Lamp",
        about: "The course of a lamp's brightness, from 0 to 255; the firmware drives the lamp.",
        example: r#"Lamp(level: Swing(from: 0, to: 255, seconds: 2), starts: [Scene("boot"), Cue("chirp")])"#,
        fields: &[
            required("level", "a level that may move, or `Percent(…)`", "The brightness.").range(0.0, 255.0),
            optional(
                "starts",
                "a list of `Scene(\"…\")` and `Cue(\"…\")`",
                "[]",
                "What begins the course from its start.",
            ),
        ],
    },
    Construct {
        name: "Photo",
        about: "A camera, to know whether the pixels can be told apart in a picture of the model.",
        example: "Photo(lens_millimetres: 50, sensor_millimetres: 36, pixels: 6000, distance_millimetres: 500)",
        fields: &[
            optional("name", "a text in quotes", "made of its numbers", "What findings call it."),
            required("lens_millimetres", "a number", "The real focal length.").range(1.0, 1200.0),
            required("sensor_millimetres", "a number", "Width of the sensor.").range(1.0, 130.0),
            required("distance_millimetres", "a number", "From lens to display.").range(5.0, 100_000.0),
            required("pixels", "a whole number", "Pixels across the sensor.").range(100.0, 50_000.0),
        ],
    },
    Construct {
        name: "Frames",
        about: "An animation of picture files of one size.",
        example: r#"Frames(files: ["lamp.png", "lamp.png"], milliseconds: 100)"#,
        fields: &[
            required("files", "a list of paths in quotes", "The pictures, one after another."),
            optional("milliseconds", "a whole number", "125", "How long each is shown."),
        ],
    },
];
