//! Chooses which layers of a scene become areas, and their order. The lowest area is everything below the moving ones.

use super::block::Block;
use super::carrier::{Carrier, NoAreas};
use super::cut::PixelRectangle;
use super::history::HistoryInk;
use super::layers::{InkColumns, LayerInk, SceneInk};
use super::sheet::{Sheet, sheets};
use crate::player::MOST_AREAS;
use crate::player::area::{CHUNK, CLEARS, INKS, PICTURES};
use crate::reel::encode::LONGEST_REEL;
use crate::reel::memory::{DirtyMask, PAGES, cell};
use crate::show::Mode;
use rayon::prelude::*;
use std::collections::HashSet;

/// Rows of a page.
const PAGE_ROWS: usize = 8;
/// The largest number of areas of a layer.
const MOST_PARTS: usize = 5;
/// The largest number of cells next to an area that are sent with it, in a gap between cells that change.
const GAP: usize = 7;
/// The largest number of bytes of a layer that follows live values: half of the longest reel.
pub const MOST_LIVE_BYTES: usize = LONGEST_REEL / 2;
/// Reel bytes of a run in addition to its cells.
const RUN_BYTES: usize = 3;

/// This many cells less to compose in a mean frame are worth a byte of the reel. Our own choice: composing half of a 128×64 panel
/// in vain takes a quarter of the frame period at 10 frames a second.
const COMPOSED_CELLS_A_BYTE: usize = 2;

/// An area of a scene.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetArea {
    /// The number of the layer that it carries, among those that areas are made of; `None` for the lowest area.
    pub layer: Option<usize>,
    pub rectangle: PixelRectangle,
    /// What its ink does to the pixels below.
    pub blend: u8,
    pub sheet: Sheet,
}

/// Which of the layers that move become areas. Those that follow live values always do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AreaChoice {
    All,
    /// Layers that as areas take less than this part of what their changes take.
    Cheaper(usize),
    /// Only those that follow live values.
    Live,
}

impl AreaChoice {
    /// For each of these layers, whether it becomes areas.
    fn of(self, moving: &[Proposal]) -> Vec<bool> {
        let chosen = |one: &Proposal| match self {
            Self::All => true,
            Self::Cheaper(times) => one.is_live || one.bytes.saturating_mul(times) < one.changes,
            Self::Live => one.is_live,
        };
        moving.iter().map(chosen).collect()
    }
}

/// What the lowest area covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// All cells in which something moves.
    Moving,
    /// The whole panel, which has this many pages.
    Panel(usize),
}

/// A moving layer as areas, and an estimate of what its changes would take of a reel.
struct Proposal {
    /// Its number among the layers that areas are made of.
    layer: usize,
    areas: Vec<SheetArea>,
    bytes: usize,
    changes: usize,
    /// Whether it follows live values, so that it must become areas.
    is_live: bool,
}

impl Proposal {
    /// The same proposal with another number.
    fn numbered(mut self, layer: usize) -> Self {
        self.layer = layer;
        self.areas.iter_mut().for_each(|area| area.layer = Some(layer));
        self
    }

    /// Its price in bytes, including the price of composing it.
    fn price(&self) -> usize {
        price(self.bytes, &self.areas)
    }
}

/// A layer, or a part of one, and its areas if it moves.
type Part = (LayerInk, Option<Proposal>);

/// The moving layers of a scene, as areas.
pub struct Proposals {
    /// The layers of the scene, or the parts of a layer if these cost less. Layers that take turns in the same cells are joined in
    /// the upper one.
    layers: Vec<LayerInk>,
    moving: Vec<Proposal>,
    /// For each layer of the scene, the numbers of the layers that carry it.
    carried_by: Vec<Vec<usize>>,
    /// Why a layer that follows live values cannot be areas.
    refused: Option<NoAreas>,
}

impl Proposals {
    /// The proposals for a scene.
    pub fn of(scene: &SceneInk) -> Self {
        let apart = scene.layers.par_iter().enumerate().map(|(layer, ink)| cheapest_parts(layer, ink));
        let apart: Vec<Result<Vec<Part>, NoAreas>> = apart.collect();
        let refused = apart.iter().find_map(|found| found.as_ref().err().copied());
        let mut all = Self { layers: Vec::new(), moving: Vec::new(), carried_by: Vec::new(), refused };
        for parts in apart {
            let (parts, first) = (parts.unwrap_or_default(), all.layers.len());
            all.carried_by.push((first..first + parts.len()).collect());
            for (ink, proposal) in parts {
                all.moving.extend(proposal.map(|proposal| proposal.numbered(all.layers.len())));
                all.layers.push(ink);
            }
        }
        all.join();
        all
    }

