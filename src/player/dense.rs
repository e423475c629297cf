// Draws frames from a coded stream into a copy of the picture and sends what changed. Every choice is one binary symbol; how
// likely it is, a decision tree in flash says, which looks at the picture around.

use super::bus::{Burst, Bus, End};
use super::canvas::{Canvas, Choose};
use super::player::Keeps;

/// Bytes of a model before its trees: width, pages, first column of memory, then where each tree starts.
pub const MODEL_HEADER: u16 = 11;
const MODEL_ROOTS: u16 = 3;

/// Instructions that open a stream.
const OPEN_MODEL: u8 = 0x10;
const OPEN_KEY: u8 = 0x11;
const OPEN_CLEARED: u8 = 0x13;

/// Tree bytes from here on are nodes, less are leaves.
pub const NODE: u8 = 0x80;
/// Features from here on are numbers held against a threshold.
pub const NUMBERS: u8 = 120;
/// The coder's state is never less than this between choices.
pub const LEAST_STATE: u32 = 1 << 16;
/// Probabilities are in parts of this many bits.
pub const PROBABILITY_BITS: u8 = 12;
/// So many unchanged cells are sent again rather than a new seek.
const LONGEST_GAP: u8 = 6;
const NOWHERE: u8 = 0xFF;

/// The bytes of a reel; beyond its end zeros, which is a leaf.
fn byte(reel: &[u8], at: u16) -> u8 {
    match reel.get(at as usize) {
        Some(byte) => *byte,
        None => 0,
    }
}

fn word(reel: &[u8], at: u16) -> u16 {
    byte(reel, at) as u16 | (byte(reel, at.wrapping_add(1)) as u16) << 8
}

/// How likely the choice is a yes, in 1/4096: a leaf holds the less likely answer's share as mantissa and exponent.
pub const fn probability(leaf: u8) -> u16 {
    let less = ((8 + (leaf & 7)) as u16) << 7 >> (leaf >> 3 & 7);
    if leaf & 0x40 == 0 { less } else { (1 << PROBABILITY_BITS) - less }
}

/// Walks a tree of the model at `at` in `reel`; the leaf it comes to.
pub fn leaf<const C: usize, const M: usize>(reel: &[u8], model: u16, canvas: &Canvas<C, M>, tree: u8) -> u8 {
    let mut at = model.wrapping_add(word(reel, model.wrapping_add(MODEL_ROOTS + 2 * tree as u16)));
    for _ in 0..=u8::MAX {
        let node = byte(reel, at);
        at = at.wrapping_add(1);
        if node < NODE {
            return node;
        }
        let feature = node - NODE;
        let right = if feature < NUMBERS {
            canvas.context(tree, feature >> 3) >> (feature & 7) & 1 != 0
        } else {
            at = at.wrapping_add(1);
            canvas.number(tree, feature - NUMBERS) > byte(reel, at.wrapping_sub(1))
        };
        let mut skip = byte(reel, at) as u16;
        at = at.wrapping_add(1);
        if skip < NODE as u16 {
            if !right {
                return skip as u8;
            }
            continue;
        }
        skip &= 0x7F;
        if skip >= 0x40 {
            skip = (skip & 0x3F) << 8 | byte(reel, at) as u16;
            at = at.wrapping_add(1);
        }
        if right {
            at = at.wrapping_add(skip);
        }
    }
    0
}

/// Reads choices from a coded stream.
struct Reading<'a> {
    reel: &'a [u8],
    model: u16,
    stream: &'a mut u16,
    state: &'a mut u32,
}

impl Choose for Reading<'_> {
    fn choose<const C: usize, const M: usize>(&mut self, canvas: &Canvas<C, M>, tree: u8) -> bool {
        let yes = probability(leaf(self.reel, self.model, canvas, tree));
        let part = *self.state as u16 & ((1 << PROBABILITY_BITS) - 1);
        let whole = *self.state >> PROBABILITY_BITS;
        let answer = part < yes;
        *self.state = if answer {
            yes as u32 * whole + part as u32
        } else {
            ((1 << PROBABILITY_BITS) - yes) as u32 * whole + (part - yes) as u32
        };
        for _ in 0..2 {
            if *self.state < LEAST_STATE {
                *self.state = *self.state << 8 | byte(self.reel, *self.stream) as u32;
                *self.stream = self.stream.wrapping_add(1);
            }
        }
        answer
    }
}

/// A copy of the picture that a dense reel draws by.
pub struct Picture<const C: usize, const M: usize> {
    canvas: Canvas<C, M>,
    model: u16,
    stream: u16,
    state: u32,
    first_column: u8,
    /// The column that the display's pointer stands at, in the page at hand.
    pointer: u8,
    drawing: bool,
    in_page: bool,
    unsent: bool,
    inverts: bool,
    inverted: bool,
}

