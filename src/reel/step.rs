//! One step from the contents of the display to the next picture: display state and windows with the least bus time.

use super::avoiding::plan_avoiding;
use super::cost::Cost;
use super::instruction::{CellPlace, Instruction, command, line_change};
use super::memory::{DirtyMask, DisplayState, Memory, PageBitmap, RING_ROWS};
use super::prefetch::Prefetch;
use super::windows::{Window, changes_cost};
use crate::panel::Controller;
use crate::whole::limited;

/// How far the start line can move in one frame, in rows up or down.
pub const FARTHEST_SCROLL: u8 = 8;
/// How many of the most promising display states are planned in full.
const PLANNED_STATES: usize = 4;

/// What the planner knows of the display and its bus.
#[derive(Clone, Debug)]
pub struct Planner {
    /// The costs of transfers.
    pub cost: Cost,
    /// Controller memory column of the leftmost visible column.
    pub first_column: u8,
    /// The display's controller.
    pub controller: &'static Controller,
    /// The start line that shows memory row 0 at the top.
    pub first_line: u8,
    /// Whether start line and inversion are chosen automatically.
    pub operations: bool,
    /// Cells of live fields, which only a key frame writes: one bit per page for each column, or empty.
    pub owned: DirtyMask,
    /// Those of them that follow live values: one bit per page for each column, or empty.
    pub live: DirtyMask,
    /// Whether only the changes of strips are sent.
    pub changes: bool,
    /// Whether the player writes rows that scroll into view.
    pub rolls: bool,
    /// Whether a part of the picture can repeat on its own (a loop).
    pub rounds: bool,
}

/// A band of a page that shows the next part of a strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    pub page: usize,
    pub first_column: usize,
    pub last_column: usize,
    /// The number of the strip in its scene, and the offset in it.
    pub strip: usize,
    pub offset: usize,
    /// The distance in the strip from what the band shows now.
    pub shift: i8,
    /// Whether the strip is shown for the first time.
    pub opens: bool,
}

/// What a frame must show, and what is known of the frames after it.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    pub picture: &'a PageBitmap,
    pub state: DisplayState,
    pub coming: Option<&'a Prefetch>,
    pub bands: &'a [Band],
    /// Whether the start line moves in the frames after it.
    pub scrolls: bool,
}

impl<'a> Wanted<'a> {
    /// A picture under a state, without knowledge of later frames.
    pub fn plain(picture: &'a PageBitmap, state: DisplayState) -> Self {
        Self { picture, state, coming: None, bands: &[], scrolls: false }
    }
}

/// The transfers of one frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    pub state: DisplayState,
    pub windows: Vec<Window>,
    pub bands: Vec<Band>,
    /// Command bytes before all data.
    pub leading: Vec<u8>,
    /// The change of the start line.
    pub line: Option<Instruction>,
    pub commands: Vec<u8>,
    /// Bus time in nanoseconds.
    pub time: u64,
    /// Its price: bus time, plus flash as bus time.
    pub price: u64,
}

impl Planner {
    /// Returns the cheapest step to `picture` with the wanted contrast and the display on or off. `former` is the current state; it
    /// is unknown when a scene is entered.
    pub fn step(
        &self,
        memory: &Memory,
        former: Option<DisplayState>,
        picture: &PageBitmap,
        (contrast, on): (Option<u8>, bool),
    ) -> Step {
        let still = DisplayState { contrast, on, ..former.unwrap_or(DisplayState::opening(contrast)) };
        let plain = |state| self.step_to(memory, former, &Wanted::plain(picture, state));
        let mut least = plain(still);
        if former.is_none() || !self.operations || least.windows.is_empty() {
            return least;
        }
        for state in self.promising(memory, still, picture) {
            let step = plain(state);
            if step.price < least.price {
                least = step;
            }
        }
        least
    }

    /// Returns the step to a wanted picture under its given state.
    pub fn step_to(&self, memory: &Memory, former: Option<DisplayState>, wanted: &Wanted<'_>) -> Step {
        let state = wanted.state;
        let mut changed = memory.changed(wanted.picture, state);
        if let Some(coming) = wanted.coming {
            memory.ahead(coming, state, &mut changed);
        }
        let mut time = 0;
        for band in wanted.bands {
            let moving = |column: &usize| changed[*column] >> band.page & 1 == 1;
            let columns: Vec<usize> = (band.first_column..=band.last_column).filter(moving).collect();
            changed[band.first_column..=band.last_column].iter_mut().for_each(|pages| *pages &= !(1 << band.page));
            time += if self.changes {
                changes_cost(&columns, &self.cost)
            } else {
                self.cost.run((band.last_column - band.first_column + 1) as u64)
            };
        }
        // A key frame sends the picture behind fields, but never cells that follow live values.
        let owned = if former.is_none() { &self.live } else { &self.owned };
        let (mut price, windows) = plan_avoiding(&changed, owned, &self.cost);
        let (mut line, mut commands) = (line_change(former, state, self.first_line), Vec::new());
        if !self.controller.has_start_line {
            line = None;
        } else if former.is_none() && !wanted.scrolls {
            line = None; // the player need not know it
            commands.push(command::START_LINE | ((self.first_line + state.start_line) % RING_ROWS));
        }
        let (before, now) = (former.map(DisplayState::panel_state), state.panel_state());
        commands.extend(self.controller.state_commands(before, now));
        let leading = self.controller.hide_commands(before, now);
        let width = wanted.picture.width();
        let mut looking = if line.is_some() { self.cost.commands(1) } else { 0 };
        let group = |bytes: &[u8]| if bytes.is_empty() { 0 } else { self.cost.commands(bytes.len() as u64) };
        looking += group(&commands) + group(&leading);
        price += time + looking;
        time += looking + windows.iter().map(|window| window.cost(&self.cost, width)).sum::<u64>();
        Step { state, windows, bands: wanted.bands.to_vec(), leading, line, commands, time, price }
    }