    /// Joins layers that take turns in the same cells, if that costs less.
    fn join(&mut self) {
        let lower_and_upper = (0..self.layers.len()).flat_map(|upper| (0..upper).map(move |lower| (lower, upper)));
        for (lower, upper) in lower_and_upper {
            let of = |layer: usize| self.moving.iter().find(|proposal| proposal.layer == layer);
            let (Some(one), Some(other)) = (of(lower), of(upper)) else { continue };
            if !may_join(&self.layers[lower..=upper], one, other) {
                continue;
            }
            let joined = self.layers[lower].joined_with(&self.layers[upper]);
            let less = proposal(upper, &joined).ok().flatten();
            let Some(less) = less.filter(|joined| joined.bytes < one.bytes + other.bytes) else { continue };
            self.moving.retain(|proposal| proposal.layer != lower && proposal.layer != upper);
            self.moving.push(less);
            let blank = vec![vec![0; joined.frames[0].len()]];
            self.layers[lower] = LayerInk { frames: blank, ..LayerInk::one(joined.mode) };
            self.layers[upper] = joined;
            self.carried_by.iter_mut().flatten().filter(|layer| **layer == lower).for_each(|layer| *layer = upper);
        }
        self.moving.sort_by_key(|proposal| proposal.layer);
    }

    /// For each layer that follows live values, the numbers of these values and the bytes of its areas.
    pub fn live_layers(&self) -> Vec<(Vec<usize>, usize)> {
        let of = |one: &Proposal| {
            let values = one.areas.first().filter(|_| one.is_live)?.sheet.parts.iter();
            Some((values.map(|part| part.value).collect(), one.bytes))
        };
        self.moving.iter().filter_map(of).collect()
    }

    /// Returns how each layer of the scene is carried, if the scene has these areas.
    pub fn carriers(&self, areas: &[SheetArea]) -> Vec<Carrier> {
        let moves = |layer: &usize| self.layers[*layer].frames.windows(2).any(|pair| pair[0] != pair[1]);
        self.carried_by.iter().map(|by| Carrier::of(by, by.iter().any(moves), areas)).collect()
    }

    /// Returns the areas of the scene, the lowest first. `first` is the memory in the first frame, `owned` are the cells of live
    /// fields. An error if nothing can be an area, or if there are too many.
    pub fn areas(
        &self,
        first: &InkColumns,
        owned: &DirtyMask,
        choice: AreaChoice,
        extent: Extent,
    ) -> Result<Vec<SheetArea>, NoAreas> {
        match self.refused {
            Some(why) => Err(why),
            None => areas(&self.layers, &self.moving, (first, owned), choice, extent),
        }
    }

    /// Returns the areas of the scene over a copy of the picture, the lowest first, and what the copy has below them in each frame. A
    /// layer becomes an area too if it changes over others that are areas. An error if nothing can be an area, or if there are too many.
    pub fn over_copy(&self, choice: AreaChoice) -> Result<(Vec<SheetArea>, Vec<InkColumns>), NoAreas> {
        if let Some(why) = self.refused {
            return Err(why);
        }
        let mut chosen = choice.of(&self.moving);
        loop {
            let covering = match self.stacked(&chosen) {
                Ok(stack) if stack.areas.is_empty() => return Err(NoAreas::Still),
                Ok(stack) if stack.areas.len() >= MOST_AREAS => return Err(NoAreas::TooMany),
                Ok(mut stack) => {
                    let (around, below) = (stack.around(), std::mem::take(&mut stack.beneath));
                    let blank = vec![0; below[0].len()];
                    return Ok((stack.over(around, blank), below));
                }
                Err(layer) => layer,
            };
            let at = self.moving.iter().position(|proposal| proposal.layer == covering).ok_or(NoAreas::Covered)?;
            chosen[at] = true;
        }
    }

