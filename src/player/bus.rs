// The bus that the firmware supplies, the transactions of one tick, and the parts that extend the player.

/// The smallest allowance of a tick, in bytes. A smaller one is raised to this. The longest command group fits in it.
pub const SMALLEST_ALLOWANCE: u8 = 12;

/// This address means a display on SPI whose pointer is set by bank and column.
pub const BANKED_POINTER: u8 = 1;

/// Work of the player that takes time in addition to the bus. A simulated bus computes from it how long a tick takes.
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
    /// A command group, such as one that sets the pointer.
    Group,
    /// A byte that was compared with the one shown.
    Compared,
    /// A computation of how many cells are too far from a turning beam.
    FarCount,
    /// A cell in the rows of a turning beam.
    PassedCell,
    /// A cell near a turning beam.
    BeamCell,
    /// A pixel of such a cell within the beam's reach.
    BeamPixel,
    /// A cell of noise.
    NoiseCell,
    /// A cell of a history.
    HistoryCell,
    /// A line that was passed to find the lines that roll.
    PassedLine,
    /// A cell of scrolling lines.
    RolledCell,
    /// A piece of ink in such a line.
    InkPiece,
    /// A chunk of 16 cells.
    AreaChunk,
    /// A check whether an area moves, for a chunk.
    AreaAsked,
    /// A check whether an area covers a part of a chunk: of its pages, and one more of its columns if it has the page.
    AreaCheck,
    /// An area that is drawn on a chunk, for the previous frame or for this one.
    AreaPaint,
    /// A piece of a row of a sheet, skipped or drawn. It counts twice if the row continues at its start, or if cells that are elsewhere are drawn.
    AreaItem,
    /// A cell of a sheet that is drawn.
    AreaCell,
    /// A shift by one pixel, of such a cell or of a predicted cell of a dense frame.
    AreaShift,
    /// A blank cell of a sheet.
    AreaBlank,
    /// A live value that was copied for a frame.
    LiveValue,
    /// A part that a live value adds to the phase of an area.
    LivePart,
    /// A page of a dense frame.
    Page,
    /// Eight cells of a dense frame that were predicted, or those that are left in the page.
    Eight,
    /// Eight such cells in a scene that moves.
    MovedEight,
    /// A cell of a dense frame.
    DenseCell,
    /// A cell of a dense frame that was predicted from a beam.
    PredictedCell,
    /// A pixel of a dense frame that was decoded.
    Pixel,
    /// A decision of a dense frame that was decoded.
    Decision,
    /// A node of a decision tree that was passed.
    Node,
    /// A cell of the copy of the picture that was sent.
    SentCell,
    /// A model of a dense reel, or a stream, that was opened.
    OpenedStream,
    /// A run of drawn cells on which areas were composed.
    ComposedRun,
    /// A cell of the copy of the picture that was taken below areas.
    CopiedCell,
    /// A cell that was made dark when a film or a dense scene opened.
    BlankedCell,
    /// A cell of a film.
    FilmCell,
    /// A cell of a film that was drawn pixel by pixel.
    FilmDrawn,
    /// A decision of a film about eight cells, or about a copy of the cell on the left.
    FilmDecision,
}

/// A write-only bus to the display. A transaction is `start`, bytes, `stop`. A byte that is not acknowledged is an error.
pub trait Bus {
    /// The error of a bus that fails, or of a display that does not acknowledge.
    type Error;
    /// Opens a transaction and sends the seven-bit `address` for writing.
    fn start(&mut self, address: u8) -> Result<(), Self::Error>;
    /// Sends one byte.
    fn write(&mut self, byte: u8) -> Result<(), Self::Error>;
    /// Closes the transaction. The player calls it after a failed byte too.
    fn stop(&mut self) -> Result<(), Self::Error>;
    /// Pulls the display's reset pin low for at least 10 µs, then sets it high. Does nothing if there is no reset pin.
    fn reset(&mut self) {}
    /// Receives the units of work that the player did. Only simulations implement it.
    fn work(&mut self, _work: Work, _units: u16) {}
}

/// The result of a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// The picture is complete; there is nothing to send until the next frame is due.
    Idle,
    /// The allowance is used up; there is more to send now.
    Busy,
    /// This cue is due. Call `tick` again for what follows.
    Cue(u8),
    /// The bus or the reel failed. Nothing is sent until `restart`.
    Fault,
}

/// The open transaction of one tick, and how many bytes the tick may still send.
pub struct Burst<'b, B: Bus> {
    /// The bus.
    pub bus: &'b mut B,
    /// The 7-bit address of the display.
    pub address: u8,
    /// The largest number of data bytes in one transaction.
    pub most: u8,
    /// Data bytes that the tick may still send.
    pub allowance: u8,
    /// Bytes that composing the current cells uses up. They are subtracted from the allowance after the cells were sent.
    pub owed: u8,
    /// Data bytes that the open transaction can still take; 0 if none is open.
    pub room: u8,
    /// Whether a transaction is open.
    pub open: bool,
}

