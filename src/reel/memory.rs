//! The display's memory as far as the planner knows it: for each column its rows, and which of them are known.

use super::prefetch::Prefetch;
use super::step::Wanted;
use crate::panel::PanelState;

/// The rows of one column, the top one in bit 0: up to 128, as the SH1107 has them.
pub type Rows = u128;
/// The pages of one column, the top one in bit 0.
pub type Pages = u16;

/// Rows of controller memory of each family with a start line, which shows them as a ring (SSD1306 data sheet Rev 1.5 §8.7). In
/// ST7567A Ver 1.2a and UC1701x A1.0, the row of icons is outside of the ring.
pub const RING_ROWS: u8 = 64;
/// Most pages of controller memory: eight rows each.
pub const PAGES: usize = (Rows::BITS / 8) as usize;
/// The rows of the first eight pages.
const LOWER_HALF: Rows = 0xFFFF_FFFF_FFFF_FFFF;

/// One visible picture in memory order: for each visible column its rows, the top one in bit 0.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct PageBitmap {
    rows: u32,
    bits: Vec<Rows>,
}

impl PageBitmap {
    /// A picture `rows` high (1 to 128) from its columns; bits below the picture are cleared.
    pub fn new(rows: u32, bits: impl IntoIterator<Item = Rows>) -> Self {
        let mask = visible(rows);
        Self { rows, bits: bits.into_iter().map(|column| column & mask).collect() }
    }
    /// Height in rows.
    pub fn rows(&self) -> u32 {
        self.rows
    }
    /// The number of visible columns.
    pub fn width(&self) -> usize {
        self.bits.len()
    }
    /// The columns' bits.
    pub fn bits(&self) -> &[Rows] {
        &self.bits
    }
}

/// The settings with which the display shows its memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DisplayState {
    /// The memory row at the top, 0 to 63. Row 0 is the one that the panel's own start line shows.
    pub start_line: u8,
    /// Whether the display is inverted.
    pub inverted: bool,
    /// Contrast, 0 to 255; `None` where it follows a live value.
    pub contrast: Option<u8>,
    /// Whether the display is on. While it is off, it keeps its memory and shows nothing.
    pub on: bool,
}

impl DisplayState {
    /// The same state without the start line.
    pub fn panel_state(self) -> PanelState {
        PanelState { on: self.on, inverted: self.inverted, contrast: self.contrast }
    }

    /// The state in which every scene opens, if the display is on from its first frame.
    pub fn opening(contrast: Option<u8>) -> Self {
        Self { start_line: 0, inverted: false, contrast, on: true }
    }
}

/// The visible columns of controller memory, as far as they are known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Memory {
    rows: u32,
    bits: Vec<Rows>,
    known: Vec<Rows>,
}

/// Cells to be written: for each column, one bit per page.
pub type DirtyMask = Vec<Pages>;

impl Memory {
    /// Memory of unknown contents, as when a scene is entered.
    pub fn unknown(width: usize, rows: u32) -> Self {
        Self { rows, bits: vec![0; width], known: vec![0; width] }
    }

    /// For each column the pages whose bytes must be written before `picture` shows under `state`.
    pub fn changed(&self, picture: &PageBitmap, state: DisplayState) -> DirtyMask {
        let mask = turned(visible(self.rows), state.start_line);
        let columns = self.bits.iter().zip(&self.known).zip(&picture.bits);
        columns
            .map(|((bits, known), wanted)| pages_of(((bits ^ wanted_in_memory(*wanted, state)) | !known) & mask))
            .collect()
    }

    /// Height of the view in rows.
    pub fn rows(&self) -> u32 {
        self.rows
    }

    /// The pages of a column in which rows under `mask` do not hold yet what they will have to show.
    pub fn stale_pages(&self, column: usize, coming: &Prefetch, mask: Rows) -> Pages {
        let wrong = (self.bits[column] ^ coming.bits[column]) | !self.known[column];
        pages_of(wrong & coming.known[column] & mask)
    }

