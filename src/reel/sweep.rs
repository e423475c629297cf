//! A turning beam in a lean scene: the record for the player, and what the player sends as the beam turns.

use super::beam::SeenBeam;
use super::cost::Cost;
use super::generated::Generated;
use super::instruction::Instruction;
use super::memory::{Memory, PageBitmap};
use super::scene::{Next, SceneFrames};
use super::simulated_bus::SimulatedBus;
use crate::player::beam::{Beam, SHORTEST_LONGEST, TOO_LONG, reaches_its_trail};
use crate::player::bus::Extension;
use crate::player::turn::{OPEN_BEAM, RECORD_ROWS, TURN, Turning};
use crate::whole::limited;
use std::collections::BTreeMap;
use std::ops::Range;

/// The sweep that the player computes in a scene.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sweep {
    record: Vec<u8>,
    directions: Vec<Option<u8>>,
    /// For each page, the visible columns that the beam reaches.
    reached: Vec<Range<usize>>,
}

impl Sweep {
    /// Returns the sweep of a scene. `None` if the player cannot compute it.
    pub fn of(seen: &SeenBeam, scene_frames: &SceneFrames, first_column: u8) -> Option<Self> {
        let directions = kept(&seen.directions, scene_frames)?;
        let first = scene_frames.pictures.first()?;
        let (width, pages) = (first.width(), first.rows().div_ceil(8) as usize);
        let reached: Vec<Range<usize>> = (0..pages).map(|page| reached(&seen.beam, page, width)).collect();
        let first_page = reached.iter().position(|columns| !columns.is_empty())?;
        let longest = seen.beam.limits.into_iter().fold(SHORTEST_LONGEST, u8::max);
        let turns = directions.windows(2).filter_map(|pair| Some(pair[1]?.wrapping_sub(pair[0]?)));
        let cannot_turn =
            turns.clone().any(|turn| reaches_its_trail(longest, turn)) || turns.max().is_none_or(|most| most == 0);
        if cannot_turn || seen.beam.reach >= TOO_LONG {
            return None;
        }
        let owns = |page: usize, columns: &Range<usize>| columns.clone().any(|column| scene_frames.owns(page, column));
        if reached.iter().enumerate().any(|(page, columns)| owns(page, columns)) {
            return None;
        }
        let shown = by_direction(&directions, scene_frames);
        let mut record = head(&seen.beam, longest, limited(first_page), first_column);
        debug_assert_eq!(record.len(), usize::from(RECORD_ROWS));
        for (page, columns) in reached.iter().enumerate().filter(|(_, columns)| !columns.is_empty()) {
            let start = usize::from(first_column) + columns.start;
            record.extend([columns.len(), start].map(limited::<u8, _>));
            record.extend(columns.clone().map(|column| beneath(&seen.beam, &shown, (page, column))));
        }
        record.push(0);
        Some(Self { record, directions, reached })
    }

    /// Returns whether the beam reaches any of these columns of a page.
    pub fn reaches(&self, page: usize, columns: Range<usize>) -> bool {
        self.reached.get(page).is_some_and(|reached| reached.start < columns.end && columns.start < reached.end)
    }

    /// Writes to `memory` what the player draws in a frame. The frame after the last one is the first one again.
    pub fn turn(&self, frame: usize, memory: &mut Memory, cost: &Cost, first_column: u8) -> Option<Generated> {
        let now = self.directions[frame % self.directions.len()]?;
        let former = frame.checked_sub(1).and_then(|before| self.directions[before]);
        let turn = former.map(|former| now.wrapping_sub(former));
        if turn == Some(0) {
            return None;
        }
        let mut reel = vec![now.wrapping_sub(turn.unwrap_or(0))];
        reel.extend(&self.record);
        let mut turning = Turning::new();
        turning.open(&reel, OPEN_BEAM, 0)?;
        if let Some(turn) = turn {
            let at = u16::try_from(reel.len()).ok()?;
            reel.push(turn);
            turning.open(&reel, TURN, at)?;
        }
        let mut bus = SimulatedBus::new(memory, cost, first_column);
        bus.draw(&mut turning, &reel)?;
        let (time, runs) = (bus.time, bus.runs);
        let (instruction, operands) = match turn {
            Some(turn) => (Instruction::Turn(turn), 1),
            None => (Instruction::OpenBeam { direction: now, record: self.record.clone() }, reel.len()),
        };
        let flash_bytes = 1 + operands as u64;
        Some(Generated { instructions: vec![instruction], flash_bytes, time, runs })
    }
}

