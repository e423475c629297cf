//! The whole script, and its contents except scenes.

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
                "Name of the files and of the generated code: at most 40 letters, digits, `-` and `_`.",
            ),
            required(
                "panel",
                "the name of a known panel in quotes, or `Panel(…)`",
                "The display; `pageloom panels` lists the known ones.",
            ),
            required("bus", "`I2c(…)` or `Spi(…)`", "The bus of the display, and the other devices on it."),
            required(
                "microcontroller",
                "the name of a known part in quotes, or `Part(…)`",
                "The microcontroller that plays the show; `pageloom panels` lists the known ones.",
            ),
            required("frame_rate", "a whole number", "Frames per second.").range(1.0, 100.0),
            optional("mounting", "`Mounting(…)`", "upright, no bezel", "How the display is mounted in the model."),
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
            optional("cues", "a list of texts", "[]", "Names of the events that scenes send to the firmware."),
            optional(
                "triggers",
                "a map `{\"name\": Go(\"scene\")}`; also `Back`, `Ignore`, `Set(…)`, `Count(…)`, `Trigger(…)`",
                "{}",
                "Events from the firmware, and what each one does. A scene can override this.",
            ),
            required("scenes", "a list of `Scene(…)`", "The scenes, at most 250."),
            optional(
                "viewing_distance",
                "a number",
                "300",
                "Millimetres from the eye to the display; used to judge legibility.",
            )
            .range(20.0, 10_000.0),
            optional(
                "profile",
                "`Lean` or `Dense`",
                "the one that leaves the most room",
                "How frames are stored. `Lean` needs no picture copy in RAM. `Dense` keeps one and needs less flash for most shows. By default, both are compiled and the one that leaves the most room is used.",
            ),
            optional(
                "contrast",
                "a whole number from 0 to 255",
                "the panel's own",
                "Contrast of scenes that do not set it.",
            ),
            required("start", "the name of a scene, in quotes", "The scene that plays first."),
            optional("power", "`Power(…)`", "none", "The power supply; used to compute current and running time."),
            optional(
                "day",
                "a map `{\"scene\": hours}`",
                "the show plays without triggers",
                "Hours per day of each scene; used to compute wear and running time.",
            ),
            optional(
                "photos",
                "a list of `Photo(…)`",
                "two common cameras",
                "Cameras that will photograph the display.",
            ),
            optional(
                "thresholds",
                "a list of `Below(…)` and `Above(…)`",
                "[]",
                "Triggers that live values raise by themselves, at most 16.",
            ),
            optional("lamps", "a map `{\"name\": Lamp(…)}`", "{}", "Lamps beside the display, timed with the scenes."),
            optional(
                "styles",
                "a map `{\"name\": (field: value)}`",
                "{}",
                "Sets of fields that a layer or scene can use with `style: \"name\"`, or `style: [\"one\", \"two\"]`.",
            ),
            optional(
                "templates",
                "a map `{\"name\": Template(…)}`",
                "{}",
                "Layers that are used in several places, with `Use(template: \"name\")`.",
            ),
            optional(
                "modes",
                "a map `{\"light\": [\"day\", \"night\"]}`",
                "{}",
                "States of the show. The first value is the state at the start. `By(\"light\", {\"day\": …, \"night\": …})` chooses a value.",
            ),
            optional("bases", "a list of `Scene(…)`", "[]", "Scenes that never play, for use with `like`."),
        ],
    },
    Construct {
        name: "Trigger",
        about: "What a trigger does in every scene that does not override it, and its priority. In a list of events, `Trigger(at: 3.5, name: \"leak\")` raises a trigger at a time.",
        example: r#"Trigger(does: Go("alert"), priority: 2)"#,
        fields: &[
            required("does", "`Go(\"scene\")`, `Back` or `Ignore`", "What happens."),
            optional("priority", "a whole number", "0", "Scenes with a higher priority ignore it."),
        ],
    },
    Construct {
        name: "Below",
        about: "A trigger that is raised when a live value falls below a limit.",
        example: r#"Below(live: "cell", limit: 20, again: 25, trigger: "low")"#,
        fields: &[
            required("live", "the name of a live value, in quotes", "A layer or a contrast of the show must use it."),
            required("limit", "a whole number in the range of the value", "The value must be below it."),
            optional(
                "again",
                "a whole number above `limit`",
                "`limit` plus 1/20 of the range",
                "The trigger can be raised again only after the value has come back to this number.",
            ),
            required("trigger", "the name of a trigger, in quotes", "The trigger that is raised."),
        ],
    },
    Construct {
        name: "Above",
        about: "A trigger that is raised when a live value rises above a limit.",
        example: r#"Above(live: "depth", limit: 250, again: 240, trigger: "deep")"#,
        fields: &[
            required("live", "the name of a live value, in quotes", "A layer or a contrast of the show must use it."),
            required("limit", "a whole number in the range of the value", "The value must be above it."),
            optional(
                "again",
                "a whole number below `limit`",
                "`limit` minus 1/20 of the range",
                "The trigger can be raised again only after the value has come back to this number.",
            ),
            required("trigger", "the name of a trigger, in quotes", "The trigger that is raised."),
        ],
    },
    Construct {
        name: "Lamp",
        about: "The brightness of a lamp over time, from 0 to 255. Your firmware drives the lamp.",
        example: r#"Lamp(level: Swing(from: 0, to: 255, seconds: 2), starts: [Scene("boot"), Cue("chirp")])"#,
        fields: &[
            required("level", "a level that may move, or `Percent(…)`", "The brightness.").range(0.0, 255.0),
            optional(
                "starts",
                "a list of `Scene(\"…\")` and `Cue(\"…\")`",
                "[]",
                "What starts the pattern of the lamp from its beginning.",
            ),
        ],
    },
    Construct {
        name: "Photo",
        about: "A camera. The build checks whether single pixels can be seen in its photos.",
        example: "Photo(lens_millimetres: 50, sensor_millimetres: 36, pixels: 6000, distance_millimetres: 500)",
        fields: &[
            optional("name", "a text in quotes", "made from its values", "Its name in messages."),
            required("lens_millimetres", "a number", "The real focal length, not the 35 mm equivalent.")
                .range(1.0, 1200.0),
            required("sensor_millimetres", "a number", "Width of the sensor.").range(1.0, 130.0),
            required("distance_millimetres", "a number", "From lens to display.").range(5.0, 100_000.0),
            required("pixels", "a whole number", "Pixels across the sensor.").range(100.0, 50_000.0),
        ],
    },
    Construct {
        name: "Frames",
        about: "An animation made of picture files of the same size.",
        example: r#"Frames(files: ["lamp.png", "lamp.png"], milliseconds: 100)"#,
        fields: &[
            required("files", "a list of paths in quotes", "The pictures, one after another."),
            optional(
                "milliseconds",
                "a whole number from 1 to 65535",
                "125",
                "How long each picture is shown, in milliseconds.",
            ),
        ],
    },
];
