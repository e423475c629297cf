//! The bus time of transfers: transactions, window commands, data, and the write limit.

use crate::units::Nanoseconds;
use crate::whole::limited;

/// The bus time of transactions, seeks and data.
#[derive(Clone, Debug)]
pub struct Cost {
    /// Time of one byte.
    byte: u64,
    /// Time of a transaction without data bytes: on I²C start, address, control byte and stop; on SPI chip select and D/C.
    transaction: u64,
    /// Bytes after the address in one transaction, including the control byte.
    write_limit: u64,
    /// How many bytes on the bus a byte of flash is worth.
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
/// Reel bytes of a run in addition to its cells: the seek, and the instruction before its data.
pub const RUN_CODE_BYTES: u64 = 3;
/// Reel bytes of a rectangle in addition to its cells: two groups of commands, and the instruction before its data.
const RECTANGLE_CODE_BYTES: u64 = 5;
/// How many bytes on the bus a byte of flash is worth. With this, gaps of a few cells are skipped. A larger value would use up bus
/// time that a show may need. Found by trying 0 to 10 on the bench corpus.
const FLASH_WORTH: u64 = 2;
/// Command bytes that return to page addressing.
pub const PAGE_MODE_BYTES: u64 = 2;
/// Command bytes that reset the column window to the whole memory.
pub const WHOLE_COLUMNS_BYTES: u64 = 3;

impl Cost {
    /// Costs from the time of one byte and of one empty transaction. `write_limit` is at least 2.
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
    /// The same bus, with this number of command bytes to set the pointer.
    pub fn with_seek(self, seek: u64) -> Self {
        Self { seek, ..self }
    }
    /// The same bus, where flash costs nothing.
    pub fn of_bus_alone(&self) -> Self {
        Self { flash_worth: 0, ..self.clone() }
    }
    /// The same bus, where only runs in one page can be written.
    pub fn of_runs_alone(self) -> Self {
        Self { rectangles: false, ..self }
    }
    /// The largest number of data bytes in one transaction.
    pub fn most_data(&self) -> u8 {
        limited(self.write_limit - 1)
    }
    /// One transaction of command bytes.
    pub fn commands(&self, bytes: u64) -> u64 {
        self.transaction + bytes * self.byte
    }
    /// Data bytes, split into transactions by the write limit.
    pub fn data(&self, bytes: u64) -> u64 {
        let transactions = bytes.div_ceil(self.write_limit - 1);
        transactions * self.transaction + bytes * self.byte
    }
    /// A run of cells in one page.
    pub fn run(&self, cells: u64) -> u64 {
        self.commands(self.seek) + self.data(cells)
    }
    /// A rectangle of `pages` × `columns` cells, with the return to page addressing. If it does not end `at_edge` (the last visible
    /// column), its column window must be reset. The data sheet does not say how page addressing behaves at the end of an earlier
    /// window (SSD1306 data sheet Rev 1.5 §10.1.3).
    pub fn rectangle(&self, pages: u64, columns: u64, at_edge: bool) -> u64 {
        let closing = if at_edge { PAGE_MODE_BYTES } else { WHOLE_COLUMNS_BYTES + PAGE_MODE_BYTES };
        self.commands(RECTANGLE_BYTES) + self.data(pages * columns) + self.commands(closing)
    }
    /// The price of a run, by which transfers are chosen: its bus time plus its flash as bus time.
    pub fn run_price(&self, cells: u64) -> u64 {
        self.run(cells) + self.flash(RUN_CODE_BYTES + cells)
    }
    /// The price of a rectangle: its bus time plus its flash as bus time.
    pub fn rectangle_price(&self, pages: u64, columns: u64, at_edge: bool) -> u64 {
        let closing = if at_edge { PAGE_MODE_BYTES } else { WHOLE_COLUMNS_BYTES + PAGE_MODE_BYTES };
        let code = RECTANGLE_BYTES + closing + RECTANGLE_CODE_BYTES;
        self.rectangle(pages, columns, at_edge) + self.flash(code + pages * columns)
    }
    /// Bytes of flash as bus time.
    pub fn flash(&self, bytes: u64) -> u64 {
        self.flash_worth * bytes * self.byte
    }
}
