//! Noise in a lean scene that its player makes: the area in memory order, and the cells that it fills frame by frame.

use super::cost::Cost;
use super::generated::Generated;
use super::instruction::Instruction;
use super::memory::{Memory, PageBitmap};
use super::scene::SceneFrames;
use crate::panel::{Mounting, Panel};
use crate::player::grain::{AREA_BYTES, FALLS_ACROSS, FALLS_DOWN, RUN_CELLS, SWAPS, cell};
use crate::render::{Area, Flicker};
use std::ops::Range;

/// Reel bytes of the instruction that fills an area.
const GRAINS_CODE_BYTES: u64 = 4;

/// How an area of the view lies in memory, in columns of the display's memory and rows.
struct AreaTransform {
    /// The first column and row, and those behind the last.
    left: i32,
    end: i32,
    top: i32,
    bottom: i32,
    /// Where the pixel at the top left of the view's area is.
    near: (i32, i32),
    /// Whether the view's rows are columns of memory; whether its places fall across and down as memory's rise.
    swaps: bool,
    across_falls: bool,
    down_falls: bool,
}

impl AreaTransform {
    /// Of an area inside the view, two pixels wide and high at least.
    fn of(seen: &Area, panel: &Panel, mounting: &Mounting) -> Self {
        let memory = |x: i32, y: i32| {
            let (column, row) = mounting.memory_pixel(panel, (seen.left + x) as u32, (seen.top + y) as u32);
            (column as i32, row as i32)
        };
        let (near, far) = (memory(0, 0), memory(seen.width - 1, seen.height - 1));
        let (right, below) = (memory(1, 0), memory(0, 1));
        let swaps = right.0 == near.0;
        let (across_falls, down_falls) =
            if swaps { (right.1 < near.1, below.0 < near.0) } else { (right.0 < near.0, below.1 < near.1) };
        Self {
            left: near.0.min(far.0),
            end: near.0.max(far.0) + 1,
            top: near.1.min(far.1),
            bottom: near.1.max(far.1) + 1,
            near,
            swaps,
            across_falls,
            down_falls,
        }
    }

    /// The place across and down of the first column's pixel in a row of memory.
    fn place_in_row(&self, row: i32) -> (i32, i32) {
        let (by_column, by_row) = ((self.left - self.near.0).abs(), (row - self.near.1).abs());
        if self.swaps { (by_row, by_column) } else { (by_column, by_row) }
    }

    /// The same as the player has it.
    fn turn(&self) -> u8 {
        let turns = [(self.swaps, SWAPS), (self.across_falls, FALLS_ACROSS), (self.down_falls, FALLS_DOWN)];
        turns.into_iter().filter(|turn| turn.0).fold(0, |all, turn| all | turn.1)
    }
}

/// The noise of a scene.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noise {
    area: [u8; AREA_BYTES as usize],
    grains: Vec<Option<(u16, u8)>>,
    /// For each frame the picture beneath.
    beneath: Vec<PageBitmap>,
    /// Pages, and visible columns.
    pages: Range<usize>,
    columns: Range<usize>,
}

impl Noise {
    /// The noise of a scene in those cells that lie in its area as a whole; `None` where there are none.
    pub fn of(flicker: &Flicker, scene_frames: &SceneFrames, panel: &Panel, mounting: &Mounting) -> Option<Self> {
        let first_column = mounting.memory_window(panel).first_column;
        let (width, height) = mounting.view_size(panel);
        let seen = flicker.area.within(&Area { left: 0, top: 0, width: width as i32, height: height as i32 });
        if seen.width < 2 || seen.height < 2 {
            return None;
        }
        let lie = AreaTransform::of(&seen, panel, mounting);
        let pages = (lie.top as usize).div_ceil(8)..lie.bottom as usize / 8;
        let columns = (lie.left - i32::from(first_column)) as usize..(lie.end - i32::from(first_column)) as usize;
        let owned = |page: usize| columns.clone().any(|column| scene_frames.owns(page, column));
        if pages.is_empty() || pages.clone().any(owned) {
            return None;
        }
        let (across, down) = lie.place_in_row(pages.start as i32 * 8);
        let across = (across + seen.left - flicker.area.left) as u8;
        let down = (down + seen.top - flicker.area.top) as u8;
        let left = lie.left as u8;
        let area = [pages.start as u8, pages.len() as u8, left, columns.len() as u8, across, down, lie.turn()];
        let beneath = flicker.beneath.iter().map(|picture| super::columns(panel, mounting, picture)).collect();
        Some(Self { area, grains: flicker.grains.clone(), beneath, pages, columns })
    }

