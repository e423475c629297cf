// The copy of the picture that a film is drawn on, and the decisions that draw it: which groups of eight cells, cells and pixels
// change. The context of a decision is made of the picture and the changes around its place.

/// The classes of decisions: about eight cells, about a cell, about a copy of the cell on the left, and about a pixel.
pub const EIGHT: u8 = 0;
pub const CELL: u8 = 1;
pub const COPY: u8 = 2;
pub const PIXEL: u8 = 3;
/// The number of tables of each class, and the largest of these numbers.
pub const TABLES_OF: [usize; 4] = [1, 5, 3, 4];
pub const MOST_TABLES: usize = 5;

/// How the cell on the left got its value: copied, or drawn pixel by pixel.
const COPIED: u8 = 2;
const DRAWN: u8 = 4;

/// A context byte for each table of a class. A table uses its lower bits.
pub type Contexts = [u8; MOST_TABLES];

/// Makes the decisions of a film: the player decodes them, the compiler encodes them.
pub trait Decide {
    /// Makes one decision of a class, from the context of each of its tables.
    fn decide<const C: usize, const M: usize>(
        &mut self,
        canvas: &FilmCanvas<C, M>,
        class: u8,
        contexts: Contexts,
    ) -> bool;
}

/// The copy of the picture, and the place that is being drawn. `C` is width × pages. `M` is the number of bytes with a bit per column.
pub struct FilmCanvas<const C: usize, const M: usize> {
    pub cells: [u8; C],
    /// Cells that changed in this frame: of this page up to the current place, and of the page above after it.
    pub changed: [u8; M],
    /// Groups of eight cells that changed when they were last decoded, a bit for each page.
    pub busy: [u8; M],
    pub width: u8,
    pub pages: u8,
    pub page: u8,
    pub column: u8,
    pub row: u8,
    /// Whether the scene opens with this frame.
    pub key: bool,
    /// Whether cells can become copies of the cell on their left.
    pub copies: bool,
    /// Which of the current eight cells changed in the page above.
    above: u8,
    /// How the cell on the left changed, which cells before it changed (bit 0 is the nearest), and how it got its value.
    change: u8,
    history: u8,
    kind: u8,
}

impl<const C: usize, const M: usize> FilmCanvas<C, M> {
    /// An empty canvas.
    pub const fn new() -> Self {
        Self {
            cells: [0; C],
            changed: [0; M],
            busy: [0; M],
            width: 0,
            pages: 0,
            page: 0,
            column: 0,
            row: 0,
            key: false,
            copies: false,
            above: 0,
            change: 0,
            history: 0,
            kind: 0,
        }
    }

    /// Returns a cell; 0 outside the picture.
    pub fn cell(&self, page: u8, column: u8) -> u8 {
        let at = page as usize * self.width as usize + column as usize;
        if page < self.pages && column < self.width && at < C { self.cells[at] } else { 0 }
    }

    /// Returns the cell that is `away` columns to the right in this page; 0 outside the picture.
    fn near(&self, away: i8) -> u8 {
        self.cell(self.page, self.column.wrapping_add_signed(away))
    }

    /// Returns eight pixels of the column that is `away` columns to the right, from two rows above the current row to five below it.
    fn rows(&self, away: i8) -> u8 {
        let (page, column) = (self.page, self.column.wrapping_add_signed(away));
        let above = self.cell(page.wrapping_sub(1), column) as u32;
        let below = self.cell(page.wrapping_add(1), column) as u32;
        let all = above | (self.cell(page, column) as u32) << 8 | below << 16;
        (all >> (self.row + 6)) as u8
    }

    /// Returns the pixel of this row in the column that is `away` columns to the right.
    fn pixel(&self, away: i8) -> u8 {
        self.near(away) >> self.row & 1
    }

    /// Returns whether eight cells of a page changed when they were last decoded.
    fn is_busy(&self, page: u8, at: u8) -> u8 {
        let eights = self.busy.get(at as usize).copied().unwrap_or(0);
        if page < 8 { eights >> page & 1 } else { 0 }
    }

    /// Begins a frame.
    pub fn begin(&mut self) {
        (self.page, self.changed) = (0, [0; M]);
        self.begin_page();
    }

    /// Begins a page.
    pub fn begin_page(&mut self) {
        (self.column, self.change, self.history, self.kind) = (0, 0, 0, 0);
    }

    /// Begins eight cells, or those that are left in the page. Returns whether any of them changes.
    pub fn begin_eight(&mut self, decide: &mut impl Decide) -> bool {
        let (page, at) = (self.page, self.column >> 3);
        self.above = self.changed.get(at as usize).copied().unwrap_or(0);
        let facts = self.is_busy(page, at)
            | ((self.change != 0) as u8) << 1
            | (if at > 0 { self.is_busy(page, at - 1) } else { 0 }) << 2
            | ((self.above != 0) as u8) << 3
            | self.is_busy(page, at + 1) << 4
            | self.is_busy(page.wrapping_add(1), at) << 5;
        let changes = self.key || decide.decide(self, EIGHT, [facts, 0, 0, 0, 0]);
        if let (Some(changed), Some(eights)) = (self.changed.get_mut(at as usize), self.busy.get_mut(at as usize)) {
            *changed = 0;
            *eights = *eights & !(1 << (page & 7)) | (changes as u8) << (page & 7);
        }
        if !changes {
            (self.change, self.history, self.kind) = (0, 0, 0);
        }
        changes
    }

