// Decodes frames from a stream, draws them on a copy of the picture, and sends the cells that changed. Each decision is one binary
// symbol. A decision tree in flash gives its probability from the picture around the current place.

use super::beam::{Beam, LIMITS, SHORTEST_LONGEST, TOO_LONG, reaches_its_trail};
use super::bus::{Burst, Bus, End, NOWHERE, Work};
use super::canvas::{Canvas, Choose, PIXEL};
use super::operation as op;
use super::over::{Above, Below, Dark, PictureCopy};
use super::player::Extension;
use super::reel::{byte, word};

/// Bytes of a model before its trees: width, pages, first column, the leaves of pairs, and the offset of each tree.
pub const MODEL_HEADER: u16 = MODEL_ROOTS + 2 * TREES as u16;
const MODEL_LEAVES: u16 = 3;
const MODEL_ROOTS: u16 = MODEL_LEAVES + PAIR_LEAVES as u16;
/// Trees of a model: for frames, cells, predicted cells, pixels, and groups of eight cells.
pub const TREES: u8 = 5;
/// Number of leaves that can stand in a pair. They are stored in the model before its trees.
pub const PAIR_LEAVES: u8 = 8;

/// The byte after the feature of a node. Below this it is two leaves of the model, for no and for yes. From here on it is the leaf for
/// no, and the tree for yes follows.
pub const LEAF_FOR_NO: u8 = 0x40;
/// From here on it is the leaf for yes, and the tree for no follows.
pub const LEAF_FOR_YES: u8 = 0x60;
/// From here on it is the length of the tree for no, and both trees follow.
pub const SKIP: u8 = 0x80;
/// From here on the length has 14 bits.
pub const LONG_SKIP: u8 = 0xC0;
/// A leaf beside a tree has five bits: they are the upper bits of the leaf, shifted by this.
pub const SINGLE_SHIFT: u8 = 2;
/// The group of features that compare a number with a threshold.
pub const NUMBERS: u8 = 15;
/// Between decisions, the state of the decoder is at least this.
pub const LEAST_STATE: u32 = 1 << 16;
/// Probabilities are in 1/4096, which is 12 bits.
pub const PROBABILITY_BITS: u8 = 12;
/// Pages that an instruction can name.
const MOST_PAGES: u8 = 16;
/// Bytes of the longest node: feature, threshold, and a length of two bytes. A node in the last three bytes of a reel is read as zeros.
const LONGEST_NODE: usize = 4;
/// Bytes of a beam: its record, where it points, how far it turns per frame, and its limits.
const BEAM_BYTES: u16 = 26;
/// Drawing takes time, so it uses up bytes of the allowance: this many for a page, for eight cells, for a cell that is compared, and
/// for a cell near a beam.
const PART_SPENDS: u8 = 1;
/// Bytes of the allowance that a cell drawn pixel by pixel uses up.
const DRAWN_SPENDS: u8 = 5;
/// The least allowance for a cell.
const LEAST_FOR_A_CELL: u8 = 3;
/// The least allowance for eight cells of a scene with a beam.
const LEAST_FOR_A_BEAM: u8 = 10;

/// The probability of a yes, in 1/4096. A leaf holds the probability of the less likely answer as mantissa and exponent.
pub const fn probability(leaf: u8) -> u16 {
    let less = ((8 + (leaf & 7)) as u16) << 7 >> (leaf >> 3 & 7);
    if leaf & 0x40 == 0 { less } else { (1 << PROBABILITY_BITS) - less }
}

/// Follows a tree of the model at offset `model`. Returns the leaf, and the number of nodes passed.
pub fn leaf<const C: usize, const M: usize>(reel: &[u8], model: u16, canvas: &Canvas<C, M>, tree: u8) -> (u8, u8) {
    let mut at = model.wrapping_add(word(reel, model.wrapping_add(MODEL_ROOTS + 2 * tree as u16)));
    for nodes in 1..=u8::MAX {
        if at as usize + LONGEST_NODE > reel.len() {
            return (byte(reel, model.wrapping_add(MODEL_LEAVES)) & 0x7F, nodes);
        }
        let node = byte(reel, at);
        at = at.wrapping_add(1);
        let (group, bit) = (node & 15, node >> 4 & 7);
        let yes = if group == NUMBERS {
            at = at.wrapping_add(1);
            canvas.number(tree, bit) > byte(reel, at.wrapping_sub(1))
        } else {
            canvas.context(tree, group) >> bit & 1 != 0
        };
        let next = byte(reel, at);
        at = at.wrapping_add(1);
        if next < LEAF_FOR_NO {
            let which = if yes { next & 7 } else { next >> 3 };
            return (byte(reel, model.wrapping_add(MODEL_LEAVES + which as u16)) & 0x7F, nodes);
        }
        if next < SKIP {
            if yes == (next >= LEAF_FOR_YES) {
                return ((next & 0x1F) << SINGLE_SHIFT, nodes);
            }
            continue;
        }
        let mut skip = (next - SKIP) as u16;
        if next >= LONG_SKIP {
            skip = ((next - LONG_SKIP) as u16) << 8 | byte(reel, at) as u16;
            at = at.wrapping_add(1);
        }
        if yes {
            at = at.saturating_add(skip);
        }
    }
    (0, u8::MAX)
}

