//! What a transfer costs on the bus, in time: transactions, window commands, data, the write limit.

use crate::units::Nanoseconds;
use crate::whole::limited;

/// The bus time of transactions, seeks and data.
#[derive(Clone, Debug)]
pub struct Cost {
    /// Time of one byte.
    byte: u64,
    /// Time of a transaction without any byte: on I²C start, address, control byte and stop, on SPI chip select and D/C.
    transaction: u64,
    /// Bytes after the address in one transaction, the control byte counted.
    write_limit: u64,
    /// How many bytes on the bus a byte of flash is taken to be worth.
    flash_worth: u64,
    /// Command bytes that set the pointer.
    seek: u64,
    /// Whether rectangles over several pages can be written (SSD13xx), or only runs in one page (SH1106).
    pub rectangles: bool,
}

/// Command bytes of a seek: page, low and high nibble of the column; most controllers have these.
const SEEK_BYTES: u64 = 3;
/// Command bytes that open a rectangle: addressing mode (2), columns (3), pages (3).
pub const RECTANGLE_BYTES: u64 = 8;
/// Reel bytes of a run beside its cells: the seek, and the instruction that its data begin with.
pub const RUN_CODE_BYTES: u64 = 3;
/// Reel bytes of a rectangle beside its cells: two groups of commands, and the instruction that its data begin with.
const RECTANGLE_CODE_BYTES: u64 = 5;
/// How many bytes on the bus a byte of flash is worth: enough that gaps of a few cells are skipped, and no more, since
/// the bus of most shows is idle but must not be given away. Found by trying 0 to 10 on the bench corpus.
const FLASH_WORTH: u64 = 2;
/// Command bytes that return to page addressing.
pub const PAGE_MODE_BYTES: u64 = 2;
/// Command bytes that open the column window again to the whole memory.
pub const WHOLE_COLUMNS_BYTES: u64 = 3;

impl Cost {
    /// Costs from the time of one byte and of one empty transaction; `write_limit` of 2 or more.
    pub fn new(byte: Nanoseconds, transaction: Nanoseconds, write_limit: u16, rectangles: bool) -> Self {
        let write_limit = u64::from(write_limit.max(2));
        Self {
            byte: byte.0,
            transaction: transaction.0,
            write_limit,
            flash_worth: FLASH_WORTH,
            seek: SEEK_BYTES,
            rectangles,
        }
    }
    /// The same bus, where so many command bytes set the pointer.
    pub fn with_seek(self, seek: u64) -> Self {
        Self { seek, ..self }
    }
    /// The same bus, where flash counts for nothing.
    pub fn of_bus_alone(&self) -> Self {
        Self { flash_worth: 0, ..self.clone() }
    }
    /// The same bus, where only runs in one page can be written.
    pub fn of_runs_alone(self) -> Self {
        Self { rectangles: false, ..self }
    }
    /// The most data bytes of one transaction.
    pub fn most_data(&self) -> u8 {
        limited(self.write_limit - 1)
    }
    /// One transaction of command bytes.
    pub fn commands(&self, bytes: u64) -> u64 {
        self.transaction + bytes * self.byte
    }
    /// Data bytes, in as many transactions as the write limit asks for.
    pub fn data(&self, bytes: u64) -> u64 {
        let transactions = bytes.div_ceil(self.write_limit - 1);
        transactions * self.transaction + bytes * self.byte
    }
    /// A run of cells in one page.
    pub fn run(&self, cells: u64) -> u64 {
        self.commands(self.seek) + self.data(cells)
    }
    /// A rectangle of `pages` × `columns` cells, with the return to page addressing. Unless it ends `at_edge`, the last
    /// visible column, its column window must be opened again: where page addressing goes at the end of a window set
    /// before, the data sheet leaves open (SSD1306 data sheet Rev 1.5 §10.1.3).
    pub fn rectangle(&self, pages: u64, columns: u64, at_edge: bool) -> u64 {
        let closing = if at_edge { PAGE_MODE_BYTES } else { WHOLE_COLUMNS_BYTES + PAGE_MODE_BYTES };
        self.commands(RECTANGLE_BYTES) + self.data(pages * columns) + self.commands(closing)
    }
    /// What a run is taken to cost when transfers are chosen: its bus time, and its bytes of flash as bus time.
    pub fn run_price(&self, cells: u64) -> u64 {
        self.run(cells) + self.flash(RUN_CODE_BYTES + cells)
    }
    /// What a rectangle is taken to cost, likewise.
    pub fn rectangle_price(&self, pages: u64, columns: u64, at_edge: bool) -> u64 {
        let closing = if at_edge { PAGE_MODE_BYTES } else { WHOLE_COLUMNS_BYTES + PAGE_MODE_BYTES };
        let code = RECTANGLE_BYTES + closing + RECTANGLE_CODE_BYTES;
        self.rectangle(pages, columns, at_edge) + self.flash(code + pages * columns)
    }
    /// What bytes of flash are worth, as bus time.
    pub fn flash(&self, bytes: u64) -> u64 {
        self.flash_worth * bytes * self.byte
    }
}