    /// Puts all layers over one another. An error with a layer that cannot be below the areas, although it is not one of them.
    fn stacked(&self, chosen: &[bool]) -> Result<Stack, usize> {
        let frames = self.layers.iter().map(|layer| layer.frames.len()).max().unwrap_or(0);
        let width = self.layers.first().map_or(0, |layer| layer.frames[0].len());
        let mut stack = Stack { beneath: vec![vec![0; width]; frames], areas: Vec::new() };
        for (number, layer) in self.layers.iter().enumerate() {
            let proposal =
                self.moving.iter().zip(chosen).find(|(proposal, chosen)| proposal.layer == number && **chosen);
            match proposal {
                Some((proposal, _)) => stack.put_areas(proposal, layer),
                None => {
                    let moves = layer.frames.iter().any(|ink| *ink != layer.frames[0]);
                    let put = stack.put(number, layer.mode, if moves { &layer.frames } else { &layer.frames[..1] });
                    put.then_some(()).ok_or(number)?;
                }
            }
        }
        Ok(stack)
    }
}

/// Returns whether the lowest and the uppermost of these layers can be joined: they show pictures in the same cells, never at the
/// same time, and all of these layers only light pixels.
fn may_join(layers: &[LayerInk], lowest: &Proposal, uppermost: &Proposal) -> bool {
    let pictures = |proposal: &Proposal| proposal.areas.iter().all(|area| area.sheet.motion == PICTURES);
    let shares = || {
        let shares = |one: &SheetArea| uppermost.areas.iter().any(|other| one.rectangle.shares_cells(&other.rectangle));
        lowest.areas.iter().any(shares)
    };
    let takes_turns = || {
        let blank = |ink: &InkColumns| ink.iter().all(|bits| *bits == 0);
        let (one, other) = (&layers[0].frames, &layers[layers.len() - 1].frames);
        one.iter().zip(other).all(|(one, other)| blank(one) || blank(other))
    };
    let painted = layers.iter().all(|layer| layer.mode == Mode::Paint);
    let live = lowest.is_live || uppermost.is_live;
    painted && !live && pictures(lowest) && pictures(uppermost) && shares() && takes_turns()
}

fn areas(
    layers: &[LayerInk],
    moving: &[Proposal],
    (first, owned): (&InkColumns, &DirtyMask),
    choice: AreaChoice,
    extent: Extent,
) -> Result<Vec<SheetArea>, NoAreas> {
    let mut chosen = choice.of(moving);
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
    let mut stack = Stack { beneath: vec![vec![0; first.len()]], areas: Vec::new() };
    for (number, layer) in layers.iter().enumerate() {
        let proposed = moving.iter().zip(&chosen).find(|(proposal, _)| proposal.layer == number);
        match proposed {
            Some((proposal, true)) => stack.put_areas(proposal, layer),
            Some((_, false)) => {}
            None => _ = stack.put(number, layer.mode, &layer.frames[..1]),
        }
    }
    let covers_owned = |area: &SheetArea| {
        let pages = || area.rectangle.pages();
        area.rectangle
            .wider(GAP)
            .columns
            .any(|column| owned.get(column).is_some_and(|own| pages().any(|page| own >> page & 1 == 1)))
    };
    match stack.areas.len() {
        0 => Err(NoAreas::Still),
        MOST_AREAS.. => Err(NoAreas::TooMany),
        _ if stack.areas.iter().any(covers_owned) => Err(NoAreas::Field),
        _ => Ok(stack.over_memory(first, extent)),
    }
}

/// The cells of areas that follow live values: one bit per page for each of `width` columns; empty if there are none.
pub fn live_cells(areas: &[SheetArea], width: usize) -> DirtyMask {
    let mut cells = DirtyMask::new();
    for area in areas.iter().filter(|area| !area.sheet.parts.is_empty()) {
        cells.resize(width, 0);
        for column in cells.iter_mut().take(area.rectangle.columns.end).skip(area.rectangle.columns.start) {
            area.rectangle.pages().for_each(|page| *column |= 1 << page);
        }
    }
    cells
}

/// Areas, and the ink below all of them: in each frame, or in the only one.
struct Stack {
    beneath: Vec<InkColumns>,
    areas: Vec<SheetArea>,
}

impl Stack {
    /// Adds the areas of a layer, and the part of it that does not move.
    fn put_areas(&mut self, proposal: &Proposal, layer: &LayerInk) {
        let mut still = layer.frames[0].clone();
        self.areas.extend(proposal.areas.iter().cloned());
        proposal.areas.iter().for_each(|area| area.rectangle.clear(&mut still));
        self.put(proposal.layer, layer.mode, &[still]);
    }

