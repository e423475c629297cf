//! Words of a script that are used as values: reactions, what follows, times, positions, files, and things that are written once.

use super::{Construct, Entry, optional, required};

/// Most of them have no named fields; what stands in their brackets is said in words.
const NONE: &[Entry] = &[];

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Go",
        about: "What a trigger does, or what follows a scene: another scene starts. In brackets: the scene's name in quotes.",
        example: r#"Go("alert")"#,
        fields: NONE,
    },
    Construct {
        name: "Back",
        about: "What a trigger does, or what follows a scene: the show returns to the scene that the last trigger left.",
        example: "Back",
        fields: NONE,
    },
    Construct {
        name: "Hold",
        about: "What follows a scene: its last picture stays until a trigger comes.",
        example: "Hold",
        fields: NONE,
    },
    Construct {
        name: "Repeat",
        about: "What follows a scene: the same scene starts again.",
        example: "Repeat",
        fields: NONE,
    },
    Construct { name: "Ignore", about: "What a trigger does: nothing.", example: "Ignore", fields: NONE },
    Construct {
        name: "Set",
        about: "What a trigger does: it changes a mode, and the scene restarts. In brackets: the mode and its new value, both in quotes.",
        example: r#"Set("light", "night")"#,
        fields: NONE,
    },
    Construct {
        name: "Count",
        about: "What a trigger does: it advances a mode to its next value. After the last value the mode returns to its first one, and the reaction in the brackets follows. In brackets: the mode in quotes, and a reaction such as `Go(\"sleep\")`.",
        example: r#"Count("light", Go("alert"))"#,
        fields: NONE,
    },
    Construct {
        name: "By",
        about: "A value that depends on a mode. It can replace any value of a scene. In brackets: the mode in quotes, and a map with a value for each state of the mode.",
        example: r#"By("light", {"day": 200, "night": 20})"#,
        fields: NONE,
    },
    Construct {
        name: "After",
        about: "A time: the end of another layer of the scene, or some seconds after it. In brackets: the layer's `name` in quotes, then the seconds if you need them. The layer must be earlier in the list.",
        example: r#"After("log", 0.5)"#,
        fields: NONE,
    },
    Construct {
        name: "Centre",
        about: "A position: an anchor, an anchor with an offset such as `Right(-2, 8)`, or `(x, y)` from the top left corner. The anchors are `TopLeft`, `Top`, `TopRight`, `Left`, `Centre`, `Right`, `BottomLeft`, `Bottom` and `BottomRight`. The anchor point of what is drawn is put on the same point of the view. Offsets count in pixels to the right and down. They can be numbers that move.",
        example: "Text(text: \"HELM\", font: \"small\", at: Centre)",
        fields: NONE,
    },
    Construct {
        name: "Percent",
        about: "A length in percent of the view's width or height, or a level in percent of 255. In brackets: a number.",
        example: "Percent(50)",
        fields: NONE,
    },
    Construct {
        name: "Shipped",
        about: "A font that ships with pageloom, for the map `fonts`. In brackets: `cleat`, `thole`, `binnacle`, `sextant` or `chandlery`, in quotes.",
        example: r#"Shipped("cleat")"#,
        fields: NONE,
    },
    Construct {
        name: "File",
        about: "A text from a file beside the script. In brackets: its path in quotes, relative to the file that names it.",
        example: r#"File("log.txt")"#,
        fields: NONE,
    },
    Construct {
        name: "Include",
        about: "Inserts another file here. In a list, it inserts the items of the included list one by one. In brackets: the path in quotes, relative to the file that names it.",
        example: r#"Include("alert.ron")"#,
        fields: NONE,
    },
    Construct {
        name: "Template",
        about: "Layers that are used in several places, for the map `templates`. `Use` inserts them.",
        example: r#"Template(parameters: {"label": Needed, "level": 0.5}, layers: [Text(text: Given("label"), font: "small", at: (0, 0)), Bar(at: (24, 0), size: (40, 5), value: Given("level"))])"#,
        fields: &[
            optional(
                "parameters",
                "a map `{\"label\": Needed, \"level\": 0.5}`",
                "{}",
                "Its parameters. `Needed` means that each `Use` must give a value; any other value is the default.",
            ),
            required(
                "layers",
                "a list of layers",
                "What is drawn; `Given(\"label\")` is replaced by the value of a parameter.",
            ),
        ],
    },
    Construct {
        name: "Given",
        about: "The value of a parameter, in the layers of a `Template`. In brackets: the parameter's name in quotes.",
        example: r#"Given("label")"#,
        fields: NONE,
    },
    Construct {
        name: "Needed",
        about: "In the parameters of a `Template`: each `Use` must give a value.",
        example: "Needed",
        fields: NONE,
    },
    Construct {
        name: "Use",
        about: "Inserts the layers of a template as a group. It also takes the parameters of the template, and the fields of `Group` except `layers`.",
        example: r#"Use(template: "gauge", label: "TRIM", x: 4, y: 8)"#,
        fields: &[required("template", "the name of a template, in quotes", "The template.")],
    },
    Construct {
        name: "InOut",
        about: "An easing: how a moving number speeds up and slows down. `In` starts slowly, `Out` ends slowly, `InOut` does both; they are quadratic. `Linear` moves evenly, `Step` jumps. For another curve, put its name before `In`, `Out` or `InOut`: Sine, Cubic, Fourth, Fifth, Exponential, Circular, Back, Elastic or Bounce, as in `SineIn` and `BackOut`.",
        example: "Ramp(from: 0, to: 40, seconds: 2, ease: InOut)",
        fields: NONE,
    },
];
