//! Which layers of a scene become areas, and in which order with what stands still: the lowest area is all that lies beneath.

use super::block::Block;
use super::cut::PixelRectangle;
use super::layers::{InkColumns, LayerInk, SceneInk};
use super::sheet::{Sheet, sheets};
use crate::player::MOST_AREAS;
use crate::player::area::{CLEARS, INKS};
use crate::reel::memory::Changed;
use crate::show::Mode;
use rayon::prelude::*;
use std::collections::HashSet;

/// Rows of a page.
const PAGE_ROWS: usize = 8;
/// A layer is cut into so many areas at most.
const MOST_PARTS: usize = 5;
/// So many cells beside an area may be sent with it, in a gap between two that change.
const GAP: usize = 7;
/// What a run of cells takes of a reel beside them.
const RUN_BYTES: usize = 3;

/// An area of a scene.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetArea {
    pub rectangle: PixelRectangle,
    /// What its ink does to what lies beneath.
    pub blend: u8,
    pub sheet: Sheet,
}

/// Which of the layers that move become areas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AreaChoice {
    All,
    /// Those that take less than their changes would.
    Cheap,
}

/// A layer that moves, as areas; and about what its changes take of a reel.
struct Proposal {
    layer: usize,
    areas: Vec<SheetArea>,
    bytes: usize,
    changes: usize,
}

/// The areas of a scene, the lowest first; `first` is what memory holds at the first frame, `owned` the cells of live fields. `None`
/// where nothing can be an area, or too much.
pub fn areas(scene: &SceneInk, first: &InkColumns, owned: &Changed, choice: AreaChoice) -> Option<Vec<SheetArea>> {
    let moving = (0..scene.layers.len()).into_par_iter().filter_map(|layer| proposal(layer, &scene.layers[layer]));
    let moving: Vec<Proposal> = moving.collect();
    let mut chosen: Vec<bool> =
        moving.iter().map(|proposal| choice == AreaChoice::All || proposal.bytes < proposal.changes).collect();
    let shares = |one: &Proposal, other: &Proposal| {
        one.areas
            .iter()
            .any(|one| other.areas.iter().any(|other| one.rectangle.wider(GAP).shares_cells(&other.rectangle)))
    };
    while let Some(more) = (0..moving.len()).find(|at| {
        let together = (0..moving.len()).any(|other| chosen[other] && shares(&moving[*at], &moving[other]));
        !chosen[*at] && together
    }) {
        chosen[more] = true;
    }
    let chosen =
        |layer: usize| moving.iter().zip(&chosen).find(|(proposal, chosen)| proposal.layer == layer && **chosen);
    let mut stack = Stack { beneath: vec![0; first.len()], areas: Vec::new() };
    for (number, layer) in scene.layers.iter().enumerate() {
        let mut still = layer.frames[0].clone();
        if let Some((proposal, _)) = chosen(number) {
            stack.areas.extend(proposal.areas.iter().cloned());
            proposal.areas.iter().for_each(|area| area.rectangle.clear(&mut still));
        } else if moving.iter().any(|proposal| proposal.layer == number) {
            continue;
        }
        stack.put(layer.mode, still);
    }
    let covers_owned = |area: &SheetArea| {
        let pages = || area.rectangle.pages();
        area.rectangle
            .wider(GAP)
            .columns
            .any(|column| owned.get(column).is_some_and(|own| pages().any(|page| own >> page & 1 == 1)))
    };
    if stack.areas.is_empty() || stack.areas.len() >= MOST_AREAS || stack.areas.iter().any(covers_owned) {
        return None;
    }
    Some(stack.over(first))
}

/// Areas, and what lies beneath all of them.
struct Stack {
    beneath: InkColumns,
    areas: Vec<SheetArea>,
}

impl Stack {
    /// Puts ink that stands still on top: into what lies beneath all areas, where that comes to the same.
    fn put(&mut self, mode: Mode, ink: InkColumns) {
        let Some(rectangle) = PixelRectangle::around(&ink) else { return };
        let blend = blend(mode);
        let paints = |area: &SheetArea| mode == Mode::Paint && area.blend == blend;
        if self.areas.iter().any(|area| area.rectangle.touches(&ink) && !paints(area)) {
            let still = sheets(&[ink], &rectangle).into_iter().next();
            self.areas.extend(still.map(|sheet| SheetArea { rectangle, blend, sheet }));
            return;
        }
        for (beneath, ink) in self.beneath.iter_mut().zip(&ink) {
            match mode {
                Mode::Paint => *beneath |= ink,
                Mode::Erase => *beneath &= !ink,
                Mode::Invert => *beneath ^= ink,
            }
        }
    }

