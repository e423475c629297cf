// Areas: rectangles of cells that show parts of moving sheets of ink, over a copy of the picture if there is one. Each cell is composed
// from all areas that cover it, once for the previous frame and once for this one. It is sent if the two differ.

use super::bus::{Burst, Bus, End, Work};
use super::grain::noise;
use super::history::{history_ink, record_step};
use super::live::{Live, Still};
pub use super::operation::{CLOSE_AREAS, OPEN_AREAS, RESTART_AREAS};
use super::over::{Below, Dark};
use super::player::Extension;
use super::reel::{byte, inside, word};

/// Bytes of the record of an area: 0–1 offset of its course; 2 first page; 3 number of pages − 1; 4 first column of the display's
/// memory; 5 cells per row; 6 kind; 7 and 8 the pixels of the first and of the last page that belong to the area; 9–10 offset of a
/// table with an offset for each row of the sheet.
pub const RECORD_BYTES: u16 = 11;
pub(super) const PAGE: u16 = 2;
pub(super) const LAST_PAGE: u16 = 3;
pub(super) const COLUMN: u16 = 4;
const CELLS: u16 = 5;
pub(super) const KIND: u16 = 6;
const FIRST_PIXELS: u16 = 7;
const LAST_PIXELS: u16 = 8;
const ROWS: u16 = 9;

/// Bit of the kind: the phase moves the sheet by columns. If it also moves the sheet in a second way, its low byte counts the
/// columns. If none of these three bits is set, the area is noise (`grain.rs`). With `DOWN` and `PICTURES` it is a history
/// (`history.rs`). The upper three bits of the kind are the number of live values that the phase follows (`live.rs`).
pub const ACROSS: u8 = 1;
/// The phase moves the sheet by rows of pixels.
pub const DOWN: u8 = 2;
/// The phase moves the sheet by whole pictures.
pub const PICTURES: u8 = 4;
/// Ink darkens pixels.
pub const CLEARS: u8 = 8;
/// Ink inverts pixels; with `CLEARS` it lights them.
pub const INKS: u8 = 16;

/// The pieces of a row of a sheet. 00 to 3D: 1 to 62 blank cells. 3E: the rest of the row is blank. 3F d: continue d bytes after the
/// start of the row. 40 to 7F: 1 to 64 cells follow. 80 to BF, v: 1 to 64 cells are all v. C0 to FF, lo hi: 1 to 64 cells are at this
/// offset of the reel.
pub const BLANK_ON: u8 = 0x3E;
/// Continue a number of bytes after the start of the row.
pub const AGAIN: u8 = 0x3F;
/// The cells follow.
pub const CELLS_FOLLOW: u8 = 0x40;
/// All cells have one value.
pub const ONE_VALUE: u8 = 0x80;
/// The cells are at an offset of the reel.
pub const ELSEWHERE: u8 = 0xC0;

/// The items of a course, one for each change of the phase. A step: −7 to 7 in the upper four bits; the lower four bits say for how
/// many more frames the phase then stays. 80 n: the next item n times. 81 lo hi n: set the phase, which then stays for n more frames.
/// 82 lo hi: continue at this offset. 83 lo hi n: a step of 16 bits, after which the phase stays for n more frames.
pub const TIMES: u8 = 0x80;
/// Set the phase, and for how many more frames it stays.
pub const PHASE: u8 = 0x81;
/// Continue at an offset.
pub const GO_TO: u8 = 0x82;
/// A step of 16 bits.
pub const WIDE_STEP: u8 = 0x83;

/// Cells that are composed at once.
pub const CHUNK: usize = 16;
/// Composing takes time, so it uses up bytes of the allowance (`walk.rs`): one for this many pieces of a row, cells of noise, and cells
/// of a history.
const PIECES_A_BYTE: u8 = 16;
const NOISE_CELLS_A_BYTE: u8 = 4;
const HISTORY_CELLS_A_BYTE: u8 = 8;
/// A cell this far after the display's pointer, or farther, is reached by setting the pointer.
pub(super) const FAR_CELLS: u8 = 8;

/// Whether an area of a kind shows the latest values of a live value (`history.rs`).
fn is_history(kind: u8) -> bool {
    kind & (ACROSS | DOWN | PICTURES) == DOWN | PICTURES
}

/// Whether an area of a kind is noise.
pub(super) fn is_noise(kind: u8) -> bool {
    kind & (ACROSS | DOWN | PICTURES) == 0
}

type Chunk = [u8; CHUNK];

/// The state of an area: the place in its course, its phase in this frame and in the one before.
#[derive(Clone, Copy)]
struct Slot {
    course: u16,
    phase: u16,
    former: u16,
    wait: u8,
    again: u8,
}

