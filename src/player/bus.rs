// What the player asks of the firmware's bus, the transactions of one tick, and what draws with them.

/// The smallest allowance of a tick. A smaller one is raised to this. It has room for the longest command group.
pub const SMALLEST_ALLOWANCE: u8 = 12;

/// In place of an address: a display on SPI whose pointer is set by bank and column.
pub const BANKED_POINTER: u8 = 1;

/// Work of the player that takes time beside the bus, so that a simulated bus can tell how long a tick takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    /// A call of `tick`.
    Tick,
    /// A pass of the loop within a tick: one instruction, a piece of its data, or a piece of what is drawn.
    Step,
    /// An instruction that was decoded.
    Instruction,
    /// Earlier instructions that are played again.
    Replay,
    /// A command group that was put together, such as one that sets the pointer.
    Group,
    /// A byte that was compared with the one shown.
    Compared,
    /// A look at cells that a turning beam is too far from to light.
    FarLook,
    /// A cell of a turning beam that was passed.
    PassedCell,
    /// A cell of a turning beam that may be lit.
    BeamCell,
    /// A pixel of such a cell within the beam's reach.
    BeamPixel,
    /// A cell of noise.
    NoiseCell,
    /// A cell of a history.
    HistoryCell,
    /// Lines that were passed on the way to those that roll.
    PassedLine,
    /// A cell of scrolling lines.
    RolledCell,
    /// A piece of ink in such a line.
    InkPiece,
    /// Cells that are composed at once, if an area that covers them moves.
    AreaChunk,
    /// An area that was asked for such cells whether it moves.
    AreaAsked,
    /// An area whose place was held against cells.
    AreaLook,
    /// An area that covers some of them, for the frame before or for this one.
    AreaPaint,
    /// A piece of a row of a sheet, passed over or laid; one more where a row goes on at its start, or where its cells
    /// stand elsewhere.
    AreaItem,
    /// A cell of a row that is laid; two where two rows meet in one.
    AreaCell,
    /// A pixel by which such a cell, or one of eight cells of a dense frame, is moved up.
    AreaShift,
    /// A blank cell of a row.
    AreaBlank,
    /// A live value that was taken up.
    LiveValue,
    /// A part of an area's phase that follows from a live value.
    LivePart,
    /// A page of a dense frame.
    Page,
    /// Eight cells of a dense frame, or what is left of its row, whose expected bytes were made.
    Eight,
    /// Eight such cells in a scene that moves.
    MovedEight,
    /// A cell of a dense frame that was looked at.
    DenseCell,
    /// A cell of a dense frame that was looked at for a beam.
    ForeseenCell,
    /// A pixel of a dense frame that was decided.
    Pixel,
    /// A decision of a dense frame.
    Decision,
    /// A node of a decision tree that was passed.
    Node,
    /// A cell of the copy of the picture that was sent.
    SentCell,
    /// A cell that was made dark where a film or a dense scene opens.
    BlankedCell,
    /// A cell of a film that was looked at.
    FilmCell,
    /// Such a cell that was drawn pixel by pixel.
    FilmDrawn,
    /// Another decision of a film: about eight cells, or a copy of the cell on the left.
    FilmDecision,
}

/// A write-only bus to the display. A transaction is `start`, bytes, `stop`; every byte is acknowledged or an error.
pub trait Bus {
    /// What the bus says when the display does not acknowledge, or the bus fails.
    type Error;
    /// Opens a transaction and sends the seven-bit `address` for writing.
    fn start(&mut self, address: u8) -> Result<(), Self::Error>;
    /// Sends one byte.
    fn write(&mut self, byte: u8) -> Result<(), Self::Error>;
    /// Closes the transaction; also called after a failed byte.
    fn stop(&mut self) -> Result<(), Self::Error>;
    /// Pulls the display's reset pin low for 10 µs at least, then lets it rise; nothing where there is none.
    fn reset(&mut self) {}
    /// Receives the units of work that the player did, for simulation; firmware does not override it.
    fn work(&mut self, _work: Work, _units: u16) {}
}