    /// The areas with one beneath them that covers all their cells and shows the first frame elsewhere.
    fn over(self, first: &InkColumns) -> Vec<SheetArea> {
        let rectangles = || self.areas.iter().map(|area| &area.rectangle);
        let start = |range: fn(&PixelRectangle) -> std::ops::Range<usize>| {
            rectangles().map(|one| range(one).start).min().unwrap_or(0)
        };
        let end = |range: fn(&PixelRectangle) -> std::ops::Range<usize>| {
            rectangles().map(|one| range(one).end).max().unwrap_or(0)
        };
        let pages = start(PixelRectangle::pages)..end(PixelRectangle::pages);
        let columns = |one: &PixelRectangle| one.columns.clone();
        let whole = PixelRectangle {
            columns: start(columns)..end(columns),
            rows: PAGE_ROWS * pages.start..PAGE_ROWS * pages.end,
        };
        let mut ink = first.clone();
        for rectangle in rectangles() {
            let pages = rectangle.pages();
            let cells = PixelRectangle {
                columns: rectangle.columns.clone(),
                rows: PAGE_ROWS * pages.start..PAGE_ROWS * pages.end,
            };
            for column in cells.columns.clone() {
                ink[column] = ink[column] & !cells.mask() | self.beneath[column] & cells.mask();
            }
        }
        let beneath = sheets(&[ink], &whole).into_iter().next();
        let beneath = beneath.map(|sheet| SheetArea { rectangle: whole, blend: INKS, sheet });
        beneath.into_iter().chain(self.areas).collect()
    }
}

fn blend(mode: Mode) -> u8 {
    match mode {
        Mode::Paint => CLEARS | INKS,
        Mode::Erase => CLEARS,
        Mode::Invert => INKS,
    }
}

/// The areas of a layer that moves; `None` where it stands still.
fn proposal(layer: usize, ink: &LayerInk) -> Option<Proposal> {
    let first = &ink.frames[0];
    let mut changing = vec![0; first.len()];
    for frame in &ink.frames {
        changing.iter_mut().zip(frame.iter().zip(first)).for_each(|(changing, (now, first))| *changing |= now ^ first);
    }
    let whole = PixelRectangle::around(&changing)?;
    let parts = whole.parts(&changing);
    let of = |rectangles: &[PixelRectangle]| {
        let areas: Option<Vec<SheetArea>> = rectangles.iter().map(|one| cheapest(ink, one)).collect();
        areas.map(|areas| (Block::of(&areas, 0).len(), areas))
    };
    let parts = (2..=MOST_PARTS).contains(&parts.len()).then(|| of(&parts)).flatten();
    let (bytes, areas) = of(&[whole]).into_iter().chain(parts).min_by_key(|(bytes, _)| *bytes)?;
    Some(Proposal { layer, areas, bytes, changes: changes(&ink.frames) })
}

fn cheapest(ink: &LayerInk, rectangle: &PixelRectangle) -> Option<SheetArea> {
    let area = |sheet| SheetArea { rectangle: rectangle.clone(), blend: blend(ink.mode), sheet };
    sheets(&ink.frames, rectangle)
        .into_iter()
        .map(area)
        .min_by_key(|area| Block::of(std::slice::from_ref(area), 0).len())
}

/// About what the changes of a layer take of a reel: those between the same two pictures once.
fn changes(frames: &[InkColumns]) -> usize {
    let pairs: HashSet<(&InkColumns, &InkColumns)> = frames.windows(2).map(|pair| (&pair[0], &pair[1])).collect();
    let bytes = |(before, now): &(&InkColumns, &InkColumns)| {
        let changed = |page: usize| {
            let cell = |bits: u64| (bits >> (PAGE_ROWS * page)) as u8;
            let columns: Vec<usize> = (0..now.len()).filter(|at| cell(before[*at]) != cell(now[*at])).collect();
            let runs = columns.chunk_by(|one, next| next - one <= RUN_BYTES).count();
            columns.len() + RUN_BYTES * runs
        };
        (0..PAGE_ROWS).map(changed).sum::<usize>()
    };
    pairs.iter().map(bytes).sum()
}