/// The part of a row of cells that an area covers: its place in the chunk and in the area.
pub(super) struct CoveredCells {
    at: usize,
    column: u8,
    count: u8,
}

/// How ink is drawn on a cell: in the mode of the area's kind, on the pixels that belong to the area, and moved by 0 to 7 pixels. If
/// it is moved, two rows of the sheet share a row of cells: the upper and the lower one.
struct LaidInk {
    kind: u8,
    own: u8,
    step: u8,
    is_lower: bool,
}

impl LaidInk {
    /// The part of a cell of the sheet that falls on the current cell.
    fn moved(&self, sheet: u8) -> u8 {
        let moved = (sheet as u16) << 8 >> self.step;
        (if self.is_lower { moved } else { moved >> 8 }) as u8
    }

    fn lay(&self, ink: u8, cell: &mut u8) {
        let ink = ink & self.own;
        if self.kind & CLEARS != 0 {
            *cell &= !ink;
        }
        if self.kind & INKS != 0 {
            *cell ^= ink;
        }
    }
}

/// The areas of a scene, up to `N`, which may follow live values.
pub struct Areas<const N: usize, L = Still> {
    /// Offset of the records.
    records: u16,
    pub(super) count: u8,
    /// The next cell: its page and column in the display's memory, and the column after the last cell.
    pub(super) page: u8,
    pub(super) column: u8,
    pub(super) end: u8,
    /// The column of the display's pointer in that page, or a column that is far away.
    pub(super) pointer: u8,
    pub(super) opens: bool,
    /// The number of cells that are composed at a time.
    pub(super) composed: u8,
    slots: [Slot; N],
    /// The live values that phases follow.
    pub live: L,
}

impl<const N: usize> Default for Areas<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> Areas<N> {
    /// No areas yet.
    pub const fn new() -> Self {
        Self::following(Still)
    }
}

impl<const N: usize, L> Areas<N, L> {
    /// No areas yet; later ones can follow live values.
    pub const fn following(live: L) -> Self {
        let slots = [Slot { course: 0, phase: 0, former: 0, wait: 0, again: 0 }; N];
        let (composed, opens) = (CHUNK as u8, false);
        Self { records: 0, count: 0, page: 0, column: 0, end: 0, pointer: 0, opens, composed, slots, live }
    }
}

impl<const N: usize, L: Live> Areas<N, L> {
    fn record(&self, area: u8) -> u16 {
        self.records.wrapping_add(RECORD_BYTES * area as u16)
    }

    pub(super) fn field(&self, reel: &[u8], area: u8, at: u16) -> u8 {
        byte(reel, self.record(area).wrapping_add(at))
    }

    /// Restarts the courses of all areas with the next frame.
    fn restart(&mut self, reel: &[u8]) {
        for area in 0..self.count {
            let slot = Slot { course: word(reel, self.record(area)), wait: 0, again: 0, ..self.slots[area as usize] };
            self.slots[area as usize] = slot;
        }
    }

    /// Moves an area on by a frame.
    fn go_on(slot: &mut Slot, reel: &[u8]) {
        slot.former = slot.phase;
        if slot.wait > 0 {
            slot.wait -= 1;
            return;
        }
        let (mut at, mut item) = (slot.course, byte(reel, slot.course));
        if slot.again == 0 {
            slot.again = 1;
            if item == GO_TO {
                at = word(reel, at.wrapping_add(1));
                item = byte(reel, at);
            }
            if item == TIMES {
                slot.again = byte(reel, at.wrapping_add(1));
                at = at.wrapping_add(2);
                item = byte(reel, at);
            }
            slot.course = at;
        }
        let mut next = at.wrapping_add(1);
        if item == PHASE || item == WIDE_STEP {
            let base = if item == PHASE { 0 } else { slot.phase };
            slot.phase = base.wrapping_add(word(reel, next));
            slot.wait = byte(reel, at.wrapping_add(3));
            next = at.wrapping_add(4);
        } else {
            slot.phase = slot.phase.wrapping_add((item as i8 >> 4) as u16);
            slot.wait = item & 15;
        }
        slot.again = slot.again.wrapping_sub(1);
        if slot.again == 0 {
            slot.course = next;
        }
    }

