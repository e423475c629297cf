//! The sets of player parts for which a lean show can be planned, and what each costs.

use super::areas::{AreaChoice, Block, Carriage, Carrier, Extent, NoAreas, Proposals, SceneInk, live_cells};
use super::compile::Reel;
use super::cost::Cost;
use super::encode::LONGEST_REEL;
use super::memory::{DirtyMask, Rows};
use super::round::Round;
use super::scene::{Planned, SceneFrames, plan_scene, plan_with_areas};
use super::step::Planner;
use crate::panel::PlayerParts;
use crate::show::Show;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Rows of a page.
const PAGE_ROWS: u32 = 8;

/// A set of optional parts of the player.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartSet(u8);

impl PartSet {
    /// Send only the changed cells of moving strips.
    pub const CHANGES: PartSet = PartSet(1);
    /// Compute noise for areas.
    pub const GRAINS: PartSet = PartSet(2);
    /// Compute a turning beam.
    pub const BEAM: PartSet = PartSet(4);
    /// Repeat a part of the picture on its own (a loop).
    pub const ROUNDS: PartSet = PartSet(8);
    /// Write rows that scroll into view.
    pub const ROLLS: PartSet = PartSet(16);
    /// Compose areas.
    pub const AREAS: PartSet = PartSet(32);
    /// Send windows of cells.
    pub const WINDOWS: PartSet = PartSet(64);

    /// The parts of both sets.
    pub fn with(self, other: PartSet) -> PartSet {
        PartSet(self.0 | other.0)
    }

    /// This set, or the empty set.
    fn where_it(self, is_used: bool) -> PartSet {
        if is_used { self } else { PartSet::default() }
    }

    /// Returns whether it contains all parts of another set.
    pub fn has(self, other: PartSet) -> bool {
        other.0 & !self.0 == 0
    }

    /// All subsets of these parts. A subset comes before the sets that contain it.
    fn choices(self) -> impl Iterator<Item = PartSet> {
        (0..=self.0).map(PartSet).filter(move |set| self.has(*set))
    }

    /// The parts that a planned scene uses.
    fn used(planned: &Planned) -> PartSet {
        let noise = Self::GRAINS.where_it(planned.flickers()).with(Self::ROUNDS.where_it(planned.goes_round()));
        let changes = Self::CHANGES.where_it(planned.sends_changes()).with(Self::ROLLS.where_it(planned.rolls()));
        let windows = Self::WINDOWS.where_it(planned.sends_windows());
        let areas = Self::AREAS.where_it(planned.has_areas()).with(windows);
        Self::BEAM.where_it(planned.turns()).with(changes).with(noise).with(areas)
    }
}

/// The plans of a scene, by the parts that each plan uses.
pub struct Plans(BTreeMap<PartSet, Planned>);

/// Returns whether the scene must have areas, because layers follow live values.
fn must_have_areas(scene_frames: &SceneFrames) -> bool {
    !scene_frames.live.values.is_empty()
}

