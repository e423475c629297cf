//! What a firmware carries of a show, independent of the language it is written in.

use crate::panel::PlayerParts;

/// A stretch of the reel under a heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Offset of its first byte in the reel.
    pub offset: usize,
    pub heading: String,
}

/// A live field: its table for the player's field code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirmwareField {
    /// The scene's name and the field's own.
    pub name: String,
    /// Characters that it holds.
    pub cells: u32,
    /// The table as the player reads it.
    pub table: Vec<u8>,
}

/// A number that the firmware sets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirmwareLive {
    /// Its name in the script.
    pub name: String,
    /// The lowest value that the display shows.
    pub lowest: i16,
    /// The highest value that the display shows.
    pub highest: i16,
    /// The value before the firmware sets one.
    pub start: i16,
}

/// A cue at its time in a scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CueTime {
    /// Numbers of the scene and the cue.
    pub scene: usize,
    /// Its number.
    pub cue: usize,
    /// Frames and milliseconds since the scene began, as the player counts them.
    pub frame: u32,
    /// Milliseconds likewise.
    pub milliseconds: u32,
}

/// How long a scene lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SceneTime {
    /// Frames from its first to its last.
    pub frames: u32,
    /// Milliseconds likewise.
    pub milliseconds: u32,
    /// Whether it then plays again, and its cues with it.
    pub repeats: bool,
}

/// The pattern of a lamp: its table, and the numbers of the scenes and cues that start it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirmwareLamp {
    /// Its name in the script.
    pub name: String,
    /// The table as the lamp code reads it.
    pub table: Vec<u8>,
    /// Numbers of the scenes that begin it.
    pub scenes: Vec<usize>,
    /// Numbers of the cues that begin it.
    pub cues: Vec<usize>,
}

/// A compiled show with the names that firmware speaks of.
#[derive(Clone, Debug, Default)]
pub struct Firmware {
    /// The show's name, also the stem of its files.
    pub name: String,
    /// The bytes of the reel, at most 65,535.
    pub reel: Vec<u8>,
    /// Headings inside the reel, ascending.
    pub sections: Vec<Section>,
    /// Names by number.
    pub scenes: Vec<String>,
    /// Names of the triggers, by number.
    pub triggers: Vec<String>,
    /// Names of the cues, by number.
    pub cues: Vec<String>,
    /// The live fields. Their tables are stored next to the reel.
    pub fields: Vec<FirmwareField>,
    /// The live values, by number.
    pub live: Vec<FirmwareLive>,
    /// The live texts: name, and the table as the player reads it.
    pub texts: Vec<(String, Vec<u8>)>,
    /// The table of thresholds; empty without any.
    pub thresholds: Vec<u8>,
    /// How long each scene lasts, by number; and every cue, scene by scene in order of time.
    pub scene_times: Vec<SceneTime>,
    /// Every cue, scene by scene in order of time.
    pub cue_times: Vec<CueTime>,
    /// The lamps. Their tables are stored next to the reel.
    pub lamps: Vec<FirmwareLamp>,
    /// Columns and pages of the copy of the picture that a dense reel needs.
    pub picture: Option<(u32, u32)>,
    /// What the reel's player must be built for.
    pub parts: PlayerParts,
    /// What the supervisor knows of the display: its wait after power-up in milliseconds, then groups of commands.
    pub display: Vec<u8>,
    /// Whether the module never acknowledges.
    pub unacknowledged: bool,
    /// Whether the display is on SPI.
    pub spi: bool,
    /// Whether D/C is a bit before each byte there rather than a line.
    pub nine_bits: bool,
    /// Clock of its bus in hertz.
    pub bus_hertz: u32,
    /// What the firmware's author must know, a line each: panel, bus, room needed.
    pub about: Vec<String>,
}

impl Firmware {
    /// The reel cut at its sections: heading (none before the first) and bytes.
    pub(super) fn pieces(&self) -> Vec<(Option<&str>, &[u8])> {
        let mut pieces = Vec::new();
        let mut rest = (None, 0);
        for section in &self.sections {
            let offset = section.offset.clamp(rest.1, self.reel.len());
            pieces.push((rest.0, &self.reel[rest.1..offset]));
            rest = (Some(section.heading.as_str()), offset);
        }
        pieces.push((rest.0, &self.reel[rest.1..]));
        pieces.retain(|(_, bytes)| !bytes.is_empty());
        pieces
    }
}
