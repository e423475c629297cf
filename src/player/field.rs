// Fields: texts in a scene that the firmware writes while the show plays, such as a depth or a voltage. There is no copy of the
// picture. A field stores the wanted and the shown characters, and sends those that differ.

use super::bus::BANKED_POINTER;
use super::player::{Bus, Extension, Player, Status};
use super::reel::{HEADER_ADDRESS, Phase};

const SCENE: usize = 0;
const COLUMN: usize = 1;
const PAGE: usize = 2;
const PAGES: usize = 3;
const CELLS: usize = 4;
const CELL_COLUMNS: usize = 5;
const FLAGS: usize = 6;
const CHARACTERS: usize = 7;
/// Offset of the characters. After them come their glyphs, then the picture behind the field, all page by page.
const CODES: usize = 8;
/// Flags: two bits for the alignment (0 left, 1 centre, 2 right), and whether the field shares bytes of the display with others.
const ALIGNMENT: u8 = 3;
const SHARES: u8 = 4;
/// The number of an empty cell.
const EMPTY: u8 = 0xFF;

/// A field of a show. `C` has two bytes for each of its characters: the wanted one, then the shown one.
pub struct Field<'f, C> {
    table: &'f [u8],
    cells: C,
    entries: u8,
    cell: u8,
    page: u8,
    sending: u8,
}

impl<'f, C: AsRef<[u8]> + AsMut<[u8]>> Field<'f, C> {
    /// An empty field. `cells`, such as `[0; 2 * DEPTH_CELLS]`, has two bytes for each of its characters. With fewer bytes the field is
    /// narrower.
    pub fn new(table: &'f [u8], mut cells: C) -> Self {
        cells.as_mut().fill(EMPTY);
        Self { table, cells, entries: 0, cell: 0, page: 0, sending: EMPTY }
    }

    /// Sets the text of the field. Text beyond its width is cut off. Characters that its font does not have stay empty. A character is
    /// one byte: ASCII, or Latin-1 beyond it.
    pub fn set(&mut self, text: &[u8]) {
        let count = self.count();
        let length = if text.len() < count { text.len() } else { count };
        let before = (count - length) * (self.byte(FLAGS) & ALIGNMENT) as usize / 2;
        for at in 0..count {
            let letter = at.checked_sub(before).filter(|at| *at < length).and_then(|at| text.get(at));
            let glyph = letter.map_or(EMPTY, |letter| self.glyph(*letter));
            if let Some(cell) = self.cells.as_mut().get_mut(at) {
                *cell = glyph;
            }
        }
    }

    /// Sends at most one piece of one character, which takes 7 bytes and one for each of its columns: `Busy` if a piece was sent,
    /// `Idle` if there is nothing to do or a frame is being sent. Call it when the player is idle. A field that shares bytes of
    /// the display with others cannot be sent without them: it is a `Fault` here, and for `tick_beside`.
    pub fn tick<B: Bus, K: Extension>(&mut self, player: &mut Player<'_, K>, bus: &mut B) -> Status {
        if self.byte(FLAGS) & SHARES == 0 { self.tick_beside(player, bus, &[]) } else { Status::Fault }
    }

    /// As `tick`, for a field that shares bytes of the display with the fields `others`. Their pixels there are sent with it.
    pub fn tick_beside<B: Bus, K: Extension>(
        &mut self,
        player: &mut Player<'_, K>,
        bus: &mut B,
        others: &[&dyn Shows],
    ) -> Status {
        if player.phase == Phase::Fault {
            return Status::Fault;
        }
        if !matches!(player.phase, Phase::Waiting | Phase::Held) || player.scene() != self.byte(SCENE) {
            return Status::Idle;
        }
        let count = self.count();
        self.notice(player.entries);
        if self.page == 0 {
            let cells = self.cells.as_ref();
            let differs = (0..count).find(|at| cells.get(*at) != cells.get(count + at));
            let Some(cell) = differs else { return Status::Idle };
            self.cell = cell as u8;
            self.sending = self.cells.as_ref().get(cell).copied().unwrap_or(EMPTY);
        }
        if self.send(player.byte(HEADER_ADDRESS), bus, others).is_err() {
            player.phase = Phase::Fault;
            return Status::Fault;
        }
        self.page += 1;
        if self.page >= self.byte(PAGES) {
            self.page = 0;
            if let Some(shown) = self.cells.as_mut().get_mut(count + self.cell as usize) {
                *shown = self.sending;
            }
        }
        Status::Busy
    }