impl Plans {
    /// Plans a scene with each set that makes a difference.
    pub fn of(scene_frames: &SceneFrames, ink: Result<&SceneInk, NoAreas>, planner: &Planner) -> Result<Self, NoAreas> {
        if must_have_areas(scene_frames) {
            let composed = with_areas(scene_frames, ink?, planner)?;
            return Ok(Self(composed.into_iter().map(|planned| (PartSet::used(&planned), planned)).collect()));
        }
        let round = PartSet::ROUNDS.where_it(Round::of(scene_frames, &planner.cost).is_some());
        let offered = PartSet::BEAM.where_it(scene_frames.sweep.is_some()).with(round);
        let plan = |set: PartSet| {
            let sweep = scene_frames.sweep.clone().filter(|_| set.has(PartSet::BEAM));
            let scene_frames = SceneFrames { sweep, ..scene_frames.clone() };
            let (rolls, rounds) = (set.has(PartSet::ROLLS), set.has(PartSet::ROUNDS));
            let planner = Planner { rolls, rounds, ..planner.clone() };
            let changes = plan_scene(&scene_frames, &Planner { changes: true, ..planner.clone() });
            let whole = changes.sends_changes().then(|| plan_scene(&scene_frames, &planner));
            whole.into_iter().chain([changes])
        };
        let sets: Vec<PartSet> = offered.choices().collect();
        let mut planned: Vec<Planned> = sets.into_par_iter().flat_map_iter(plan).collect();
        if planned.iter().any(Planned::scrolls) {
            planned.extend(plan(PartSet::ROLLS));
        }
        let composed = ink.and_then(|ink| with_areas(scene_frames, ink, planner));
        let why = composed.as_ref().map_or_else(|why| *why, |planned| NoAreas::Dearer(planned[0].area_bytes()));
        planned.iter_mut().for_each(|planned| planned.carriage = Carriage::Windows(why));
        // If two plans use the same parts, the last one is kept.
        planned.extend(composed.into_iter().flatten());
        Ok(Self(planned.into_iter().map(|planned| (PartSet::used(&planned), planned)).collect()))
    }

    /// Returns the plan that uses the most parts of a set and no others, if there is one.
    fn in_set(&self, set: PartSet) -> Option<&Planned> {
        let within = self.0.iter().filter(|(used, _)| set.has(**used));
        within.max_by_key(|(used, _)| used.0.count_ones()).map(|(_, planned)| planned)
    }
}

/// Returns the cheapest plan with areas, and if it needs windows too, the cheapest plan without windows; or the reason why there is
/// none. If the parts of layers need too many areas, each layer is planned as a whole.
fn with_areas(scene_frames: &SceneFrames, ink: &SceneInk, planner: &Planner) -> Result<Vec<Planned>, NoAreas> {
    match with_areas_of(scene_frames, ink, planner) {
        Err(NoAreas::TooMany) => with_areas_of(scene_frames, &ink.in_one_piece(), planner),
        planned => planned,
    }
}

fn with_areas_of(scene_frames: &SceneFrames, ink: &SceneInk, planner: &Planner) -> Result<Vec<Planned>, NoAreas> {
    let proposals = Proposals::of(ink);
    let cheapest = cheapest_with_areas(scene_frames, (ink, &proposals), planner, Extent::Moving)?;
    let panel = Extent::Panel(scene_frames.pictures[0].rows().div_ceil(PAGE_ROWS) as usize);
    let whole = (cheapest.sends_windows() && scene_frames.owned.is_empty())
        .then(|| cheapest_with_areas(scene_frames, (ink, &proposals), planner, panel).ok())
        .flatten();
    Ok(whole.into_iter().filter(|whole| !whole.sends_windows()).chain([cheapest]).collect())
}

fn cheapest_with_areas(
    scene_frames: &SceneFrames,
    (ink, proposals): (&SceneInk, &Proposals),
    planner: &Planner,
    extent: Extent,
) -> Result<Planned, NoAreas> {
    let changed_over = |bits: &Rows| if ink.inverted[0] { !bits } else { *bits };
    let first: Vec<Rows> = scene_frames.pictures[0].bits().iter().map(changed_over).collect();
    let found = [AreaChoice::All, AreaChoice::Cheaper(1)];
    let found = found.map(|choice| proposals.areas(&first, &scene_frames.owned, choice, extent));
    let why = found.iter().find_map(|found| found.as_ref().err().copied());
    let width = first.len();
    let mut blocks: Vec<(Block, DirtyMask, Vec<Carrier>)> = found
        .iter()
        .flatten()
        .map(|areas| {
            (
                Block::of(areas, planner.first_column, scene_frames.holds_live()),
                live_cells(areas, width),
                proposals.carriers(areas),
            )
        })
        .filter(|(areas, ..)| areas.len() < LONGEST_REEL / 2)
        .collect();
    blocks.dedup();
    let plans = blocks.par_iter().filter_map(|(areas, live, carriers)| {
        let planned = plan_with_areas(scene_frames, planner, areas, live, &ink.inverted)?;
        let carriage = Carriage::Areas(carriers.clone());
        Some(Planned { carriage, live_layers: proposals.live_layers(), ..planned })
    });
    plans.min_by_key(|planned| planned.price).ok_or(why.unwrap_or(NoAreas::TooLong))
}

