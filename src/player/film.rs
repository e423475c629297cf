// Decodes the frames of a film, draws them on a copy of the picture, and sends the cells that changed. The sum of one step from each
// table of its class gives the probability of a decision. This is fast enough for an 8-bit microcontroller.

use super::bus::{Burst, Bus, End, NOWHERE, Work};
use super::film_canvas::{CELL, Contexts, Decide, FilmCanvas, PIXEL, TABLES_OF};
pub use super::operation::FILM;
use super::operation::{AGAIN, CLEARED, DRAW, KEY};
use super::over::{Above, Below, Dark, PictureCopy};
use super::player::Extension;
use super::reel::{byte, word};

/// Bytes of a film's model before its tables: width, pages, first column; then the widths of the tables, two in each byte, the first in
/// the lower four bits.
pub const FILM_HEADER: u16 = FILM_WIDTHS + (TABLES as u16).div_ceil(2);
const FILM_WIDTHS: u16 = 3;
/// Number of tables of all classes. A table of width w has 2^w entries; one of width 0 is left out.
pub const TABLES: usize = TABLES_OF[0] + TABLES_OF[1] + TABLES_OF[2] + TABLES_OF[3];
/// The largest width of a table.
pub const WIDEST: u8 = 8;
/// Between decisions, the state of the decoder is at least this.
pub const LEAST_FILM_STATE: u32 = 1 << 16;
/// Bit of the operand that opens a scene: cells can become copies of the cell on their left.
pub const COPIES: u8 = 0x80;
/// Bytes of the allowance that a cell drawn pixel by pixel uses up, because it takes time.
const PIXELS_SPEND: u8 = 2;

/// The probability of a yes in 1/256, for each sum. A step is a tenth of a natural logarithm of the odds. Sums from 128 on are negative.
pub const SQUASH: [u8; 256] = [
    128, 134, 141, 147, 153, 159, 165, 171, 177, 182, 187, 192, 197, 201, 205, 209, 213, 216, 220, 223, 225, 228, 230,
    233, 235, 237, 238, 240, 241, 243, 244, 245, 246, 247, 248, 248, 249, 250, 250, 251, 251, 252, 252, 253, 253, 253,
    253, 254, 254, 254, 254, 254, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 5, 5, 6, 6, 7,
    8, 8, 9, 10, 11, 12, 13, 15, 16, 18, 19, 21, 23, 26, 28, 31, 33, 36, 40, 43, 47, 51, 55, 59, 64, 69, 74, 79, 85,
    91, 97, 103, 109, 115, 122,
];

/// A table of a model: the offset of its steps, and the bits of a context that it uses.
#[derive(Clone, Copy)]
struct Table {
    steps: u16,
    mask: u8,
    is_empty: bool,
}

const NO_TABLE: Table = Table { steps: 0, mask: 0, is_empty: true };

/// Decodes decisions from a stream.
struct Decoder<'a> {
    reel: &'a [u8],
    tables: &'a [Table; TABLES],
    stream: &'a mut u16,
    state: &'a mut u32,
    /// Number of decisions, and of those about pixels.
    decisions: u16,
    pixels: u16,
}

impl Decoder<'_> {
    fn sum(&self, class: u8, contexts: Contexts) -> u8 {
        let (mut sum, mut first) = (0u8, 0);
        for count in &TABLES_OF[..class as usize] {
            first += count;
        }
        for (table, context) in self.tables[first..].iter().zip(&contexts[..TABLES_OF[class as usize]]) {
            if !table.is_empty {
                sum = sum.wrapping_add(byte(self.reel, table.steps.wrapping_add((context & table.mask) as u16)));
            }
        }
        sum
    }
}

impl Decide for Decoder<'_> {
    fn decide<const C: usize, const M: usize>(&mut self, _: &FilmCanvas<C, M>, class: u8, contexts: Contexts) -> bool {
        self.decisions += (class != CELL && class != PIXEL) as u16;
        self.pixels += (class == PIXEL) as u16;
        let yes = SQUASH[self.sum(class, contexts) as usize] as u32;
        let (part, whole) = (*self.state & 0xFF, *self.state >> 8);
        let answer = part < yes;
        *self.state = if answer { yes * whole + part } else { (256 - yes) * whole + part - yes };
        if *self.state < LEAST_FILM_STATE {
            // Bytes beyond the reel are 0.
            let coded = self.reel.get(*self.stream as usize);
            *self.stream = self.stream.wrapping_add(coded.is_some() as u16);
            *self.state = *self.state << 8 | coded.copied().unwrap_or(0) as u32;
        }
        answer
    }
}

/// The copy of the picture that films are drawn on.
pub struct Film<const C: usize, const M: usize> {
    canvas: FilmCanvas<C, M>,
    /// Without a model nothing is drawn.
    has_model: bool,
    tables: [Table; TABLES],
    stream: u16,
    state: u32,
    first_column: u8,
    /// The column of the display's pointer in the current page.
    pointer: u8,
    /// Whether all cells become dark first, which uses up the rest of a call.
    blanks: bool,
    drawing: bool,
    unsent: bool,
}

impl<const C: usize, const M: usize> Film<C, M> {
    /// An empty copy without a model.
    pub const fn new() -> Self {
        Self {
            canvas: FilmCanvas::new(),
            has_model: false,
            tables: [NO_TABLE; TABLES],
            stream: 0,
            state: 0,
            first_column: 0,
            pointer: NOWHERE,
            blanks: false,
            drawing: false,
            unsent: false,
        }
    }