/// The bytes of a record before its rows.
fn head(beam: &Beam, longest: u8, page: u8, first_column: u8) -> Vec<u8> {
    let column = limited(beam.column + i16::from(first_column));
    let mut head = vec![column, limited(beam.row), u8::from(beam.mirrored), longest];
    head.extend(limited::<u16, _>(beam.reach).to_le_bytes());
    // The player counts columns of the display's memory. The first visible one need not be a multiple of four.
    let at = |at: usize| at & !3 | (at.wrapping_sub(usize::from(first_column)) & 3);
    head.extend((0..beam.limits.len()).map(|limit| beam.limits[at(limit)]));
    head.push(page);
    head
}

/// The directions for the player: while the display is off, the beam does not turn. `None` if the beam is shown, hidden and shown
/// again, or if it is hidden at the end of a scene that repeats and shows it in its first frame.
fn kept(directions: &[Option<u8>], scene_frames: &SceneFrames) -> Option<Vec<Option<u8>>> {
    let mut former = None;
    let keep = |(frame, now): (usize, &Option<u8>)| {
        let kept = if scene_frames.is_on(frame) || former.is_none() { *now } else { former };
        former = kept;
        kept
    };
    let kept: Vec<Option<u8>> = directions.iter().enumerate().map(keep).collect();
    let stretches =
        kept.chunk_by(|one, next| one.is_some() == next.is_some()).filter(|chunk| chunk[0].is_some()).count();
    let comes_back = scene_frames.then != Next::Repeat || kept.first()?.is_none() || kept.last()?.is_some();
    (stretches == 1 && comes_back).then_some(kept)
}

/// The visible columns of a page in which a beam reaches a pixel.
fn reached(beam: &Beam, page: usize, width: usize) -> Range<usize> {
    let square = |from: usize, centre: i16| limited::<i32, _>(from).abs_diff(centre.into()).pow(2);
    let near = (8 * page..8 * page + 8).map(|row| square(row, beam.row)).min().unwrap_or(0);
    let mut columns = (0..width).filter(|column| near + square(*column, beam.column) <= beam.reach);
    let Some(first) = columns.next() else { return 0..0 };
    first..columns.next_back().unwrap_or(first) + 1
}

/// The pictures for each direction of the beam.
fn by_direction<'a>(directions: &[Option<u8>], scene_frames: &'a SceneFrames) -> Vec<(u8, Vec<&'a PageBitmap>)> {
    let mut all: BTreeMap<u8, Vec<&PageBitmap>> = BTreeMap::new();
    for (picture, direction) in scene_frames.pictures.iter().zip(directions) {
        if let Some(direction) = direction {
            all.entry(*direction).or_default().push(picture);
        }
    }
    all.into_iter().collect()
}

/// The picture below the beam in a cell: for each pixel, its most frequent state while the beam does not light it.
fn beneath(beam: &Beam, shown: &[(u8, Vec<&PageBitmap>)], (page, column): (usize, usize)) -> u8 {
    let mut balance = [0i32; 8];
    for (direction, pictures) in shown {
        for (row, balance) in balance.iter_mut().enumerate() {
            let row = 8 * page + row;
            if !beam.lights(limited(column), limited(row), *direction) {
                let shade = |picture: &&PageBitmap| if picture.bits()[column] >> row & 1 == 1 { 1 } else { -1 };
                *balance += pictures.iter().map(shade).sum::<i32>();
            }
        }
    }
    (0..8).fold(0, |cell, row| cell | u8::from(balance[row] > 0) << row)
}