/// Returns plans for the whole show, one for each set whose parts are all used. A set is left out if one of its parts is not worth
/// its code, by an estimate that ignores copies from earlier code. `code` gives the price of a player's code as bus time.
pub fn shows(scenes: &[&Plans], code: impl Fn(PlayerParts) -> u64) -> Vec<Vec<Planned>> {
    let union = |used: &mut dyn Iterator<Item = PartSet>| used.fold(PartSet::default(), PartSet::with);
    let all = union(&mut scenes.iter().flat_map(|plans| plans.0.keys().copied()));
    let in_set = |set: PartSet| {
        let scenes: Option<Vec<&Planned>> = scenes.iter().map(|plans| plans.in_set(set)).collect();
        scenes.filter(|scenes| union(&mut scenes.iter().map(|planned| PartSet::used(planned))) == set)
    };
    // The bus time, and the flash as it is before encoding.
    let estimate = |scenes: &[&Planned]| {
        let bus = |planned: &&Planned| planned.frames.iter().map(|frame| frame.bus_nanoseconds).sum::<u64>();
        let (bus, price): (u64, u64) = (scenes.iter().map(bus).sum(), scenes.iter().map(|planned| planned.price).sum());
        (bus, price.saturating_sub(bus) + code(parts(scenes.iter().copied())))
    };
    let all: Vec<_> =
        all.choices().filter_map(|set| in_set(set).map(|scenes| (set, estimate(&scenes), scenes))).collect();
    let repays = |set: PartSet, (bus, flash): (u64, u64)| {
        let cheaper = |(less, (less_bus, less_flash), _): &(PartSet, (u64, u64), Vec<&Planned>)| {
            *less != set && set.has(*less) && *less_flash <= flash && less_bus + less_flash <= bus + flash
        };
        !all.iter().any(cheaper)
    };
    let repaying = all.iter().filter(|(set, estimate, _)| repays(*set, *estimate));
    repaying.map(|(_, _, scenes)| scenes.iter().copied().cloned().collect()).collect()
}

/// Returns the parts that the player of planned scenes needs.
pub fn parts<'p>(scenes: impl Iterator<Item = &'p Planned>) -> PlayerParts {
    let (mut used, mut most_areas) = (PartSet::default(), 0);
    for planned in scenes {
        used = used.with(PartSet::used(planned));
        most_areas = most_areas.max(planned.areas.as_ref().map_or(0, |areas| areas.count));
    }
    PlayerParts {
        dense: false,
        film: false,
        beam: used.has(PartSet::BEAM),
        changes: used.has(PartSet::CHANGES),
        grains: used.has(PartSet::GRAINS),
        rolls: used.has(PartSet::ROLLS),
        rounds: used.has(PartSet::ROUNDS),
        areas: most_areas,
        live: 0,
        history: 0,
        dims: false,
        areas_alone: !used.has(PartSet::WINDOWS),
    }
}

/// The price of a reel: its bus time, plus the flash of reel and player as bus time.
pub fn price(show: &Show, reel: &Reel, cost: &Cost) -> u64 {
    let time = reel.scenes.iter().map(Planned::bus_nanoseconds).sum::<u64>();
    time + cost.flash(reel.bytes.len() as u64) + code(show, reel.parts, cost)
}

/// The price of a player's code as bus time.
pub fn code(show: &Show, parts: PlayerParts, cost: &Cost) -> u64 {
    cost.flash(show.microcontroller().player_cost().0.flash_with(parts).0.into())
}