    /// Advances all areas by a frame. Returns whether one of them moves.
    fn go_on_all(&mut self, reel: &[u8], mut worked: impl FnMut(Work)) -> bool {
        let mut moves = false;
        self.live.take(reel, &mut worked);
        for area in 0..self.count {
            let (record, slot) = (self.record(area), &mut self.slots[area as usize]);
            let shown = slot.phase;
            let base = self.live.base(area as usize).map(|base| *base);
            slot.phase = base.unwrap_or(shown);
            let before = slot.phase;
            Self::go_on(slot, reel);
            if let Some(base) = self.live.base(area as usize) {
                let is_due = slot.phase != before;
                *base = slot.phase;
                let (kind, course) = (byte(reel, record.wrapping_add(KIND)), word(reel, record));
                slot.phase = self.live.phase(reel, (kind, course), slot.phase, &mut worked);
                if L::KEEPS && is_history(kind) {
                    let step = self.live.last_step(reel, (kind, course));
                    let data = word(reel, record.wrapping_add(ROWS));
                    slot.phase = record_step(self.live.memory(), reel, data, if is_due { Some(step) } else { None });
                }
            }
            slot.former = shown;
            moves |= slot.phase != shown;
        }
        self.page = self.field(reel, 0, PAGE);
        self.column = self.field(reel, 0, COLUMN);
        self.end = self.column.wrapping_add(self.field(reel, 0, CELLS));
        self.pointer = self.column.wrapping_sub(FAR_CELLS);
        self.composed = CHUNK as u8;
        moves
    }

    pub(super) fn moved(&self, area: u8) -> bool {
        let slot = &self.slots[area as usize];
        slot.phase != slot.former
    }

    /// Returns the part of the current chunk that an area covers, if there is one.
    pub(super) fn span(&self, reel: &[u8], area: u8) -> Option<CoveredCells> {
        let rows = self.page.wrapping_sub(self.field(reel, area, PAGE));
        let last = self.field(reel, area, LAST_PAGE).wrapping_sub(rows);
        let mut column = self.column.wrapping_sub(self.field(reel, area, COLUMN));
        let cells = self.field(reel, area, CELLS);
        let mut at = 0;
        if column > 0u8.wrapping_sub(self.composed) {
            at = 0u8.wrapping_sub(column);
            column = 0;
        }
        if rows > 15 || last > 15 || column >= cells {
            return None;
        }
        let (left, room) = (cells - column, self.composed - at);
        Some(CoveredCells { at: at as usize, column, count: if left < room { left } else { room } })
    }

    /// The parts of a check whether an area covers a part of the current chunk: of its pages, and of its columns if it has the page.
    pub(super) fn checks(&self, reel: &[u8], area: u8) -> u16 {
        let rows = self.page.wrapping_sub(self.field(reel, area, PAGE));
        1 + (rows <= self.field(reel, area, LAST_PAGE)) as u16
    }

    /// Draws a row of a sheet on cells of the current chunk. It leaves out the first `skip` cells of the row.
    fn lay_row<B: Bus>(reel: &[u8], table: u16, skip: u16, ink: &LaidInk, cells: &mut [u8], burst: &mut Burst<'_, B>) {
        let row = word(reel, table);
        let (mut at, mut skip, mut cells, mut pieces) = (row, skip, cells, 0u8);
        while !cells.is_empty() {
            let mut item = byte(reel, at);
            burst.owed = burst.owed.wrapping_add((pieces % PIECES_A_BYTE == 0) as u8);
            pieces = pieces.wrapping_add(1);
            burst.bus.work(Work::AreaItem, 1);
            if item == AGAIN {
                burst.bus.work(Work::AreaItem, 1);
                at = row.wrapping_add(byte(reel, at.wrapping_add(1)) as u16);
                item = byte(reel, at);
            }
            if item == BLANK_ON || item == AGAIN {
                return;
            }
            at = at.wrapping_add(1);
            let (mut left, mut from) = ((item & 63) + 1, at);
            if item >= ELSEWHERE {
                at = at.wrapping_add(2);
            } else if item >= ONE_VALUE {
                at = at.wrapping_add(1);
            } else if item >= CELLS_FOLLOW {
                at = at.wrapping_add(left as u16);
            }
            if skip >= left as u16 {
                skip -= left as u16;
                continue;
            }
            if item >= ELSEWHERE {
                burst.bus.work(Work::AreaItem, 1);
                from = word(reel, from);
            }
            left -= skip as u8;
            let count = if (left as usize) < cells.len() { left as usize } else { cells.len() };
            let (these, rest) = cells.split_at_mut(count);
            if item < CELLS_FOLLOW {
                burst.bus.work(Work::AreaBlank, count as u16);
            } else {
                burst.bus.work(Work::AreaCell, count as u16);
                burst.bus.work(Work::AreaShift, count as u16 * ink.step as u16);
                for (on, cell) in (skip..).zip(these) {
                    let on = if item & CELLS_FOLLOW != 0 { on } else { 0 };
                    ink.lay(ink.moved(byte(reel, from.wrapping_add(on))), cell);
                }
            }
            (cells, skip) = (rest, 0);
        }
    }