impl<const C: usize, const M: usize> Picture<C, M> {
    /// A copy that knows nothing yet.
    pub const fn new() -> Self {
        Self {
            canvas: Canvas::new(),
            model: 0,
            stream: 0,
            state: 0,
            first_column: 0,
            pointer: NOWHERE,
            drawing: false,
            in_page: false,
            unsent: false,
            inverts: false,
            inverted: false,
        }
    }

    fn with_choices<T>(&mut self, reel: &[u8], act: impl FnOnce(&mut Canvas<C, M>, &mut Reading<'_>) -> T) -> T {
        let Self { canvas, model, stream, state, .. } = self;
        act(canvas, &mut Reading { reel, model: *model, stream, state })
    }

    /// Sends the cell at hand, and before it those since the pointer if they are few.
    fn send<B: Bus>(&mut self, burst: &mut Burst<'_, B>) -> Result<(), End> {
        let (page, column) = (self.canvas.page, self.canvas.column);
        if self.pointer > column || column - self.pointer > LONGEST_GAP {
            burst.seek(page, self.first_column.wrapping_add(column))?;
            self.pointer = column;
        }
        while self.pointer <= column {
            burst.make_room()?;
            burst.data(self.canvas.cell(page, self.pointer))?;
            self.pointer += 1;
        }
        self.unsent = false;
        Ok(())
    }

    fn begin(&mut self, reel: &[u8]) {
        let (changes, inverts) = self.with_choices(reel, |canvas, choices| canvas.begin(choices));
        self.inverts = inverts;
        self.drawing = true;
        self.in_page = false;
        if !changes {
            self.canvas.page = self.canvas.pages;
        }
    }

    fn end<B: Bus>(&mut self, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        if self.inverts {
            burst.commands(&[if self.inverted { 0xA6 } else { 0xA7 }])?;
            self.inverted = !self.inverted;
        }
        self.drawing = false;
        if self.canvas.key {
            self.canvas.key = false;
            self.canvas.unmark();
        }
        self.canvas.frame = self.canvas.frame.wrapping_add(1);
        Ok(true)
    }

    fn open_model(&mut self, reel: &[u8], at: u16) -> bool {
        self.model = word(reel, at);
        let (width, pages) = (byte(reel, self.model), byte(reel, self.model.wrapping_add(1)));
        self.first_column = byte(reel, self.model.wrapping_add(2));
        (self.canvas.width, self.canvas.pages) = (width, pages);
        let marks = (width as usize).div_ceil(8) * pages as usize;
        width > 0 && pages <= 8 && width as usize * pages as usize <= C && marks <= M
    }
}

impl<const C: usize, const M: usize> Default for Picture<C, M> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const C: usize, const M: usize> Keeps for Picture<C, M> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        self.drawing = false;
        self.unsent = false;
        if operation == OPEN_MODEL {
            return self.open_model(reel, at).then_some(at.wrapping_add(2));
        }
        if self.model == 0 {
            return None;
        }
        if operation == OPEN_KEY {
            let movement = byte(reel, at);
            (self.canvas.left, self.canvas.up) = (movement & 15, movement >> 4 & 7);
            self.canvas.clear();
            self.canvas.key = true;
            self.canvas.frame = 0;
            self.inverted = false;
        } else {
            self.canvas.frame = byte(reel, at);
            if operation == OPEN_CLEARED {
                self.canvas.unmark();
            }
        }
        self.stream = word(reel, at.wrapping_add(1));
        let state = at.wrapping_add(3);
        self.state = word(reel, state) as u32 | (byte(reel, state.wrapping_add(2)) as u32) << 16;
        Some(at.wrapping_add(6))
    }

    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        if !self.drawing {
            self.canvas.scene = scene;
            self.begin(reel);
        }
        if self.canvas.page >= self.canvas.pages {
            return self.end(burst);
        }
        if self.unsent {
            self.send(burst)?;
        } else {
            if !self.in_page {
                self.pointer = NOWHERE;
                if !self.with_choices(reel, |canvas, choices| canvas.begin_page(choices)) {
                    self.canvas.page += 1;
                    return Ok(false);
                }
                self.in_page = true;
            }
            let changed = self.with_choices(reel, |canvas, choices| canvas.draw(choices));
            self.unsent = changed || self.canvas.key;
            if self.unsent {
                self.send(burst)?;
            }
        }
        self.canvas.column += 1;
        if self.canvas.column >= self.canvas.width {
            self.canvas.column = 0;
            self.canvas.page += 1;
            self.in_page = false;
        }
        Ok(false)
    }
}