    fn promising(&self, memory: &Memory, still: DisplayState, picture: &PageBitmap) -> Vec<DisplayState> {
        let cells = |state: DisplayState| -> u32 {
            memory.changed(picture, state).iter().map(|pages| pages.count_ones()).sum()
        };
        let mut display_states: Vec<(u32, DisplayState)> = (0..=2 * FARTHEST_SCROLL)
            .flat_map(|shift| [false, true].map(|inverted| (shift, inverted)))
            .map(|(shift, inverted)| {
                let row = still.start_line + RING_ROWS + shift - FARTHEST_SCROLL;
                DisplayState { start_line: row % RING_ROWS, inverted, ..still }
            })
            .filter(|state| *state != still && (self.controller.has_start_line || state.start_line == still.start_line))
            .map(|state| (cells(state), state))
            .collect();
        display_states.sort_by_key(|(cells, _)| *cells);
        display_states.into_iter().take(PLANNED_STATES).map(|(_, state)| state).collect()
    }

    /// Writes a step to `memory` and returns its instructions: data first, then the new state.
    pub fn carry_out(&self, memory: &mut Memory, wanted: &Wanted<'_>, step: &Step) -> Vec<Instruction> {
        let mut instructions = Vec::new();
        if !step.leading.is_empty() {
            instructions.push(Instruction::Commands(step.leading.clone()));
        }
        instructions.extend(self.bands(&step.bands));
        for band in &step.bands {
            for column in band.first_column..=band.last_column {
                memory.write(band.page, column, memory.byte_for(wanted, (band.page, column)));
            }
        }
        for window in &step.windows {
            let first_column = self.column(window.first_column);
            let rectangle = window.last_page > window.first_page;
            instructions.push(if rectangle {
                let last_column = self.column(window.last_column);
                let (first_page, last_page) = (limited(window.first_page), limited(window.last_page));
                let mut bytes = vec![command::ADDRESSING, command::HORIZONTAL];
                bytes.extend([command::COLUMNS, first_column, last_column, command::PAGES, first_page, last_page]);
                Instruction::Commands(bytes)
            } else {
                Instruction::Seek(CellPlace { page: limited(window.first_page), column: first_column })
            });
            instructions.push(Instruction::Data(self.data(memory, wanted, window)));
            if rectangle {
                instructions.push(self.page_addressing(window.last_column + 1 == wanted.picture.width()));
            }
        }
        instructions.extend(step.line.clone());
        if !step.commands.is_empty() {
            instructions.push(Instruction::Commands(step.commands.clone()));
        }
        instructions
    }

    /// The column of controller memory of a visible one.
    fn column(&self, visible: usize) -> u8 {
        limited(usize::from(self.first_column) + visible)
    }

    /// The instructions of the bands of a frame. If only changes are sent and a strip is shown for the first time, the offset of
    /// the last band is set first. So the steps between bands are the same as in later frames.
    fn bands(&self, bands: &[Band]) -> Vec<Instruction> {
        let of = |band: &Band| {
            let (first, last) = (band.first_column, band.last_column);
            let place = CellPlace { page: limited(band.page), column: self.column(first) };
            let (strip, offset, count) = (band.strip, band.offset, limited(last - first + 1));
            let opens = band.opens && !self.changes;
            Instruction::Strip { place, strip, offset, shift: band.shift, count, opens }
        };
        let before = bands.last().filter(|_| self.changes && bands.iter().any(|band| band.opens)).map(|band| {
            let offset = band.offset.wrapping_add_signed(-isize::from(band.shift));
            let (place, strip) = (CellPlace { page: 0, column: 0 }, band.strip);
            Instruction::Strip { place, strip, offset, shift: 0, count: 0, opens: true }
        });
        before.into_iter().chain(bands.iter().map(of)).collect()
    }

    /// Returns to page addressing after a rectangle. If the rectangle does not end at the edge, its column window is reset.
    fn page_addressing(&self, at_edge: bool) -> Instruction {
        let mut bytes = if at_edge { vec![] } else { vec![command::COLUMNS, 0, self.controller.memory_columns - 1] };
        bytes.extend([command::ADDRESSING, command::PAGE]);
        Instruction::Commands(bytes)
    }

    fn data(&self, memory: &mut Memory, wanted: &Wanted<'_>, window: &Window) -> Vec<u8> {
        let mut data = Vec::with_capacity(window.cells());
        for page in window.first_page..=window.last_page {
            for column in window.first_column..=window.last_column {
                let byte = memory.byte_for(wanted, (page, column));
                memory.write(page, column, byte);
                data.push(byte);
            }
        }
        data
    }
}