    fn with_decoder<T, B: Bus>(
        &mut self,
        reel: &[u8],
        bus: &mut B,
        act: impl FnOnce(&mut FilmCanvas<C, M>, &mut Decoder<'_>) -> T,
    ) -> T {
        let Self { canvas, tables, stream, state, .. } = self;
        let mut decoder = Decoder { reel, tables, stream, state, decisions: 0, pixels: 0 };
        let done = act(canvas, &mut decoder);
        bus.work(Work::FilmDecision, decoder.decisions);
        bus.work(Work::FilmDrawn, decoder.pixels / 8);
        done
    }

    /// Sends the current cell, and the cells between the pointer and it if they are few.
    fn send<B: Bus>(&mut self, reel: &[u8], above: &mut impl Above, burst: &mut Burst<'_, B>) -> Result<(), End> {
        let (page, column, mut pointer) = (self.canvas.page, self.canvas.column, self.pointer);
        let sent = burst.cell((page, column), self.first_column, &mut pointer, |burst, from, cells| {
            above.lay_over(reel, (page, self.first_column.wrapping_add(from)), cells, self, burst)
        });
        self.pointer = pointer;
        sent?;
        self.unsent = false;
        Ok(())
    }

    /// Moves on by a number of cells. Returns whether the frame is complete.
    fn go_on(&mut self, cells: u8) -> bool {
        self.canvas.column += cells;
        if self.canvas.column >= self.canvas.width {
            self.canvas.page += 1;
            self.canvas.begin_page();
            self.pointer = NOWHERE;
            if self.canvas.page == self.canvas.pages {
                self.drawing = false;
                if self.canvas.key {
                    (self.canvas.key, self.canvas.busy) = (false, [0; M]);
                }
                return true;
            }
        }
        false
    }

    fn open_model(&mut self, reel: &[u8], model: u16) -> bool {
        *self = Self::new();
        let (width, pages) = (byte(reel, model), byte(reel, model.wrapping_add(1)));
        self.first_column = byte(reel, model.wrapping_add(2));
        (self.canvas.width, self.canvas.pages) = (width, pages);
        let mut steps = model as usize + FILM_HEADER as usize;
        self.has_model = steps < reel.len()
            && width > 0
            && pages > 0
            && pages <= 8
            && width as usize * pages as usize <= C
            && width.div_ceil(8) as usize <= M;
        for number in 0..TABLES {
            let widths = byte(reel, model.wrapping_add(FILM_WIDTHS + number as u16 / 2));
            let width = if number & 1 == 0 { widths & 15 } else { widths >> 4 };
            let entries = if width > 0 { 1usize << width } else { 0 };
            self.has_model &= width <= WIDEST && steps + entries <= reel.len();
            let mask = entries.wrapping_sub(1) as u8;
            self.tables[number] = Table { steps: steps as u16, mask, is_empty: entries == 0 };
            steps += entries;
        }
        self.has_model
    }
}

impl<const C: usize, const M: usize> Default for Film<C, M> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const C: usize, const M: usize> Extension for Film<C, M> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        if operation == FILM {
            return self.open_model(reel, word(reel, at)).then_some(at.wrapping_add(2));
        }
        if !self.has_model || !matches!(operation, DRAW | KEY | AGAIN | CLEARED) {
            return None;
        }
        if operation == DRAW {
            return Some(at.wrapping_add(1));
        }
        (self.drawing, self.unsent, self.blanks) = (false, false, false);
        if operation == KEY {
            (self.blanks, self.canvas.key) = (true, true);
            self.canvas.copies = byte(reel, at) & COPIES != 0;
        }
        if operation == KEY || operation == CLEARED {
            self.canvas.busy = [0; M];
        }
        self.stream = word(reel, at.wrapping_add(1));
        let state = at.wrapping_add(3);
        self.state = word(reel, state) as u32 | (byte(reel, state.wrapping_add(2)) as u32) << 16;
        Some(at.wrapping_add(6))
    }

    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        self.draw_below(reel, scene, &mut Dark, burst)
    }
}

impl<const C: usize, const M: usize> Below for Film<C, M> {
    fn is_copy(&self) -> bool {
        self.has_model
    }

    fn cell_below(&self, page: u8, column: u8) -> u8 {
        if self.has_model { self.canvas.cell(page, column.wrapping_sub(self.first_column)) } else { 0 }
    }
}

impl<const C: usize, const M: usize> PictureCopy for Film<C, M> {
    fn sends_all(&self) -> bool {
        self.canvas.key
    }

    fn draw_below<B: Bus>(
        &mut self,
        reel: &[u8],
        _: u8,
        above: &mut impl Above,
        burst: &mut Burst<'_, B>,
    ) -> Result<bool, End> {
        if self.blanks {
            (self.canvas.cells, self.blanks) = ([0; C], false);
            burst.bus.work(Work::BlankedCell, self.canvas.width as u16 * self.canvas.pages as u16);
            return Err(End::Allowance);
        }
        if !self.drawing {
            self.canvas.begin();
            (self.drawing, self.pointer) = (true, NOWHERE);
        }
        if !self.unsent {
            if self.canvas.column & 7 == 0
                && !self.with_decoder(reel, burst.bus, |canvas, decoder| canvas.begin_eight(decoder))
            {
                return Ok(self.go_on(8));
            }
            burst.bus.work(Work::FilmCell, 1);
            let changed = self.with_decoder(reel, burst.bus, |canvas, decoder| canvas.draw(decoder));
            if self.canvas.was_drawn() {
                burst.spend(PIXELS_SPEND);
            }
            self.unsent = changed || self.canvas.key;
        }
        if self.unsent {
            self.send(reel, above, burst)?;
        }
        Ok(self.go_on(1))
    }
}
