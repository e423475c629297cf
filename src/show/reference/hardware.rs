//! The hardware: display, bus, microcontroller, supply.

use super::{Construct, optional, required};

pub(super) const TABLE: &[Construct] = &[
    Construct {
        name: "Panel",
        about: "A display that `pageloom panels` does not list, described from its data sheet.",
        example: r#"Panel(controller: "SSD1306", size: (72, 40), pitch: (0.128, 0.13), dot: (0.108, 0.11), first_column: 28)"#,
        fields: &[
            optional("name", "a text in quotes", "own panel", "Its name in messages."),
            required("controller", "the name of a known controller, in quotes", "`pageloom panels` lists them."),
            required("size", "two whole numbers `(across, down)`", "Pixels across and down."),
            required("pitch", "two numbers `(across, down)`", "Millimetres from one pixel to the next."),
            required("dot", "two numbers `(across, down)`", "Millimetres of the lit part of a pixel."),
            optional("colour", "`White`, `Blue`, `Yellow`, `Green` or `Amber`", "White", "The colour of its light."),
            optional("first_column", "a whole number from 0 to 255", "0", "Memory column at the left edge."),
            optional(
                "segments_reversed",
                "`true` or `false`",
                "false",
                "Whether the upright picture needs segment remap (A1).",
            ),
            optional(
                "commons_reversed",
                "`true` or `false`",
                "false",
                "Whether the upright picture needs reversed COM scan (C8).",
            ),
            optional("multiplex", "a whole number from 0 to 255", "its height", "Rows driven (A8)."),
            optional("display_offset", "a whole number from 0 to 255", "0", "Display offset (D3)."),
            optional("start_line", "a whole number from 0 to 255", "0", "Start line (40) that puts memory row 0 on top."),
            optional("common_pins", "a whole number from 0 to 255", "0x12", "COM pins configuration (DA)."),
            optional(
                "external_supply",
                "`true` or `false`",
                "false",
                "Whether the panel voltage comes from an external supply.",
            ),
            optional("clock", "a whole number from 0 to 255", "as a known panel", "Clock divide and oscillator (D5)."),
            optional("precharge", "a whole number from 0 to 255", "as a known panel", "Pre-charge period (D9)."),
            optional("deselect", "a whole number from 0 to 255", "as a known panel", "VCOMH deselect level (DB)."),
            optional("reference", "a whole number from 0 to 255", "as a known panel", "Internal current reference (AD)."),
            optional("ratio", "a whole number from 0 to 7", "as a known panel", "LCD: regulator ratio (20 to 27)."),
            optional(
                "bias",
                "a whole number",
                "as a known panel",
                "LCD: bias, 0 or 1 (A2, A3); PCD8544: 0 to 7 (10 to 17).",
            ),
        ],
    },
    Construct {
        name: "Mounting",
        about: "How the display is mounted in the model.",
        example: "Mounting(turn: Half, opening: Millimetres(left: 0.5, top: 0.5, width: 8, height: 4))",
        fields: &[
            optional(
                "turn",
                "`Upright`, `Half`, `Left` or `Right`",
                "Upright",
                "How the display is turned; `Left` is a quarter turn anticlockwise.",
            ),
            optional("mirror", "`true` or `false`", "false", "Whether the viewer sees the display in a mirror."),
            optional("opening", "`Millimetres(…)` or `Pixels(…)`", "none", "The opening of the bezel in front of it."),
        ],
    },
    Construct {
        name: "Millimetres",
        about: "The opening of the bezel in millimetres, from the upper left corner of the lit area as the viewer sees it.",
        example: "Millimetres(left: 0.5, top: 0.5, width: 8, height: 4)",
        fields: &[
            required("left", "a number", "Distance from the left.").range(0.0, 200.0),
            required("top", "a number", "Distance from the top.").range(0.0, 200.0),
            required("width", "a number", "Its width in millimetres.").range(0.0, 200.0),
            required("height", "a number", "Its height in millimetres.").range(0.0, 200.0),
        ],
    },
    Construct {
        name: "Pixels",
        about: "The opening of the bezel in pixels, from the upper left corner as the viewer sees it.",
        example: "Pixels(left: 4, top: 4, width: 60, height: 30)",
        fields: &[
            required("left", "a whole number", "Pixels from the left edge of the lit area."),
            required("top", "a whole number", "Pixels from the top edge of the lit area."),
            required("width", "a whole number", "Its width in pixels."),
            required("height", "a whole number", "Its height in pixels."),
        ],
    },
    Construct {
        name: "I2c",
        about: "The I²C bus that the display is on.",
        example: "I2c(clock: 400_000, address: 0x3C, write_limit: 32, per_call: 16)",
        fields: &[
            required("clock", "a whole number", "Hertz.").range(1_000.0, 1_000_000.0),
            optional(
                "write_limit",
                "a whole number",
                "32",
                "The largest number of bytes that the bus driver can send in one transaction, including the control byte.",
            )
            .range(9.0, 255.0),
            optional("per_call", "a whole number", "32", "The largest number of bytes that one call of the player sends.")
                .range(12.0, 255.0),
            optional("address", "a whole number", "0x3C", "The display's 7-bit address.").range(8.0, 119.0),
            optional(
                "acknowledge",
                "`Required` or `Ignored`",
                "Required",
                "Whether a missing acknowledge is a fault. Some modules do not connect the SDA output of the controller and never acknowledge.",
            ),
            optional("others", "a list of `Device(…)`", "[]", "Other devices on the bus."),
        ],
    },
    Construct {
        name: "Spi",
        about: "The SPI bus of the display: clock, data, chip select, and D/C as a line or as a bit of each byte. No other device may be on it.",
        example: "Spi(clock: 8_000_000, per_call: 64)",
        fields: &[
            required(
                "clock",
                "a whole number",
                "Hertz. Each controller has its own limit; an AVR can send at half of its CPU clock.",
            )
            .range(1_000.0, 40_000_000.0),
            optional(
                "data_command",
                "`Line` or `Bit`",
                "Line",
                "`Bit`: 3-wire SPI. D/C is a bit before each byte, so that a byte has nine bits. Not all controllers have it. The firmware sends the bits itself, or uses a peripheral for words of nine bits.",
            ),
            optional("per_call", "a whole number", "32", "The largest number of bytes that one call of the player sends.")
                .range(12.0, 255.0),
        ],
    },
    Construct {
        name: "Device",
        about: "Another device on the bus. The build checks that the display and the device both get enough bus time.",
        example: r#"Device(name: "depth sensor", writes: 1, reads: 6, times_a_second: 20)"#,
        fields: &[
            required("name", "a text in quotes", "Its name in messages."),
            optional("writes", "a whole number", "0", "Bytes written per transaction, without the address.")
                .range(0.0, 4096.0),
            optional("reads", "a whole number", "0", "Bytes read per transaction.").range(0.0, 4096.0),
            optional("address", "a whole number", "not known", "Its 7-bit address; used to find conflicts.")
                .range(8.0, 119.0),
            required("times_a_second", "a number", "Transactions a second.").range(0.001, 100_000.0),
            optional("stretch_milliseconds", "a number", "0", "How long it stretches the clock in each transaction.").range(0.0, 1000.0),
            optional("scenes", "a list of names of scenes", "all scenes", "Scenes in which it is used."),
        ],
    },
    Construct {
        name: "Part",
        about: "A microcontroller whose flash and RAM are partly used by the rest of the firmware.",
        example: r#"Part(name: "ATmega328P", flash_left: 12_000, ram_left: 600)"#,
        fields: &[
            required("name", "the name of a known part, in quotes", "`pageloom panels` lists them."),
            optional("flash_left", "a number, at most the flash of the part", "all of the part", "Bytes of flash that show and player may use."),
            optional("ram_left", "a number, at most the RAM of the part", "all of the part", "Bytes of RAM that the player may use."),
        ],
    },
    Construct {
        name: "Power",
        about: "The power supply; used to compute the highest current and the running time.",
        example: "Power(cell: Cell(milliampere_hours: 500), regulator: Linear(own_milliamperes: 0.01), microcontroller: Draw(awake_milliamperes: 8))",
        fields: &[
            required("cell", "`Cell(…)`", "The cell or battery."),
            optional(
                "regulator",
                "`Direct`, `Linear(…)` or `Switching(…)`",
                "Direct",
                "The regulator between cell and display.",
            ),
            optional("microcontroller", "`Draw(…)`", "left out", "Current of the microcontroller."),
            optional("loads", "a list of `Load(…)`", "[]", "Other loads."),
        ],
    },
    Construct {
        name: "Cell",
        about: "A cell or battery. Follow its data sheet and the cautions of the report.",
        example: "Cell(milliampere_hours: 500, volts: 3.7, usable: 0.8)",
        fields: &[
            required("milliampere_hours", "a number", "Its capacity.").range(1.0, 100_000.0),
            optional("volts", "a number", "3.7", "Its mean voltage during discharge.").range(0.9, 24.0),
            optional("usable", "a number", "0.8", "The part of the capacity that you can use, 1 for all of it.").range(0.01, 1.0),
        ],
    },
    Construct {
        name: "Linear",
        about: "A linear regulator.",
        example: "Linear(own_milliamperes: 0.01, most_milliamperes: 250)",
        fields: &[
            optional("own_milliamperes", "a number", "0", "Its own current.").range(0.0, 10_000.0),
            optional("most_milliamperes", "a number", "10000", "Its highest output current.").range(0.0, 10_000.0),
        ],
    },
    Construct {
        name: "Switching",
        about: "A switching regulator.",
        example: "Switching(volts: 3.3, efficiency: 0.85)",
        fields: &[
            required("volts", "a number", "Its output voltage.").range(0.9, 24.0),
            required("efficiency", "a number", "Its efficiency, 1 for no losses.").range(0.01, 1.0),
            optional("own_milliamperes", "a number", "0", "Its own current.").range(0.0, 10_000.0),
            optional("most_milliamperes", "a number", "10000", "Its highest output current.").range(0.0, 10_000.0),
        ],
    },
    Construct {
        name: "Draw",
        about: "Current of the microcontroller.",
        example: "Draw(awake_milliamperes: 8, asleep_milliamperes: 0.01, awake: 0.3)",
        fields: &[
            required("awake_milliamperes", "a number", "Current while awake.").range(0.0, 10_000.0),
            optional("asleep_milliamperes", "a number", "0", "Current while asleep.").range(0.0, 10_000.0),
            optional("awake", "a number", "1", "The part of the time that it is awake, 1 for always.").range(0.0, 1.0),
        ],
    },
    Construct {
        name: "Load",
        about: "Another load, such as a lamp.",
        example: r#"Load(name: "beacon", milliamperes: 12, share: 0.5, scenes: ["boot"])"#,
        fields: &[
            required("name", "a text in quotes", "Its name in the report."),
            required("milliamperes", "a number", "Current while on.").range(0.0, 10_000.0),
            optional("share", "a number", "1", "The part of the time that it is on, 1 for always.").range(0.01, 1.0),
            optional("scenes", "a list of names of scenes", "all scenes", "Scenes in which it is on."),
        ],
    },
];