    /// Adds ink to the ink below all areas if the picture is the same; ink that does not move, else as an area. Returns whether this
    /// was possible.
    fn put(&mut self, layer: usize, mode: Mode, frames: &[InkColumns]) -> bool {
        let mut all = vec![0; frames[0].len()];
        frames.iter().for_each(|ink| all.iter_mut().zip(ink).for_each(|(all, bits)| *all |= bits));
        let Some(rectangle) = PixelRectangle::around(&all) else { return true };
        let blend = blend(mode);
        let paints = |area: &SheetArea| mode == Mode::Paint && area.blend == blend;
        if self.areas.iter().any(|area| area.rectangle.touches(&all) && !paints(area)) {
            let still = sheets(&frames[..1], &rectangle).into_iter().next().filter(|_| frames.len() == 1);
            let is_still = still.is_some();
            self.areas.extend(still.map(|sheet| SheetArea { layer: Some(layer), rectangle, blend, sheet }));
            return is_still;
        }
        for (beneath, ink) in self.beneath.iter_mut().zip(frames.iter().cycle()) {
            for (beneath, ink) in beneath.iter_mut().zip(ink) {
                match mode {
                    Mode::Paint => *beneath |= ink,
                    Mode::Erase => *beneath &= !ink,
                    Mode::Invert => *beneath ^= ink,
                }
            }
        }
        true
    }

    /// The rectangle of cells around all areas.
    fn around(&self) -> PixelRectangle {
        let all = |range: fn(&PixelRectangle) -> std::ops::Range<usize>| {
            let ranges = || self.areas.iter().map(|area| range(&area.rectangle));
            let (start, end) = (ranges().map(|one| one.start).min(), ranges().map(|one| one.end).max());
            start.unwrap_or(0)..end.unwrap_or(0)
        };
        let pages = all(PixelRectangle::pages);
        PixelRectangle { columns: all(|one| one.columns.clone()), rows: PAGE_ROWS * pages.start..PAGE_ROWS * pages.end }
    }

    /// Adds the lowest area, which has this ink.
    fn over(self, rectangle: PixelRectangle, ink: InkColumns) -> Vec<SheetArea> {
        let beneath = sheets(&[ink], &rectangle).into_iter().next();
        let beneath = beneath.map(|sheet| SheetArea { layer: None, rectangle, blend: INKS, sheet });
        beneath.into_iter().chain(self.areas).collect()
    }

    /// Adds the lowest area. It covers the cells of all areas. There it has the ink below them, and elsewhere the first frame.
    fn over_memory(self, first: &InkColumns, extent: Extent) -> Vec<SheetArea> {
        let whole = match extent {
            Extent::Moving => self.around(),
            Extent::Panel(pages) => PixelRectangle { columns: 0..first.len(), rows: 0..PAGE_ROWS * pages },
        };
        let mut ink = first.clone();
        for rectangle in self.areas.iter().map(|area| &area.rectangle) {
            let pages = rectangle.pages();
            let cells = PixelRectangle {
                columns: rectangle.columns.clone(),
                rows: PAGE_ROWS * pages.start..PAGE_ROWS * pages.end,
            };
            for column in cells.columns.clone() {
                ink[column] = ink[column] & !cells.mask() | self.beneath[0][column] & cells.mask();
            }
        }
        self.over(whole, ink)
    }
}

fn blend(mode: Mode) -> u8 {
    match mode {
        Mode::Paint => CLEARS | INKS,
        Mode::Erase => CLEARS,
        Mode::Invert => INKS,
    }
}