/// The result of a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// The picture is complete; there is nothing to send until the next frame is due.
    Idle,
    /// The allowance is used up; there is more to send now.
    Busy,
    /// This cue is due; call `tick` again for what follows.
    Cue(u8),
    /// The bus or the reel failed; nothing is sent until `restart`.
    Fault,
}

/// The transaction that is open during one tick, and what the tick may still send.
pub struct Burst<'b, B: Bus> {
    /// The bus.
    pub bus: &'b mut B,
    /// The 7-bit address of the display.
    pub address: u8,
    /// The most data bytes of one transaction.
    pub most: u8,
    /// Data bytes that the tick may still send.
    pub allowance: u8,
    /// Bytes that composing the current cells uses up; subtracted from the allowance after the cells were sent.
    pub owed: u8,
    /// Data bytes that the open transaction may still take; 0 when none is open.
    pub room: u8,
    /// Whether a transaction is open.
    pub open: bool,
}

/// Why the sending of one tick ends.
pub enum End {
    /// The byte budget of the tick is used up.
    Allowance,
    /// A cue is handed to the firmware: its number.
    Cue(u8),
    /// What the player does has changed.
    Phase,
    /// The bus refused a byte.
    Fault,
}

impl<B: Bus> Burst<'_, B> {
    /// Ends the open transaction, if there is one.
    pub fn close(&mut self) -> Result<(), End> {
        if self.open {
            self.open = false;
            self.room = 0;
            self.bus.stop().map_err(|_| End::Fault)?;
        }
        Ok(())
    }
    fn begin(&mut self, control: u8, bytes: u8) -> Result<(), End> {
        self.close()?;
        if self.allowance < bytes.saturating_add(2) {
            return Err(End::Allowance);
        }
        self.open = true;
        self.bus.start(self.address).map_err(|_| End::Fault)?;
        self.bus.write(control).map_err(|_| End::Fault)?;
        self.allowance -= 2;
        Ok(())
    }
    fn write(&mut self, byte: u8) -> Result<(), End> {
        self.allowance -= 1;
        self.bus.write(byte).map_err(|_| End::Fault)
    }
    /// Opens a transaction for data unless one is open.
    pub fn make_room(&mut self) -> Result<(), End> {
        if self.room == 0 {
            self.begin(0x40, 1)?;
            self.room = if self.allowance < self.most { self.allowance } else { self.most };
        }
        Ok(())
    }
    /// Uses up bytes of the allowance for work that takes time: one byte for about 2,000 cycles of an AVR.
    pub fn spend(&mut self, bytes: u8) {
        self.allowance = self.allowance.saturating_sub(bytes);
        self.room = if self.room < self.allowance { self.room } else { self.allowance };
    }
    /// Sends one data byte; there must be room.
    pub fn data(&mut self, byte: u8) -> Result<(), End> {
        self.room -= 1;
        self.write(byte)
    }
    /// Sends command bytes in a transaction of their own, or none of them if the allowance is too small.
    pub fn commands(&mut self, bytes: &[u8]) -> Result<(), End> {
        self.begin(0x00, bytes.len() as u8)?;
        self.bus.work(Work::Group, 1);
        for byte in bytes {
            self.write(*byte)?;
        }
        self.close()
    }
    /// Sets the pointer to a cell of the display's memory.
    pub fn seek(&mut self, page: u8, column: u8) -> Result<(), End> {
        if self.address == BANKED_POINTER {
            return self.commands(&[0x40 | page, 0x80 | column]);
        }
        self.commands(&[0xB0 | page, column & 15, 0x10 | column >> 4])
    }
    /// Sends the cell at `(page, column)` of a picture that begins at the column `first` of the display's memory, and the cells of a
    /// short gap before it. `pointer` is the picture's column at which the display's pointer stands, or [`NOWHERE`].
    pub fn cell(
        &mut self,
        (page, column): (u8, u8),
        first: u8,
        pointer: &mut u8,
        byte: impl Fn(u8) -> u8,
    ) -> Result<(), End> {
        if *pointer > column || column - *pointer > LONGEST_GAP {
            self.seek(page, first.wrapping_add(column))?;
            *pointer = column;
        }
        while *pointer <= column {
            self.make_room()?;
            self.bus.work(Work::SentCell, 1);
            self.data(byte(*pointer))?;
            *pointer += 1;
        }
        Ok(())
    }
}

