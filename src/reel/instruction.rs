//! The instructions of a reel before they are bytes, and the controller's own commands that they carry.

use super::memory::{DisplayState, RING_ROWS};

/// One instruction of the player; data still as plain bytes.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Instruction {
    /// Sets the pointer to a cell: page, and column of controller memory.
    Seek(CellPlace),
    /// Bytes of display memory from the pointer on.
    Data(Vec<u8>),
    /// So many bytes of a strip of the scene, from an offset on, which is so far on from what the place shows; `opens` where
    /// the strip begins to be shown. None at all say only where the next one goes on from.
    Strip { place: CellPlace, strip: usize, offset: usize, shift: i8, count: u8, opens: bool },
    /// Bytes of the reel from an address on, which the next [`Instruction::CopyRelative`] starts from; none need no place.
    CopyAbsolute { place: CellPlace, address: u16, count: u8 },
    /// Bytes of the reel, so far on from where the last ones of a strip began; a step back wraps round.
    CopyRelative { place: CellPlace, step: u16, count: u8 },
    /// The same, of which only those are sent that differ from what the place shows, the bytes so far before them in the reel.
    CopyChanged { place: CellPlace, step: u16, shift: i8, count: u8 },
    /// A beam opens with this record, pointing in a direction; all cells that it reaches are sent.
    OpenBeam { direction: u8, record: Vec<u8> },
    /// The beam turns by so much, in 1/256 of a turn; the cells that it changes are sent.
    Turn(u8),
    /// A roll opens with this record.
    OpenRoll(Vec<u8>),
    /// Rows of the roll are written: one, or the rest of its page, and all cells or those that change (`player::roll`).
    Roll(u8),
    /// So many areas open, whose records stand at an address; all cells of the first one are sent.
    OpenAreas { count: u8, address: u16 },
    /// The areas begin their courses anew with the next frame.
    RestartAreas,
    /// From here on the contrast follows a live value; for each of its steps a contrast stands at an address.
    Contrast { value: u8, address: u16 },
    /// A part of the picture goes round from here on: what follows up to [`Instruction::EndRound`], frame by frame, is played beside
    /// what stands behind that.
    OpenRound,
    /// A frame of the round is complete.
    RoundFrame,
    /// The round goes on from its start.
    EndRound,
    /// Sets the start line, in rows of controller memory.
    Line(u8),
    /// Moves the start line down by so many rows, modulo the ring.
    Scroll(u8),
    /// One transaction of command bytes.
    Commands(Vec<u8>),
    /// Hands a cue to the firmware.
    Cue(u8),
    /// The frame is complete, and then so many more without change.
    Frame { more: u32 },
    /// The frame is complete and stays until a trigger.
    Hold,
    /// Goes on at an instruction of the same scene, by its index.
    Jump(usize),
    /// Goes on to a scene.
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

/// The longest group of command bytes in one instruction; the player's smallest allowance holds it.
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

/// The instruction that brings the start line from one state to another; `first_line` is the one that shows memory row 0
/// at the top.
pub fn line_change(former: Option<DisplayState>, state: DisplayState, first_line: u8) -> Option<Instruction> {
    let Some(former) = former else { return Some(Instruction::Line((first_line + state.start_line) % RING_ROWS)) };
    let rows = (state.start_line + RING_ROWS - former.start_line) % RING_ROWS;
    (rows != 0).then_some(Instruction::Scroll(rows))
}