/// Why a tick stops sending.
pub enum End {
    /// The byte budget of the tick is used up.
    Allowance,
    /// A cue with this number is due.
    Cue(u8),
    /// The frame or the set-up ended.
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
    /// Sends one data byte. Call `make_room` first.
    pub fn data(&mut self, byte: u8) -> Result<(), End> {
        self.room -= 1;
        self.write(byte)
    }
    /// Sends command bytes in their own transaction, or none of them if the allowance is too small.
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
    /// Sends the cell at `(page, column)` of a picture, and the cells of a short gap before it. The picture begins at the column `first`
    /// of the display's memory. `pointer` is the column of the display's pointer in the picture, or [`NOWHERE`]. `fill` gets the column
    /// of the picture at which the cells begin, and fills them.
    pub fn cell(
        &mut self,
        (page, column): (u8, u8),
        first: u8,
        pointer: &mut u8,
        fill: impl FnOnce(&mut Self, u8, &mut [u8]) -> Result<(), End>,
    ) -> Result<(), End> {
        if *pointer > column || column - *pointer > LONGEST_GAP {
            self.seek(page, first.wrapping_add(column))?;
            *pointer = column;
        }
        let (mut cells, count) = ([0; LONGEST_GAP as usize + 1], (column - *pointer) as usize + 1);
        self.owed = 0;
        fill(self, *pointer, &mut cells[..count])?;
        for cell in &cells[..count] {
            self.make_room()?;
            self.bus.work(Work::SentCell, 1);
            self.data(*cell)?;
            *pointer += 1;
        }
        self.spend(self.owed);
        Ok(())
    }
}

/// The longest gap of unchanged cells that is sent. Setting the pointer takes more bytes.
const LONGEST_GAP: u8 = 6;
/// A column that no picture has: the display's pointer is elsewhere.
pub const NOWHERE: u8 = 0xFF;

/// A gap of this many unchanged cells is skipped by setting the pointer. Sending a shorter gap takes less time.
pub const SHORTEST_GAP: u8 = 8;
/// The distance in the strip, from the bytes shown to the bytes to show, is stored with this added.
pub const NO_SHIFT: u16 = 128;

/// Where the data bytes of an instruction come from.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Data {
    /// They follow the instruction.
    Literal,
    /// The byte after the instruction is repeated.
    Fill,
    /// They are at another offset of the reel.
    Copy,
    /// They are at another offset. Only changes are sent; the display's pointer is elsewhere.
    Elsewhere,
    /// They are at another offset. Only changes are sent; the display's pointer is at a byte to send.
    AtChange,
}

/// A part that extends the player, such as areas, scrolling lines, or a copy of the picture (`dense::Picture`). [`Lean`] is none.
pub trait Extension {
    /// Reads the operands of the instruction `operation` at the offset `at`. Returns the offset after them, or `None` if this part does
    /// not know the instruction or the operands are invalid.
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16>;
    /// Advances by a frame what moves on its own. Returns whether it must be drawn before the rest of the frame.
    fn advance<B: Bus>(&mut self, _reel: &[u8], _bus: &mut B) -> bool {
        false
    }
    /// Returns whether areas that were just opened are sent at once.
    fn sends_areas(&self) -> bool {
        true
    }
    /// Called when a scene is entered, before its first instruction.
    fn leave(&mut self) {}
    /// Called when a frame is due.
    fn frame_begins(&mut self) {}
    /// Sends the contrast, if it follows a live value and has changed. Returns `None` if there is nothing to compare.
    fn dim<B: Bus>(&mut self, _reel: &[u8], _burst: &mut Burst<'_, B>) -> Option<Result<(), End>> {
        None
    }
    /// Draws and sends a part of a frame. Returns whether the frame is complete.
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End>;
}

/// No extension.
pub struct Lean;

impl Extension for Lean {
    fn open(&mut self, _: &[u8], _: u8, _: u16) -> Option<u16> {
        None
    }
    fn draw<B: Bus>(&mut self, _: &[u8], _: u8, _: &mut Burst<'_, B>) -> Result<bool, End> {
        Err(End::Fault)
    }
}

/// Two extensions, for a show that needs both.
pub struct Chain<A, B> {
    pub(super) one: A,
    pub(super) other: B,
    pub(super) draws_other: bool,
}

impl<A, B> Chain<A, B> {
    /// Joins two extensions.
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
        let other = !one && self.other.advance(reel, bus);
        self.draws_other = other || self.draws_other && !one;
        one || other
    }
    fn sends_areas(&self) -> bool {
        if self.draws_other { self.other.sends_areas() } else { self.one.sends_areas() }
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