/// Returns the areas of a moving layer; `None` if it does not move. An error if it follows live values and takes too many bytes.
fn proposal(layer: usize, ink: &LayerInk) -> Result<Option<Proposal>, NoAreas> {
    if let Some(HistoryInk { rectangle, sheet }) = ink.history.clone() {
        let areas = vec![SheetArea { layer: Some(layer), rectangle, blend: blend(ink.mode), sheet }];
        let (bytes, changes) = (Block::of(&areas, 0, false).len(), changes(&ink.frames));
        return Ok(Some(Proposal { layer, areas, bytes, changes, is_live: true }));
    }
    let first = &ink.frames[0];
    let mut changing = vec![0; first.len()];
    for frame in ink.live.as_ref().map_or(&ink.frames, |live| &live.pictures) {
        changing.iter_mut().zip(frame.iter().zip(first)).for_each(|(changing, (now, first))| *changing |= now ^ first);
    }
    let Some(whole) = PixelRectangle::around(&changing) else { return Ok(None) };
    let cells = whole.columns.len() * whole.pages().len();
    let mut cuts = vec![whole.parts(&changing), whole.bands(&changing), vec![whole]];
    cuts.retain(|rectangles| rectangles.len() <= MOST_PARTS);
    cuts.dedup();
    let of = |rectangles: Vec<PixelRectangle>| {
        let areas: Option<Vec<SheetArea>> = rectangles.iter().map(|one| cheapest(layer, ink, one)).collect();
        areas.map(|areas| (Block::of(&areas, 0, false).len(), areas))
    };
    let is_live = ink.live.is_some();
    let noise = ink.noise.iter().map(|noise| {
        let (rectangle, sheet, blend) = (noise.rectangle.clone(), noise.sheet.clone(), blend(ink.mode));
        let areas = vec![SheetArea { layer: Some(layer), rectangle, blend, sheet }];
        (Block::of(&areas, 0, false).len(), areas)
    });
    match cuts.into_iter().filter_map(of).chain(noise).min_by_key(|(bytes, areas)| price(*bytes, areas)) {
        Some((bytes, _)) if is_live && bytes > MOST_LIVE_BYTES => Err(NoAreas::LiveTooLong { layer, bytes }),
        Some((bytes, areas)) => Ok(Some(Proposal { layer, areas, bytes, changes: changes(&ink.frames), is_live })),
        None if is_live => {
            let pictures = ink.live.as_ref().map_or(0, |live| live.pictures.len());
            Err(NoAreas::ManySteps { layer, pictures, frames: 1, bytes: pictures * cells })
        }
        None => Ok(None),
    }
}

/// Returns a layer of a scene as a whole or as its parts, whichever costs less.
fn cheapest_parts(layer: usize, ink: &LayerInk) -> Result<Vec<Part>, NoAreas> {
    let whole = proposal(layer, ink)?;
    let mut parts = Vec::new();
    for part in &ink.parts {
        parts.push((part.clone(), proposal(layer, part)?));
    }
    let proposals = || parts.iter().filter_map(|(_, proposal)| proposal.as_ref());
    let areas: usize = proposals().map(|proposal| proposal.areas.len()).sum();
    let less = |whole: &Proposal| proposals().map(Proposal::price).sum::<usize>() < whole.price();
    if (1..=MOST_PARTS).contains(&areas) && whole.as_ref().is_none_or(less) {
        return Ok(parts);
    }
    Ok(vec![(ink.clone(), whole)])
}

/// The price of areas in bytes, including the price of composing them.
fn price(bytes: usize, areas: &[SheetArea]) -> usize {
    bytes + areas.iter().map(composed_cells).sum::<usize>() / COMPOSED_CELLS_A_BYTE
}

/// The number of cells of an area that are composed in a mean frame.
fn composed_cells(area: &SheetArea) -> usize {
    let cells = area.rectangle.pages().len() * area.rectangle.columns.len().next_multiple_of(CHUNK);
    let moves = area.sheet.phases.windows(2).filter(|pair| pair[0] != pair[1]).count();
    cells * moves / area.sheet.phases.len()
}

fn cheapest(layer: usize, ink: &LayerInk, rectangle: &PixelRectangle) -> Option<SheetArea> {
    let area = |sheet| SheetArea { layer: Some(layer), rectangle: rectangle.clone(), blend: blend(ink.mode), sheet };
    let found = ink.live.as_ref().map_or_else(|| sheets(&ink.frames, rectangle), |live| live.sheets(rectangle));
    found.into_iter().map(area).min_by_key(|area| Block::of(std::slice::from_ref(area), 0, false).len())
}

/// Estimates what the changes of a layer take of a reel. Changes between the same two pictures count once.
fn changes(frames: &[InkColumns]) -> usize {
    let pairs: HashSet<(&InkColumns, &InkColumns)> = frames.windows(2).map(|pair| (&pair[0], &pair[1])).collect();
    let bytes = |(before, now): &(&InkColumns, &InkColumns)| {
        let changed = |page: usize| {
            let columns: Vec<usize> =
                (0..now.len()).filter(|at| cell(before[*at], page) != cell(now[*at], page)).collect();
            let runs = columns.chunk_by(|one, next| next - one <= RUN_BYTES).count();
            columns.len() + RUN_BYTES * runs
        };
        (0..PAGES).map(changed).sum::<usize>()
    };
    pairs.iter().map(bytes).sum()
}