/// Decodes decisions from a stream.
struct Reading<'a> {
    reel: &'a [u8],
    model: u16,
    stream: &'a mut u16,
    state: &'a mut u32,
    /// Work done: all decisions, decisions about pixels, and nodes passed.
    decisions: u16,
    pixels: u16,
    nodes: u16,
}

impl Choose for Reading<'_> {
    fn choose<const C: usize, const M: usize>(&mut self, canvas: &Canvas<C, M>, tree: u8) -> bool {
        let (leaf, nodes) = leaf(self.reel, self.model, canvas, tree);
        self.decisions = self.decisions.wrapping_add(1);
        self.pixels = self.pixels.wrapping_add((tree == PIXEL) as u16);
        self.nodes = self.nodes.wrapping_add(nodes as u16);
        let yes = probability(leaf);
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
                // Bytes beyond the reel are 0.
                let coded = self.reel.get(*self.stream as usize).copied().unwrap_or(0);
                *self.state = *self.state << 8 | coded as u32;
                *self.stream = self.stream.wrapping_add(1);
            }
        }
        answer
    }
}

/// The copy of the picture that a dense reel draws on.
pub struct Picture<const C: usize, const M: usize> {
    canvas: Canvas<C, M>,
    /// Without a model nothing is drawn.
    has_model: bool,
    model: u16,
    stream: u16,
    state: u32,
    first_column: u8,
    /// The column of the display's pointer in the current page.
    pointer: u8,
    /// Whether cells were cleared and this work is not counted yet.
    blanked: bool,
    drawing: bool,
    in_page: bool,
    unsent: bool,
    inverts: bool,
    inverted: bool,
}

impl<const C: usize, const M: usize> Picture<C, M> {
    /// An empty copy without a model.
    pub const fn new() -> Self {
        Self {
            canvas: Canvas::new(),
            has_model: false,
            model: 0,
            stream: 0,
            state: 0,
            first_column: 0,
            pointer: NOWHERE,
            blanked: false,
            drawing: false,
            in_page: false,
            unsent: false,
            inverts: false,
            inverted: false,
        }
    }