    /// Draws an area at a phase on the current chunk.
    fn paint<B: Bus>(&self, reel: &[u8], area: u8, phase: u16, cells: &mut Chunk, burst: &mut Burst<'_, B>) {
        burst.bus.work(Work::AreaCheck, self.checks(reel, area));
        let Some(span) = self.span(reel, area) else { return };
        burst.bus.work(Work::AreaPaint, 1);
        let kind = self.field(reel, area, KIND);
        let rows = self.page.wrapping_sub(self.field(reel, area, PAGE));
        let last = self.field(reel, area, LAST_PAGE);
        let mut own = if rows == 0 { self.field(reel, area, FIRST_PIXELS) } else { 0xFF };
        if rows == last {
            own &= self.field(reel, area, LAST_PIXELS);
        }
        let (mut across, mut down) = (0, phase);
        if kind & ACROSS != 0 {
            (across, down) = (phase, 0);
            if kind & (DOWN | PICTURES) != 0 {
                (across, down) = (phase & 0xFF, phase >> 8);
            }
        }
        if kind & PICTURES != 0 {
            down = down.wrapping_mul(8).wrapping_mul(last as u16 + 1);
        }
        let table = word(reel, self.record(area).wrapping_add(ROWS));
        let cells = &mut cells[span.at..span.at + span.count as usize];
        let mut ink = LaidInk { kind, own, step: (down & 7) as u8, is_lower: false };
        if is_noise(kind) {
            burst.bus.work(Work::NoiseCell, span.count as u16);
            burst.owed = burst.owed.wrapping_add(span.count / NOISE_CELLS_A_BYTE);
            for (column, cell) in (span.column..).zip(cells) {
                ink.lay(noise(reel, table, phase, (rows, column)), cell);
            }
            return;
        }
        if L::KEEPS && is_history(kind) {
            burst.bus.work(Work::HistoryCell, span.count as u16);
            burst.owed = burst.owed.wrapping_add(span.count / HISTORY_CELLS_A_BYTE);
            for (column, cell) in (span.column..).zip(cells) {
                ink.lay(history_ink(self.live.kept(), reel, table, phase, (rows, column)), cell);
            }
            return;
        }
        across = across.wrapping_add(span.column as u16);
        let table = table.wrapping_add(((down >> 3) + rows as u16) * 2);
        Self::lay_row(reel, table, across, &ink, cells, burst);
        if ink.step > 0 {
            ink.is_lower = true;
            Self::lay_row(reel, table.wrapping_add(2), across, &ink, cells, burst);
        }
    }

    /// Composes the current chunk from all areas, for the previous frame (`former`) or for this one. `below` is what lies below them.
    pub(super) fn compose<B: Bus>(
        &self,
        reel: &[u8],
        former: bool,
        below: &impl Below,
        burst: &mut Burst<'_, B>,
    ) -> Chunk {
        let (mut cells, copied) = ([0; CHUNK], if below.is_copy() { self.composed } else { 0 });
        burst.bus.work(Work::CopiedCell, copied as u16);
        for (on, cell) in (0..self.composed).zip(&mut cells) {
            *cell = below.cell_below(self.page, self.column.wrapping_add(on));
        }
        for area in 0..self.count {
            let slot = &self.slots[area as usize];
            self.paint(reel, area, if former { slot.former } else { slot.phase }, &mut cells, burst);
        }
        cells
    }
}

impl<const N: usize, L: Live> Extension for Areas<N, L> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        match operation {
            OPEN_AREAS => {
                self.count = byte(reel, at);
                self.records = word(reel, at.wrapping_add(1));
                let fits = self.count > 0 && self.count as usize <= N;
                if !fits || !inside(reel, self.records, self.count * RECORD_BYTES as u8) {
                    self.count = 0;
                    return None;
                }
                self.restart(reel);
                self.opens = true;
                let _ = self.go_on_all(reel, |_| {});
                Some(at.wrapping_add(3))
            }
            RESTART_AREAS => {
                self.restart(reel);
                Some(at)
            }
            CLOSE_AREAS => {
                self.leave();
                Some(at)
            }
            _ => None,
        }
    }

    fn advance<B: Bus>(&mut self, reel: &[u8], bus: &mut B) -> bool {
        self.go_on_all(reel, |work| bus.work(work, 1))
    }

    fn leave(&mut self) {
        (self.count, self.opens) = (0, false);
    }

    fn draw<B: Bus>(&mut self, reel: &[u8], _: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        self.walk(reel, &Dark, burst)
    }
}
