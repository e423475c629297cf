//! The instructions of a reel before they are bytes, and the controller's own commands that they carry.

use super::memory::{DisplayState, RING_ROWS};

/// One instruction of the player. Data are plain bytes; how they are packed is decided later.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Instruction {
    /// Sets the pointer to a cell: page, and column of controller memory.
    Seek(CellPlace),
    /// Bytes of display memory from the pointer on.
    Data(Vec<u8>),
    /// `count` bytes of a strip of the scene from an offset on. `shift` is their distance in the strip from the bytes that the
    /// place shows; `opens` if the strip is shown for the first time. A count of 0 only says where the next copy continues from.
    Strip { place: CellPlace, strip: usize, offset: usize, shift: i8, count: u8, opens: bool },
    /// Bytes of the reel from an address on. The next [`Instruction::CopyRelative`] starts from there. A count of 0 needs no place.
    CopyAbsolute { place: CellPlace, address: u16, count: u8 },
    /// Bytes of the reel, `step` bytes after the start of the last copy of a strip. A step back wraps around.
    CopyRelative { place: CellPlace, step: u16, count: u8 },
    /// As `CopyRelative`, but only bytes are sent that differ from those shown, which are `shift` bytes earlier in the reel.
    CopyChanged { place: CellPlace, step: u16, shift: i8, count: u8 },
    /// A beam opens with this record and points in a direction. All cells that it reaches are sent.
    OpenBeam { direction: u8, record: Vec<u8> },
    /// The beam turns, in 1/256 of a turn. The cells that it changes are sent.
    Turn(u8),
    /// A roll opens with this record.
    OpenRoll(Vec<u8>),
    /// Rows of the roll are written: one, or all up to the end of its page; all cells are sent, or those that change
    /// (`player::roll`).
    Roll(u8),
    /// `count` areas open, whose records are at an address. All cells of the first one are sent.
    OpenAreas { count: u8, address: u16 },
    /// The areas restart their courses with the next frame.
    RestartAreas,
    /// Closes the areas; what they show stays.
    CloseAreas,
    /// From here on, the contrast follows a live value. A table at the address has a contrast for each of its steps.
    Contrast { value: u8, address: u16 },
    /// A loop begins, a part of the picture that repeats on its own. Its instructions follow up to [`Instruction::EndRound`]. One
    /// piece is played in each frame, before the instructions after the loop.
    OpenRound,
    /// A piece of the loop is complete.
    RoundFrame,
    /// The loop continues at its start.
    EndRound,
    /// Sets the start line, in rows of controller memory.
    Line(u8),
    /// Moves the start line down by a number of rows, modulo the ring.
    Scroll(u8),
    /// One transaction of command bytes.
    Commands(Vec<u8>),
    /// Reports a cue to the firmware.
    Cue(u8),
    /// The frame is complete, and `more` frames follow without change.
    Frame { more: u32 },
    /// The frame is complete and stays until a trigger.
    Hold,
    /// Continues at an instruction of the same scene, by its index.
    Jump(usize),
    /// Continues with a scene.
    Scene(u8),
    /// Goes back to the scene that a trigger left.
    Back,
}

/// A cell: its page, and its column of controller memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CellPlace {
    pub page: u8,
    pub column: u8,
}

/// The longest group of command bytes in one instruction. It fits in the player's smallest allowance.
pub const LONGEST_GROUP: usize = 10;

/// Controller commands of windows and of the start line (SSD1306 data sheet Rev 1.5 Table 9-1).
pub mod command {
    /// Display start line; the row is added.
    pub const START_LINE: u8 = 0x40;
    /// Addressing mode; the mode follows.
    pub const ADDRESSING: u8 = 0x20;
    /// Horizontal addressing mode.
    pub const HORIZONTAL: u8 = 0x00;
    /// Page addressing mode.
    pub const PAGE: u8 = 0x02;
    /// Column window: first and last column follow.
    pub const COLUMNS: u8 = 0x21;
    /// Page window: first and last page follow.
    pub const PAGES: u8 = 0x22;
}

/// The instruction that changes the start line from one state to another. `first_line` is the start line that shows memory row 0 at
/// the top.
pub fn line_change(former: Option<DisplayState>, state: DisplayState, first_line: u8) -> Option<Instruction> {
    let Some(former) = former else { return Some(Instruction::Line((first_line + state.start_line) % RING_ROWS)) };
    let rows = (state.start_line + RING_ROWS - former.start_line) % RING_ROWS;
    (rows != 0).then_some(Instruction::Scroll(rows))
}
