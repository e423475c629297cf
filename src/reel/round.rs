//! A loop: a part of the picture that repeats on its own. Its cells, and what is written of them frame by frame.

use super::avoiding::plan_avoiding;
use super::cost::{Cost, RUN_CODE_BYTES};
use super::generated::Generated;
use super::instruction::{CellPlace, Instruction};
use super::memory::{DirtyMask, Memory, PageBitmap, Pages, cell, pages_of};
use super::scene::{Next, SceneFrames};
use super::windows::Window;
use crate::whole::limited;
use std::ops::RangeInclusive;

/// The number of frames that a period of the loop can have.
const LAPS: RangeInclusive<usize> = 2..=64;
/// The smallest number of periods in a scene. With fewer there is little to save.
const FEWEST_LAPS: usize = 2;

/// What a frame writes of a loop.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Turn {
    windows: Vec<Window>,
    /// The cells of each window.
    data: Vec<Vec<u8>>,
}

/// The loop of a scene.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Round {
    /// Its cells: one bit per page for each column.
    cells: DirtyMask,
    /// The steps from the first picture to the second, and so on, back to the first.
    turns: Vec<Turn>,
}

/// The cells that repeat with a period of this many frames, and those that change in another way.
struct Lap {
    frames: usize,
    round: DirtyMask,
    rest: DirtyMask,
    /// The number of cell changes that need not be stored, because they are in later periods.
    spared: u32,
}

impl Round {
    /// Returns the loop of a scene that saves most; `None` if there is none. A scene that another one follows has no loop, because
    /// the other one would open during it. A scene that repeats needs a whole number of periods.
    pub fn of(scene_frames: &SceneFrames, cost: &Cost) -> Option<Self> {
        let (pictures, repeats) = (scene_frames.pictures.as_slice(), scene_frames.then == Next::Repeat);
        let is_alone = scene_frames.owned.is_empty() && scene_frames.sweep.is_none();
        if !is_alone || !(repeats || scene_frames.then == Next::Hold) {
            return None;
        }
        let fits = |frames: &usize| frames * FEWEST_LAPS <= pictures.len() && !(repeats && pictures.len() % frames > 0);
        let laps = LAPS.filter(fits).map(|frames| Lap::of(frames, pictures));
        let lap = laps.reduce(|best, lap| if lap.spared > best.spared { lap } else { best })?;
        // It is stored once and sent in every period, so that only the bus counts.
        let cost = cost.of_bus_alone().of_runs_alone();
        let turn = |at: usize| lap.turn(&pictures[at], &pictures[(at + 1) % lap.frames], &cost);
        (lap.spared > 0).then(|| Self { turns: (0..lap.frames).map(turn).collect(), cells: lap.round.clone() })
    }

    /// Returns whether it has any of these columns of a page.
    pub fn reaches(&self, page: usize, columns: std::ops::Range<usize>) -> bool {
        self.cells[columns].iter().any(|pages| pages >> page & 1 == 1)
    }

    /// Its instructions, which follow the key frame of the scene.
    pub fn instructions(&self, first_column: u8) -> Vec<Instruction> {
        let mut all = vec![Instruction::OpenRound];
        for turn in &self.turns {
            for (window, data) in turn.windows.iter().zip(&turn.data) {
                let column = limited(usize::from(first_column) + window.first_column);
                all.push(Instruction::Seek(CellPlace { page: limited(window.first_page), column }));
                all.push(Instruction::Data(data.clone()));
            }
            all.push(Instruction::RoundFrame);
        }
        all.push(Instruction::EndRound);
        all
    }

    /// Writes to `memory` what it writes in a frame; nothing in the key frame.
    pub fn turn(&self, frame: usize, memory: &mut Memory, cost: &Cost) -> Option<Generated> {
        let turn = &self.turns[frame.checked_sub(1)? % self.turns.len()];
        for (window, data) in turn.windows.iter().zip(&turn.data) {
            for (column, byte) in (window.first_column..).zip(data) {
                memory.write(window.first_page, column, *byte);
            }
        }
        let cells = || turn.data.iter().map(|data| data.len() as u64);
        let time = cells().map(|cells| cost.run(cells)).sum();
        let is_stored = frame <= self.turns.len();
        let flash_bytes = if is_stored { cells().map(|cells| RUN_CODE_BYTES + cells).sum() } else { 0 };
        let (instructions, runs) = (Vec::new(), turn.windows.len());
        Some(Generated { instructions, flash_bytes, time, runs })
    }
}