    /// The byte that the cell (page, column) must hold for the wanted picture. Bits outside the view get what they will have to
    /// show, if that is known, and else keep their value.
    pub fn byte_for(&self, wanted: &Wanted<'_>, (page, column): (usize, usize)) -> u8 {
        let (picture, state) = (wanted.picture, wanted.state);
        let mask = turned(visible(self.rows), state.start_line);
        let hidden = match wanted.coming {
            Some(coming) => self.bits[column] & !coming.known[column] | coming.bits[column] & coming.known[column],
            None => self.bits[column],
        };
        let whole = (hidden & !mask) | (wanted_in_memory(picture.bits[column], state) & mask);
        cell(whole, page)
    }

    /// Whether a row of a column is known to be lit, or dark.
    pub fn holds(&self, column: usize, row: usize, lit: bool) -> bool {
        self.known[column] >> row & 1 == 1 && (self.bits[column] >> row & 1 == 1) == lit
    }

    /// Stores a byte that was written.
    pub fn write(&mut self, page: usize, column: usize, byte: u8) {
        let cell: Rows = 0xFF << (8 * page);
        self.bits[column] = (self.bits[column] & !cell) | Rows::from(byte) << (8 * page);
        self.known[column] |= cell;
    }

    /// Marks the rows outside the view as unknown, because a scene can be entered from elsewhere.
    pub fn forget_hidden(&mut self, state: DisplayState) {
        let mask = turned(visible(self.rows), state.start_line);
        self.known.iter_mut().for_each(|known| *known &= mask);
    }
}

/// The byte of a page of a column.
pub fn cell(rows: Rows, page: usize) -> u8 {
    (rows >> (8 * page) & 0xFF) as u8
}

/// The rows from 64 on and those below.
fn halves(rows: Rows) -> (u64, u64) {
    ((rows >> u64::BITS) as u64, (rows & LOWER_HALF) as u64)
}

/// The rows in view when the start line is 0.
pub fn visible(rows: u32) -> Rows {
    if rows >= Rows::BITS { Rows::MAX } else { (1 << rows) - 1 }
}

/// Rows rotated down by the start line. A display with more rows than the ring has no start line.
pub fn turned(rows: Rows, start_line: u8) -> Rows {
    if start_line == 0 { rows } else { Rows::from(halves(rows).1.rotate_left(u32::from(start_line))) }
}

/// The bits that memory must hold so that a column of a picture shows under `state`.
pub fn wanted_in_memory(picture: Rows, state: DisplayState) -> Rows {
    let turned = turned(picture, state.start_line);
    if state.inverted { !turned } else { turned }
}

/// Returns one bit for each page that has a bit set. The rows of each page are combined in its lowest row, and a multiplication
/// moves these bits together.
pub(super) fn pages_of(bits: Rows) -> Pages {
    let (upper, lower) = halves(bits);
    Pages::from(eight_pages_of(lower)) | Pages::from(eight_pages_of(upper)) << 8
}

fn eight_pages_of(bits: u64) -> u8 {
    const LOWEST_ROWS: u64 = 0x0101_0101_0101_0101;
    const GATHER: u64 = 0x0102_0408_1020_4080;
    let halves = bits | bits >> 4;
    let quarters = halves | halves >> 2;
    (((quarters | quarters >> 1) & LOWEST_ROWS).wrapping_mul(GATHER) >> 56) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pages_of_a_column_are_those_with_a_bit() {
        for first in 0..128 {
            for second in 0..128 {
                assert_eq!(pages_of(1 << first | 1 << second), 1 << (first / 8) | 1 << (second / 8));
            }
        }
        assert_eq!((pages_of(0), pages_of(Rows::MAX)), (0, 0xFFFF));
    }

    #[test]
    fn a_scroll_by_the_start_line_changes_only_the_row_that_comes_in() {
        let mut memory = Memory::unknown(1, 40);
        let state = DisplayState::opening(Some(0));
        let picture = PageBitmap::new(40, [0b1010]);
        assert_eq!(memory.changed(&picture, state), [0b1_1111]);
        for page in 0..5 {
            memory.write(page, 0, memory.byte_for(&Wanted::plain(&picture, state), (page, 0)));
        }
        assert_eq!(memory.changed(&picture, state), [0]);
        let scrolled = PageBitmap::new(40, [0b101]);
        assert_eq!(memory.changed(&scrolled, DisplayState { start_line: 1, ..state }), [0b10_0000]);
        let inverted = PageBitmap::new(40, [!0b1010]);
        assert_eq!(memory.changed(&inverted, DisplayState { inverted: true, ..state }), [0]);
    }
}