    /// What the player makes at a frame, carried out in `memory`, where `stated` is the area as it was stated last; `None` where the
    /// noise is that of the frame before, or there is none. The frame behind the last one is the first one again.
    pub fn fill(
        &self,
        frame: usize,
        stated: &mut Option<Vec<u8>>,
        memory: &mut Memory,
        cost: &Cost,
    ) -> Option<Generated> {
        let at = frame % self.grains.len();
        let (seed, density) = self.grains[at]?;
        let former = frame.checked_sub(1).and_then(|before| self.grains[before]);
        let (record, beneath) = (self.record(at), &self.beneath[at]);
        let states = stated.as_ref() != Some(&record);
        if former == Some((seed, density)) && !states {
            return None;
        }
        for (number, page) in self.pages.clone().enumerate() {
            for (on, column) in self.columns.clone().enumerate() {
                let grains = cell(&self.area, (seed, density), number as u8 * 8, on as u8);
                memory.write(page, column, grains | (beneath.bits()[column] >> (8 * page)) as u8);
            }
        }
        let mut instructions = Vec::new();
        let mut flash_bytes = GRAINS_CODE_BYTES;
        if states {
            flash_bytes += 1 + record.len() as u64;
            instructions.push(Instruction::Area(record.clone()));
            *stated = Some(record);
        }
        instructions.push(Instruction::Grains { seed, density });
        let runs = self.pages.len();
        let time = runs as u64 * cost.run(self.columns.len() as u64);
        Some(Generated { instructions, flash_bytes, time, runs })
    }

    /// The area with the picture beneath at a frame.
    fn record(&self, frame: usize) -> Vec<u8> {
        let mut record = self.area.to_vec();
        let first_column = self.area[2] - self.columns.start as u8;
        for page in self.pages.clone() {
            let cell = |column: usize| (self.beneath[frame].bits()[column] >> (8 * page)) as u8;
            let lit: Vec<usize> = self.columns.clone().filter(|column| cell(*column) != 0).collect();
            for run in lit.chunk_by(|one, next| next - one <= usize::from(RUN_CELLS)) {
                let columns = run[0]..run[run.len() - 1] + 1;
                record.extend([columns.len() as u8, page as u8, first_column + columns.start as u8]);
                record.extend(columns.map(cell));
            }
        }
        record.push(0);
        record
    }
}

#[cfg(test)]
mod tests {
    use crate::player::grain::hash;

    /// The share of ink is what is asked for, in all of the picture, in each column and row, and beside ink as elsewhere.
    #[test]
    fn noise_is_even_and_no_grain_tells_of_its_neighbour() {
        const SHARE: u32 = 64;
        for seed in [0u16, 1, 0x00FF, 0x1234, 0x8000, 0xBEEF, 0xFFFF] {
            let ink = |x: u32, y: u32| u32::from(hash(seed, x as u8, y as u8)) < SHARE;
            let all = |pick: fn((u32, u32)) -> (u32, u32)| {
                let places = (0..128u32).flat_map(|y| (0..128u32).map(move |x| (x, y)));
                places.filter(|place| ink(place.0, place.1)).map(pick).filter(|place| ink(place.0, place.1)).count()
            };
            // 16,384 places, a quarter of them ink: 4,096, and a quarter of those again beside one, 1,024; five deviations around.
            let (lit, right, below) = (all(|place| place), all(|(x, y)| (x + 1, y)), all(|(x, y)| (x, y + 1)));
            assert!((3_819..=4_373).contains(&lit), "{seed:04X}: {lit} of 16,384");
            for beside in [right, below] {
                assert!((874..=1_174).contains(&beside), "{seed:04X}: {beside} of 16,384 side by side");
            }
        }
    }
}