impl Lap {
    fn of(frames: usize, pictures: &[PageBitmap]) -> Self {
        let width = pictures[0].width();
        let changes = |lag: usize, column: usize| {
            let bits = pictures.iter().map(move |picture| picture.bits()[column]);
            bits.clone().zip(bits.skip(lag)).map(|(before, now)| pages_of(before ^ now))
        };
        let any = |lag: usize, column: usize| changes(lag, column).fold(0, |all, pages| all | pages);
        let rest: DirtyMask = (0..width).map(|column| any(frames, column)).collect();
        let round: DirtyMask = rest.iter().enumerate().map(|(column, rest)| any(1, column) & !rest).collect();
        let repeats_of = |(column, cells): (usize, &Pages)| {
            changes(1, column).skip(frames).map(|pages| (pages & cells).count_ones()).sum::<u32>()
        };
        let spared = round.iter().enumerate().filter(|(_, cells)| **cells > 0).map(repeats_of).sum();
        Self { frames, round, rest, spared }
    }

    fn turn(&self, from: &PageBitmap, to: &PageBitmap, cost: &Cost) -> Turn {
        let changes = from.bits().iter().zip(to.bits()).map(|(from, to)| pages_of(from ^ to));
        let changed: DirtyMask = changes.zip(&self.round).map(|(pages, cells)| pages & cells).collect();
        let (_, windows) = plan_avoiding(&changed, &self.rest, cost);
        let data = |window: &Window| {
            let columns = &to.bits()[window.first_column..=window.last_column];
            columns.iter().map(|bits| cell(*bits, window.first_page)).collect()
        };
        Turn { data: windows.iter().map(data).collect(), windows }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reel::memory::Rows;
    use crate::units::Nanoseconds;

    /// Two pages of six columns. In page 0, a dot moves by a column per frame over the first four columns. In page 1, a dot appears
    /// in frame 5 and stays.
    fn scene_frames(frames: usize, then: Next) -> SceneFrames {
        let column = |frame: usize, column: usize| {
            Rows::from(column < 4 && frame % 4 == column) | Rows::from(column == 1 && frame >= 5) << 9
        };
        SceneFrames {
            pictures: (0..frames).map(|frame| PageBitmap::new(16, (0..6).map(|x| column(frame, x)))).collect(),
            cues: vec![vec![]; frames],
            contrast: vec![90; frames],
            off: vec![],
            then,
            owned: vec![],
            live: Default::default(),
            dimming: None,
            sweep: None,
        }
    }

    fn round(scene_frames: &SceneFrames) -> Option<Round> {
        Round::of(scene_frames, &Cost::new(Nanoseconds(22_500), Nanoseconds(47_500), 32, true))
    }

    #[test]
    fn a_round_is_one_lap_of_the_cells_that_come_round_and_of_no_others() {
        let round = round(&scene_frames(11, Next::Hold)).expect("four frames come round");
        assert_eq!((round.cells.as_slice(), round.turns.len()), (&[1, 1, 1, 1, 0, 0][..], 4));
        let data: Vec<&[Vec<u8>]> = round.turns.iter().map(|turn| turn.data.as_slice()).collect();
        assert_eq!(data, [[[0, 1].as_slice()], [&[0, 1]], [&[0, 1]], [&[1, 0, 0, 0]]]);
        assert!(round.reaches(0, 3..6) && !round.reaches(0, 4..6) && !round.reaches(1, 0..6));
    }

    #[test]
    fn a_scene_that_repeats_has_a_round_of_whole_laps_and_one_that_goes_on_has_none() {
        let laps = |frames, then| round(&scene_frames(frames, then)).map(|round| round.turns.len());
        assert_eq!((laps(12, Next::Repeat), laps(11, Next::Repeat)), (Some(4), None));
        assert_eq!((laps(8, Next::Hold), laps(7, Next::Hold)), (Some(4), None));
        assert_eq!((laps(12, Next::Scene(0)), laps(12, Next::Back)), (None, None));
        let owned = SceneFrames { owned: vec![2; 6], ..scene_frames(12, Next::Hold) };
        assert_eq!(round(&owned), None);
    }
}