/// The most cells of a picture that are sent again to reach one that changed: fewer bytes than those that set the pointer.
const LONGEST_GAP: u8 = 6;
/// A column that no picture has: the display's pointer stands elsewhere.
pub const NOWHERE: u8 = 0xFF;

/// Cells alike from which on the pointer is set anew: fewer are sent in less time than that takes.
pub const SHORTEST_GAP: u8 = 8;
/// What is added to a shift in the strip.
pub const NO_SHIFT: u16 = 128;

/// What the data bytes of an instruction are.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Data {
    /// They follow.
    Literal,
    /// All are the one that follows.
    Fill,
    /// They stand elsewhere in the reel.
    Copy,
    /// Only what changes; the display's pointer is yet to be set to the next change, or stands there.
    Elsewhere,
    /// Likewise; the pointer stands at a change.
    AtChange,
}

/// What a player keeps of the picture to draw by: nothing ([`Lean`]), or the whole of it (`dense::Picture`).
pub trait Extension {
    /// Takes up the operands of instruction `operation` at `at`, which opens a stream or draws frames of it; the offset behind
    /// them, none if that cannot be.
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16>;
    /// Goes on by a frame in what moves by itself; whether something is to be drawn for it before the rest of the frame.
    fn advance<B: Bus>(&mut self, _reel: &[u8], _bus: &mut B) -> bool {
        false
    }
    /// A scene is entered.
    fn leave(&mut self) {}
    /// A frame is due.
    fn frame_begins(&mut self) {}
    /// Sends the contrast, if it follows a live value and is due to be compared; `None` if not.
    fn dim<B: Bus>(&mut self, _reel: &[u8], _burst: &mut Burst<'_, B>) -> Option<Result<(), End>> {
        None
    }
    /// Draws and sends a part of a frame; whether the frame is whole.
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End>;
}

/// Keeps nothing of the picture.
pub struct Lean;

impl Extension for Lean {
    fn open(&mut self, _: &[u8], _: u8, _: u16) -> Option<u16> {
        None
    }
    fn draw<B: Bus>(&mut self, _: &[u8], _: u8, _: &mut Burst<'_, B>) -> Result<bool, End> {
        Err(End::Fault)
    }
}

/// Keeps what two parts of the player need, in a show that has both.
pub struct Chain<A, B> {
    one: A,
    other: B,
    draws_other: bool,
}

impl<A, B> Chain<A, B> {
    /// Both parts as they begin.
    pub const fn new(one: A, other: B) -> Self {
        Self { one, other, draws_other: false }
    }
}

impl<A: Extension, B: Extension> Extension for Chain<A, B> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        let behind = self.one.open(reel, operation, at);
        self.draws_other = behind.is_none();
        if self.draws_other { self.other.open(reel, operation, at) } else { behind }
    }
    fn advance<C: Bus>(&mut self, reel: &[u8], bus: &mut C) -> bool {
        let one = self.one.advance(reel, bus);
        self.draws_other = !one;
        one || self.other.advance(reel, bus)
    }
    fn leave(&mut self) {
        self.one.leave();
        self.other.leave();
    }
    fn frame_begins(&mut self) {
        self.one.frame_begins();
        self.other.frame_begins();
    }
    fn dim<C: Bus>(&mut self, reel: &[u8], burst: &mut Burst<'_, C>) -> Option<Result<(), End>> {
        self.one.dim(reel, burst).or_else(|| self.other.dim(reel, burst))
    }
    fn draw<C: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, C>) -> Result<bool, End> {
        if self.draws_other { self.other.draw(reel, scene, burst) } else { self.one.draw(reel, scene, burst) }
    }
}