    /// Notices a scene that starts. It shows only the picture behind the field, so all cells are empty.
    fn notice(&mut self, entries: u8) {
        if self.entries != entries {
            self.entries = entries;
            self.page = 0;
            let count = self.count();
            for shown in self.cells.as_mut().iter_mut().skip(count) {
                *shown = EMPTY;
            }
        }
    }

    /// Sends one page of the current character: the glyph, the picture behind it, and the pixels of other fields there.
    fn send<B: Bus>(&self, address: u8, bus: &mut B, others: &[&dyn Shows]) -> Result<(), B::Error> {
        let columns = self.byte(CELL_COLUMNS) as usize;
        let size = self.byte(PAGES) as usize * columns;
        let characters = self.byte(CHARACTERS) as usize;
        let (page, cell) = (self.page as usize, self.cell as usize);
        let column = self.byte(COLUMN).wrapping_add((cell * columns) as u8);
        let glyphs = CODES + characters;
        let glyph = glyphs + self.sending as usize * size + page * columns;
        let behind = glyphs + (characters + cell) * size + page * columns;
        let page_now = self.byte(PAGE).wrapping_add(self.page);
        let seek = [0xB0 | page_now, column & 15, 0x10 | column >> 4];
        let banked = [0x40 | page_now, 0x80 | column];
        let seek = if address == BANKED_POINTER { &banked[..] } else { &seek[..] };
        transaction(bus, address, 0x00, seek.iter().copied())?;
        let ink = |at: usize| if self.sending == EMPTY { 0 } else { self.byte(glyph + at) };
        let display_page = self.byte(PAGE).wrapping_add(self.page);
        let others = |at: usize| {
            let shown = |all, other: &&dyn Shows| {
                let byte = other.shows(self.byte(SCENE), self.entries, display_page, column.wrapping_add(at as u8));
                all | byte
            };
            others.iter().fold(0, shown)
        };
        transaction(bus, address, 0x40, (0..columns).map(|at| ink(at) | others(at) | self.byte(behind + at)))
    }

    /// The number of characters of the field.
    fn count(&self) -> usize {
        let (table, room) = (self.byte(CELLS) as usize, self.cells.as_ref().len() / 2);
        if table < room { table } else { room }
    }

    fn glyph(&self, letter: u8) -> u8 {
        let found = (0..self.byte(CHARACTERS)).find(|number| self.byte(CODES + *number as usize) == letter);
        found.unwrap_or(EMPTY)
    }

    fn byte(&self, at: usize) -> u8 {
        self.table.get(at).copied().unwrap_or(0)
    }
}

/// A field that shares bytes of the display with another field.
pub trait Shows {
    /// Returns its pixels in a byte of the display, for a scene that was entered with this count of entries.
    fn shows(&self, scene: u8, entries: u8, page: u8, column: u8) -> u8;
}

impl<C: AsRef<[u8]> + AsMut<[u8]>> Shows for Field<'_, C> {
    fn shows(&self, scene: u8, entries: u8, page: u8, column: u8) -> u8 {
        let (page, columns) = (page.wrapping_sub(self.byte(PAGE)), self.byte(CELL_COLUMNS));
        let pages = self.byte(PAGES);
        if scene != self.byte(SCENE) || entries != self.entries || page >= pages || columns == 0 {
            return 0;
        }
        let column = column.wrapping_sub(self.byte(COLUMN));
        let (cell, on) = (column / columns, column % columns);
        // The upper pages of the current character are already sent.
        let sent = cell == self.cell && page < self.page;
        let shown = self.cells.as_ref().get(self.count() + cell as usize).copied().unwrap_or(EMPTY);
        let shown = if sent { self.sending } else { shown };
        if cell as usize >= self.count() || shown == EMPTY {
            return 0;
        }
        let at = (shown as usize * pages as usize + page as usize) * columns as usize + on as usize;
        self.byte(CODES + self.byte(CHARACTERS) as usize + at)
    }
}

/// Sends one transaction. It is closed in any case.
fn transaction<B: Bus>(bus: &mut B, address: u8, control: u8, bytes: impl Iterator<Item = u8>) -> Result<(), B::Error> {
    let sent = bus.start(address).and_then(|()| bus.write(control));
    let sent = bytes.fold(sent, |sent, byte| sent.and_then(|()| bus.write(byte)));
    let closed = bus.stop();
    sent.and(closed)
}