    fn cell_contexts(&self, old: u8) -> Contexts {
        let (column, change) = (self.column, self.change);
        let (left, right) = (old ^ self.near(-1), old ^ self.near(1));
        let halves = ((old.rotate_left(4) == old) as u8) << 3;
        let alike = |away: i8| (self.near(away) == old) as u8;
        let at = (column >> 3) as usize;
        let seen = self.changed.get(at).is_some_and(|changed| *changed != 0) as u8;
        let next = self.changed.get(at + 1).copied().unwrap_or(0);
        let above = (self.above as u16 | (next as u16) << 8) >> (column & 7);
        let first = (left == 0) as u8
            | alike(-2) << 1
            | ((right == 0) as u8) << 2
            | halves
            | alike(-4) << 4
            | (old & 0x80) >> 2
            | ((change & 0x3C != 0) as u8) << 6
            | (column & 0x40) << 1;
        let second = seen
            | (column & 4) >> 1
            | (column & 2) << 1
            | (above as u8 & 1) << 3
            | (left & 0x40) >> 2
            | right & 0x20
            | halves << 3;
        let third = (left == change) as u8
            | ((change & 0x81 != 0) as u8) << 1
            | (left & 2) << 1
            | (left & 0x20) >> 2
            | (self.page & 4) << 2
            | alike(-4) << 5;
        let odd = (old.count_ones() as u8) & 1;
        let fourth = self.history >> 1 & 1
            | above as u8 & 2
            | (old & 1) << 2
            | odd << 3
            | (old & 0x20) >> 1
            | (left & 4) << 3
            | (right & 2) << 5;
        let dark = ((old == 0) as u8) << 3 | ((left == old) as u8) << 4;
        let fifth = self.key as u8 | self.kind | dark;
        [first, second, third, fourth, fifth]
    }

    fn copy_contexts(&self, old: u8, left: u8) -> Contexts {
        let facts = (self.change != 0) as u8
            | self.kind
            | (self.above >> (self.column & 7) & 1) << 3
            | ((old == 0) as u8) << 4
            | ((left == 0) as u8) << 5;
        let differs = old ^ left;
        [facts, differs, differs.rotate_left(4), 0, 0]
    }

    /// Draws the current cell. Returns whether it changed.
    pub fn draw(&mut self, decide: &mut impl Decide) -> bool {
        let (old, left) = (self.near(0), self.near(-1));
        let (mut new, mut kind) = (old, 0);
        if decide.decide(self, CELL, self.cell_contexts(old)) {
            let copies = self.copies && left != old && decide.decide(self, COPY, self.copy_contexts(old, left));
            (new, kind) = if copies { (left, COPIED) } else { (self.pixels(decide), DRAWN) };
        }
        let (at, changed) = (self.page as usize * self.width as usize + self.column as usize, new != old);
        if let Some(cell) = self.cells.get_mut(at) {
            *cell = new;
        }
        if let Some(marks) = self.changed.get_mut((self.column >> 3) as usize) {
            *marks |= (changed as u8) << (self.column & 7);
        }
        (self.change, self.kind) = (new ^ old, kind);
        self.history = self.history << 1 | changed as u8;
        changed
    }

    /// Returns whether the last cell was drawn pixel by pixel.
    pub fn was_drawn(&self) -> bool {
        self.kind == DRAWN
    }

    fn pixels(&mut self, decide: &mut impl Decide) -> u8 {
        let (column, mut unlike) = (self.column, 0);
        let likely = if self.copies { self.near(-1) } else { self.near(0) };
        // The rows above; bit 7 is the nearest.
        let mut new = self.cell(self.page.wrapping_sub(1), column);
        for row in 0..8 {
            self.row = row;
            let (left, here, right) = (self.rows(-1), self.rows(0), self.rows(1));
            let likely = likely >> row & 1;
            let first = left & 0x0E
                | new >> 7
                | self.pixel(0) << 4
                | (new >> 6 & 1) << 5
                | (left & 1) << 6
                | (left & 0x10) << 3;
            let second = here >> 1 & 7 | right << 2 & 0x38 | self.pixel(2) << 6 | (here & 0x10) << 3;
            let third = self.rows(-2) & 0x1F | self.pixel(-4) << 5 | self.pixel(-1) << 6;
            let fourth = likely | unlike | (self.change >> row & 1) << 2 | row << 3 | column << 6;
            let lit = decide.decide(self, PIXEL, [first, second, third, fourth, 0]);
            new = new >> 1 | (lit as u8) << 7;
            if lit as u8 != likely {
                unlike = 2;
            }
        }
        self.row = 0;
        new
    }
}

impl<const C: usize, const M: usize> Default for FilmCanvas<C, M> {
    fn default() -> Self {
        Self::new()
    }
}