    fn with_choices<T, B: Bus>(
        &mut self,
        reel: &[u8],
        bus: &mut B,
        act: impl FnOnce(&mut Canvas<C, M>, &mut Reading<'_>) -> T,
    ) -> T {
        let Self { canvas, model, stream, state, .. } = self;
        let mut reading = Reading { reel, model: *model, stream, state, decisions: 0, pixels: 0, nodes: 0 };
        let done = act(canvas, &mut reading);
        bus.work(Work::Decision, reading.decisions);
        bus.work(Work::Pixel, reading.pixels);
        bus.work(Work::Node, reading.nodes);
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

    /// Moves on by a number of cells. At the end of a page, goes to the next page.
    fn go_on(&mut self, cells: u8) {
        self.canvas.column += cells;
        if self.canvas.column >= self.canvas.width {
            self.canvas.column = 0;
            self.canvas.page += 1;
            self.in_page = false;
        }
    }

    fn begin<B: Bus>(&mut self, reel: &[u8], bus: &mut B) {
        let (changes, inverts) = self.with_choices(reel, bus, |canvas, choices| canvas.begin(choices));
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
        self.canvas.direction = self.canvas.direction.wrapping_add(self.canvas.turn);
        Ok(true)
    }

    fn open_beam(&mut self, reel: &[u8], at: u16) -> Option<u16> {
        let behind = at.checked_add(BEAM_BYTES)?;
        let limits: [u8; LIMITS] = reel.get(behind as usize - LIMITS..behind as usize)?.try_into().ok()?;
        let (column, row) = (byte(reel, at) as i16, byte(reel, at.wrapping_add(1)) as i16);
        let longest = byte(reel, at.wrapping_add(3));
        let (mirrored, reach) = (byte(reel, at.wrapping_add(2)) != 0, word(reel, at.wrapping_add(4)) as u32);
        if reach >= TOO_LONG || longest < SHORTEST_LONGEST || limits.iter().any(|limit| *limit > longest) {
            return None;
        }
        self.canvas.turn = word(reel, at.wrapping_add(8));
        let bearings = (self.canvas.turn >> 8) as u8;
        if bearings == u8::MAX || reaches_its_trail(longest, bearings + 1) {
            return None;
        }
        self.canvas.longest = longest;
        self.canvas.beam = Some(Beam { column, row, reach, mirrored, limits });
        self.canvas.direction = word(reel, at.wrapping_add(6));
        Some(behind)
    }

    fn open_model(&mut self, reel: &[u8], at: u16) -> bool {
        *self = Self::new();
        self.model = word(reel, at);
        let (width, pages) = (byte(reel, self.model), byte(reel, self.model.wrapping_add(1)));
        self.first_column = byte(reel, self.model.wrapping_add(2));
        (self.canvas.width, self.canvas.pages) = (width, pages);
        let (marks, in_reel) =
            ((width as usize).div_ceil(8) * pages as usize, self.model as usize + MODEL_HEADER as usize <= reel.len());
        self.has_model =
            in_reel && width > 0 && pages <= MOST_PAGES && width as usize * pages as usize <= C && marks <= M;
        self.has_model
    }
}

impl<const C: usize, const M: usize> Default for Picture<C, M> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const C: usize, const M: usize> Extension for Picture<C, M> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        if operation == op::DRAW {
            return self.has_model.then_some(at.wrapping_add(1));
        }
        self.drawing = false;
        self.unsent = false;
        if operation == op::MODEL {
            return self.open_model(reel, at).then_some(at.wrapping_add(2));
        }
        if !self.has_model || operation > op::POINT {
            return None;
        }
        if operation == op::BEAM {
            return self.open_beam(reel, at);
        }
        if operation == op::POINT {
            self.canvas.direction = word(reel, at);
            return Some(at.wrapping_add(2));
        }
        if operation == op::KEY {
            let movement = byte(reel, at);
            (self.canvas.left, self.canvas.up) = (movement & 15, movement >> 4 & 7);
            self.canvas.beam = None;
            self.canvas.clear();
            self.blanked = true;
            self.canvas.key = true;
            self.canvas.frame = 0;
            self.inverted = false;
        } else {
            self.canvas.frame = byte(reel, at);
            if operation == op::CLEARED {
                self.canvas.unmark();
            }
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

impl<const C: usize, const M: usize> Below for Picture<C, M> {
    fn is_copy(&self) -> bool {
        self.has_model
    }

    fn cell_below(&self, page: u8, column: u8) -> u8 {
        if self.has_model { self.canvas.cell(page, column.wrapping_sub(self.first_column)) } else { 0 }
    }
}

impl<const C: usize, const M: usize> PictureCopy for Picture<C, M> {
    fn sends_all(&self) -> bool {
        self.canvas.key
    }

    fn draw_below<B: Bus>(
        &mut self,
        reel: &[u8],
        scene: u8,
        above: &mut impl Above,
        burst: &mut Burst<'_, B>,
    ) -> Result<bool, End> {
        if self.blanked {
            self.blanked = false;
            burst.bus.work(Work::BlankedCell, self.canvas.width as u16 * self.canvas.pages as u16);
        }
        if !self.drawing {
            self.canvas.scene = scene;
            self.begin(reel, burst.bus);
        }
        if self.canvas.page >= self.canvas.pages {
            return self.end(burst);
        }
        if self.unsent {
            self.send(reel, above, burst)?;
        } else {
            if !self.in_page {
                self.pointer = NOWHERE;
                burst.bus.work(Work::Page, 1);
                burst.spend(PART_SPENDS);
                if !self.with_choices(reel, burst.bus, |canvas, choices| canvas.begin_page(choices)) {
                    self.canvas.page += 1;
                    return Ok(false);
                }
                self.in_page = true;
            }
            if burst.allowance < LEAST_FOR_A_CELL {
                return Err(End::Allowance);
            }
            if self.canvas.column & 7 == 0 {
                if self.canvas.beam.is_some() && burst.allowance < LEAST_FOR_A_BEAM {
                    return Err(End::Allowance);
                }
                burst.bus.work(Work::Eight, 1);
                burst.bus.work(Work::MovedEight, (self.canvas.left | self.canvas.up != 0) as u16);
                burst.bus.work(Work::AreaShift, 8 * self.canvas.up as u16);
                burst.bus.work(Work::PredictedCell, if self.canvas.beam.is_some() { 8 } else { 0 });
                let changes = self.with_choices(reel, burst.bus, |canvas, choices| canvas.begin_eight(choices));
                burst.bus.work(Work::FarCount, self.canvas.far_counts as u16);
                burst.bus.work(Work::BeamCell, self.canvas.cells_near_beam as u16);
                burst.bus.work(Work::BeamPixel, self.canvas.pixels_near_beam);
                burst.spend(PART_SPENDS + self.canvas.cells_near_beam);
                if !changes {
                    self.go_on(8);
                    return Ok(false);
                }
            }
            burst.bus.work(Work::DenseCell, 1);
            let changed = self.with_choices(reel, burst.bus, |canvas, choices| canvas.draw(choices));
            burst.spend(if self.canvas.was_drawn() { DRAWN_SPENDS } else { PART_SPENDS });
            self.unsent = changed || self.canvas.key;
            if self.unsent {
                self.send(reel, above, burst)?;
            }
        }
        self.go_on(1);
        Ok(false)
    }
}
