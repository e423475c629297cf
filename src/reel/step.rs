//! One step from what the display holds to the next picture: which look, which windows, at the least bus time.

use super::cost::Cost;
use super::instruction::{Instruction, command, look_commands};
use super::memory::{Columns, Look, Memory, RING_ROWS};
use super::windows::{Window, plan};

/// How far the start line may move in one frame, in rows up or down.
const FARTHEST_SCROLL: u8 = 8;
/// How many of the most promising looks are planned in full.
const PLANNED_LOOKS: usize = 4;

/// What the planner knows of the glass and its bus.
#[derive(Clone, Debug)]
pub struct Planner {
    pub cost: Cost,
    /// Controller memory column of the leftmost visible column.
    pub first_column: u8,
    /// The last column of controller memory.
    pub last_memory_column: u8,
    /// The start line that shows memory row 0 at the top.
    pub first_line: u8,
    /// Whether start line and inversion may be chosen automatically.
    pub operations: bool,
}

/// The transfers of one frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    pub look: Look,
    pub windows: Vec<Window>,
    pub commands: Vec<u8>,
    /// Bus time in nanoseconds.
    pub time: u64,
}

impl Planner {
    /// The cheapest step to `picture` with the contrast wanted; `former` is the look now, unknown at a scene's entry.
    pub fn step(&self, memory: &Memory, former: Option<Look>, picture: &Columns, contrast: u8) -> Step {
        let still = former.map_or(Look::opening(contrast), |look| Look { contrast, ..look });
        let mut least = self.step_to(memory, former, picture, still);
        if former.is_none() || !self.operations || least.windows.is_empty() {
            return least;
        }
        for look in self.promising(memory, still, picture) {
            let step = self.step_to(memory, former, picture, look);
            if step.time < least.time {
                least = step;
            }
        }
        least
    }

    /// The step to `picture` under a given look.
    pub fn step_to(&self, memory: &Memory, former: Option<Look>, picture: &Columns, look: Look) -> Step {
        let (time, windows) = plan(&memory.changed(picture, look), &self.cost);
        let mut commands = look_commands(former, look, self.first_line);
        if former.is_none() {
            commands.push(command::DISPLAY_ON);
        }
        let time = time + if commands.is_empty() { 0 } else { self.cost.commands(commands.len() as u64) };
        Step { look, windows, commands, time }
    }

    fn promising(&self, memory: &Memory, still: Look, picture: &Columns) -> Vec<Look> {
        let cells = |look: Look| -> u32 { memory.changed(picture, look).iter().map(|pages| pages.count_ones()).sum() };
        let mut looks: Vec<(u32, Look)> = (0..=2 * FARTHEST_SCROLL)
            .flat_map(|shift| [false, true].map(|inverted| (shift, inverted)))
            .map(|(shift, inverted)| {
                let row = u32::from(still.start_line) + RING_ROWS + u32::from(shift) - u32::from(FARTHEST_SCROLL);
                Look { start_line: (row % RING_ROWS) as u8, inverted, ..still }
            })
            .filter(|look| *look != still)
            .map(|look| (cells(look), look))
            .collect();
        looks.sort_by_key(|(cells, _)| *cells);
        looks.into_iter().take(PLANNED_LOOKS).map(|(_, look)| look).collect()
    }

    /// Carries a step out in `memory` and returns its instructions: data first, then the new look.
    pub fn carry_out(&self, memory: &mut Memory, picture: &Columns, step: &Step) -> Vec<Instruction> {
        let mut instructions = Vec::new();
        for window in &step.windows {
            let first_column = self.first_column + window.first_column as u8;
            let rectangle = window.last_page > window.first_page;
            instructions.push(if rectangle {
                let last_column = self.first_column + window.last_column as u8;
                let (first_page, last_page) = (window.first_page as u8, window.last_page as u8);
                let mut bytes = vec![command::ADDRESSING, command::HORIZONTAL];
                bytes.extend([command::COLUMNS, first_column, last_column, command::PAGES, first_page, last_page]);
                Instruction::Commands(bytes)
            } else {
                Instruction::Seek { page: window.first_page as u8, column: first_column }
            });
            instructions.push(Instruction::Data(self.data(memory, picture, step.look, window)));
            if rectangle {
                instructions.push(self.page_addressing(window.last_column + 1 == picture.width()));
            }
        }
        if !step.commands.is_empty() {
            instructions.push(Instruction::Commands(step.commands.clone()));
        }
        instructions
    }

    /// Returns to page addressing behind a rectangle; one that does not end at the edge has its column window opened again.
    fn page_addressing(&self, at_edge: bool) -> Instruction {
        let mut bytes = if at_edge { vec![] } else { vec![command::COLUMNS, 0, self.last_memory_column] };
        bytes.extend([command::ADDRESSING, command::PAGE]);
        Instruction::Commands(bytes)
    }

    fn data(&self, memory: &mut Memory, picture: &Columns, look: Look, window: &Window) -> Vec<u8> {
        let mut data = Vec::with_capacity(window.cells());
        for page in window.first_page..=window.last_page {
            for column in window.first_column..=window.last_column {
                let byte = memory.byte_for(picture, look, page, column);
                memory.write(page, column, byte);
                data.push(byte);
            }
        }
        data
    }
}
