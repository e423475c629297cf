//! Compiles a show and its frames to a lean reel: puts the pixels in memory order, plans every scene, and encodes all of them.

use super::areas::{LiveFrames, NoAreas, SceneInk, kept_bytes, no_live};
use super::beam::seen_beam;
use super::cost::Cost;
use super::dimming::LiveContrast;
use super::encode::{BACK, Header, IGNORED, LONGEST_REEL, Layout, encode};
use super::fields::{FieldTable, field_tables, owned_cells};
use super::lamps::{LampTable, lamp_tables};
use super::listing::list;
use super::memory::{PageBitmap, Rows};
use super::part_sets::{Plans, code, parts, price, shows};
use super::scene::{Next, Planned, SceneFrames};
use super::step::Planner;
use super::sweep::Sweep;
use crate::diag::{Finding, Findings};
use crate::panel::{BusSettings, Controller, Mounting, Panel, PlayerParts, set_up_commands};
use crate::player::operation as op;
use crate::render::{Bitmap, turning};
use crate::show::{LiveValue, Reaction, Scene, SceneId, Show, Then};
use crate::units::Nanoseconds;
use crate::whole::limited;
use rayon::prelude::*;
use std::borrow::Cow;

/// A compiled show.
#[derive(Clone, Debug)]
pub struct Reel {
    /// The bytes that the player interprets.
    pub bytes: Vec<u8>,
    /// Where those bytes went.
    pub layout: Layout,
    /// The scenes as planned, in the show's order.
    pub scenes: Vec<Planned>,
    /// The tables of the live fields, which lie beside the reel.
    pub fields: Vec<FieldTable>,
    /// The tables of the lamps, which lie beside the reel too.
    pub lamps: Vec<LampTable>,
    /// The parts of the player that it needs.
    pub parts: PlayerParts,
    /// Whether it was made by `--quick`, where a full build could take a dense reel.
    pub provisional: bool,
}

impl Reel {
    /// Flash bytes of the lamps' tables.
    pub fn lamp_bytes(&self) -> u32 {
        self.lamps.iter().map(|lamp| limited::<u32, _>(lamp.bytes.len())).sum()
    }
}

/// Compiles a show to a lean reel. `frames` has one list of pictures per scene, as the viewer sees them. Reports a reel that is too
/// long for the player's offsets.
pub fn compile_lean(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let planner = planner(show.panel(), show.mounting(), show.bus());
    let reels = lean_reels(show, frames, findings, &|_| {})?;
    reels.into_iter().min_by_key(|reel| price(show, reel, &planner.cost))
}

/// Compiles a show with each set of player parts that may be worth its code. `done` is called for each planned scene, with the
/// number of scenes.
pub(super) fn lean_reels(
    show: &Show,
    frames: &[Vec<Bitmap>],
    findings: &mut Findings,
    done: &(dyn Fn(usize) + Sync),
) -> Option<Vec<Reel>> {
    let frames = &seen(show, frames);
    let (fields, lamps) = (field_tables(show, frames, findings), lamp_tables(show, findings));
    let (fields, lamps) = (fields?, lamps?);
    let planner = planner(show.panel(), show.mounting(), show.bus());
    let planned = plan_all(show, frames, &planner, done);
    let scenes = all_planned(show, planned, findings)?;
    reachable(show, LeanPlans { planner, scenes, fields, lamps }.reels(show), findings)
}

/// The scenes of a show, planned with each part set, and what its reels hold in addition.
pub struct LeanPlans {
    planner: Planner,
    scenes: Vec<Plans>,
    fields: Vec<FieldTable>,
    lamps: Vec<LampTable>,
}

impl LeanPlans {
    /// Plans a show. `frames` has one list of pictures per scene, as the viewer sees them. `None` if the show cannot be lean.
    pub fn of(show: &Show, frames: &[Vec<Bitmap>]) -> Option<Self> {
        let (frames, mut findings) = (&seen(show, frames), Findings::default());
        let fields = field_tables(show, frames, &mut findings)?;
        let lamps = lamp_tables(show, &mut findings)?;
        let planner = planner(show.panel(), show.mounting(), show.bus());
        let scenes = all_planned(show, plan_all(show, frames, &planner, &|_| {}), &mut findings)?;
        Some(Self { planner, scenes, fields, lamps })
    }

    /// The planner of the scenes.
    pub fn planner(&self) -> &Planner {
        &self.planner
    }

    /// The reels of the show.
    fn reels(&self, show: &Show) -> Vec<Reel> {
        self.assembled(show, &self.scenes.iter().collect::<Vec<_>>())
    }

    /// The reels of the show with other plans for one scene.
    pub fn reels_with(&self, show: &Show, scene: SceneId, planned: Plans) -> Vec<Reel> {
        let mut scenes: Vec<&Plans> = self.scenes.iter().collect();
        if let Some(own) = scenes.get_mut(scene.0) {
            *own = &planned;
        }
        self.assembled(show, &scenes)
    }

    fn assembled(&self, show: &Show, planned: &[&Plans]) -> Vec<Reel> {
        let made = |scenes: Vec<Planned>| {
            let (bytes, layout) = encode(&header(show), &scenes);
            let parts = PlayerParts {
                areas_alone: self.fields.is_empty() && areas_send_all(&bytes, &layout),
                live: limited(show.live().len()),
                history: limited(kept_bytes(show)),
                dims: scenes.iter().any(|scene| scene.dimming.is_some()),
                ..parts(scenes.iter())
            };
            let (fields, lamps) = (self.fields.clone(), self.lamps.clone());
            Reel { bytes, layout, scenes, fields, lamps, parts, provisional: false }
        };
        shows(planned, |parts| code(show, parts, &self.planner.cost)).into_par_iter().map(made).collect()
    }
}

/// Plans all scenes of a show with each part set. `done` is called for each scene, with the number of scenes.
fn plan_all(
    show: &Show,
    frames: &[Vec<Bitmap>],
    planner: &Planner,
    done: &(dyn Fn(usize) + Sync),
) -> Vec<Result<Plans, NoAreas>> {
    let plan = |(scene, pictures): (&Scene, &Vec<Bitmap>)| {
        let planned = plans_of(show, scene, pictures, planner);
        done(show.scenes().len());
        planned
    };
    show.scenes().par_iter().zip(frames.par_iter()).map(plan).collect()
}

/// Plans a scene with each part set, from the pictures in the display's memory.
pub(super) fn plans_of(show: &Show, scene: &Scene, pictures: &[Bitmap], planner: &Planner) -> Result<Plans, NoAreas> {
    let ink = SceneInk::of(show, scene, &kept_frames(show, scene, pictures.len()), true);
    Plans::of(&lean_frames(show, scene, pictures, planner), ink.as_ref().map_err(|why| *why), planner)
}

/// Returns the plans of all scenes. Reports layers that follow live values and cannot be areas.
fn all_planned(show: &Show, planned: Vec<Result<Plans, NoAreas>>, findings: &mut Findings) -> Option<Vec<Plans>> {
    for (scene, why) in show.scenes().iter().zip(&planned) {
        findings.extend(why.as_ref().err().map(|why| no_live(show, scene, *why)));
    }
    planned.into_iter().collect::<Result<_, _>>().ok()
}

/// Returns whether only areas send cells, so that the player needs no windows.
fn areas_send_all(reel: &[u8], layout: &Layout) -> bool {
    let needs_none = |operation: u8| {
        matches!(
            operation,
            op::FRAME..=op::COMMANDS | op::CONTRAST | op::CLOSE_AREAS | op::OPEN_AREAS | op::RESTART_AREAS
        )
    };
    let lines = layout.scenes.iter().flat_map(|scene| list(reel, scene.offset, scene.offset + scene.bytes));
    let mut operations = lines.map(|line| reel[line.offset]);
    operations.all(needs_none)
}

/// The frames of a scene, with the sweep that the player can compute.
fn lean_frames(show: &Show, scene: &Scene, pictures: &[Bitmap], planner: &Planner) -> SceneFrames {
    let scene_frames = footage_of(show, scene, pictures);
    let seen = turning(show, scene).and_then(|turning| seen_beam(&turning, show.panel(), show.mounting()));
    let sweep = seen.and_then(|seen| Sweep::of(&seen, &scene_frames, planner.first_column));
    SceneFrames { sweep, ..scene_frames }
}

/// Returns the reels that are short enough for the player's offsets. If there is none, reports the shortest and returns `None`.
pub(super) fn reachable(show: &Show, reels: Vec<Reel>, findings: &mut Findings) -> Option<Vec<Reel>> {
    let (reached, beyond): (Vec<Reel>, Vec<Reel>) =
        reels.into_iter().partition(|reel| reel.bytes.len() <= LONGEST_REEL);
    if reached.is_empty() {
        let shortest = beyond.iter().min_by_key(|reel| reel.bytes.len())?;
        findings.push(beyond_reach(show, shortest));
        return None;
    }
    Some(reached)
}

fn beyond_reach(show: &Show, reel: &Reel) -> Finding {
    let bytes = reel.bytes.len();
    let message = format!("the reel has {bytes} bytes; the limit of the player is {LONGEST_REEL}");
    let mut finding = Finding::error(show.spans().whole, message);
    let costliest = show.scenes().iter().zip(&reel.layout.scenes).max_by_key(|(_, scene)| scene.all());
    if let Some((scene, layout)) = costliest {
        finding = finding.hint(format!("scene `{}` alone has {} bytes: shorten it", scene.name, layout.all()));
    }
    finding.hint("or use a lower frame rate")
}

/// The pictures in the display's memory. They differ from the drawn ones while the display is off.
pub(super) fn seen<'a>(show: &Show, frames: &'a [Vec<Bitmap>]) -> Cow<'a, [Vec<Bitmap>]> {
    if show.scenes().iter().all(|scene| scene.off.is_empty()) {
        return Cow::Borrowed(frames);
    }
    show.scenes().iter().zip(frames).map(|(scene, drawn)| kept(show, scene, drawn)).collect()
}

/// The pictures in memory. While the display is off, memory keeps the last visible picture or already holds the next one, so that
/// nothing is sent for pictures that nobody sees.
pub(super) fn kept(show: &Show, scene: &Scene, drawn: &[Bitmap]) -> Vec<Bitmap> {
    kept_frames(show, scene, drawn.len()).into_iter().map(|frame| drawn[frame].clone()).collect()
}

/// For each frame, the number of the frame whose picture is in memory.
pub(super) fn kept_frames(show: &Show, scene: &Scene, frames: usize) -> Vec<usize> {
    let is_on = |frame: &usize| !scene.is_off(show.frame_rate().seconds_at(limited(*frame)));
    let mut last = (0..frames).find(is_on).unwrap_or(0);
    let keep = |frame: usize| {
        last = if is_on(&frame) { frame } else { last };
        last
    };
    (0..frames).map(keep).collect()
}

/// The planner for a panel as mounted, on a bus.
pub fn planner(panel: &Panel, mounting: &Mounting, bus: &BusSettings) -> Planner {
    let window = mounting.memory_window(panel);
    Planner {
        cost: cost(bus, panel.controller),
        first_column: window.first_column,
        controller: panel.controller,
        first_line: window.start_line,
        operations: true,
        owned: Vec::new(),
        live: Vec::new(),
        changes: false,
        rolls: false,
        rounds: false,
    }
}

fn cost(bus: &BusSettings, controller: &Controller) -> Cost {
    let (none, one) = (bus.display_time(0), bus.display_time(1));
    Cost::new(Nanoseconds(one.0.saturating_sub(none.0)), none, bus.write_limit, controller.has_windows())
        .with_seek(u64::from(controller.seek_bytes()))
}

/// The viewer's picture in memory order.
pub fn columns(panel: &Panel, mounting: &Mounting, picture: &Bitmap) -> PageBitmap {
    let first_column = mounting.memory_window(panel).first_column as usize;
    let mut bits = vec![0; panel.width as usize];
    for (x, y) in picture.lit_pixels() {
        let (column, row) = mounting.memory_pixel(panel, x.cast_unsigned(), y.cast_unsigned());
        if let Some(column) = (column as usize).checked_sub(first_column).and_then(|at| bits.get_mut(at)) {
            *column |= Rows::from(1u8).checked_shl(row).unwrap_or(0);
        }
    }
    PageBitmap::new(panel.height, bits)
}

pub(super) fn footage_of(show: &Show, scene: &Scene, pictures: &[Bitmap]) -> SceneFrames {
    let pictures: Vec<PageBitmap> =
        pictures.iter().map(|picture| columns(show.panel(), show.mounting(), picture)).collect();
    let mut cues = vec![Vec::new(); pictures.len()];
    for mark in &scene.cues {
        if let Some(frame) = cues.get_mut(mark.frame as usize) {
            frame.push(limited(mark.cue.0));
        }
    }
    let lowest = show.panel().controller.contrast_lowest;
    let seconds = (0..limited(pictures.len())).map(|frame| show.frame_rate().seconds_at(frame));
    let off = seconds.clone().map(|seconds| scene.is_off(seconds)).collect();
    let contrast = seconds.map(|seconds| scene.contrast_at(seconds).max(lowest)).collect();
    let then = match scene.then {
        Then::Hold => Next::Hold,
        Then::Repeat => Next::Repeat,
        Then::Scene(scene) => Next::Scene(limited(scene.0)),
        Then::Back => Next::Back,
    };
    let owned = if scene.fields.is_empty() { Vec::new() } else { owned_cells(show, scene) };
    let live = if scene.is_live() { live_frames(show, scene, pictures.len()) } else { LiveFrames::default() };
    SceneFrames {
        pictures,
        cues,
        contrast,
        off,
        then,
        owned,
        live,
        dimming: LiveContrast::of(show, scene),
        sweep: None,
    }
}

/// The show's live values, at their samples for each frame of a scene.
fn live_frames(show: &Show, scene: &Scene, frames: usize) -> LiveFrames {
    let values = |frame: usize| show.live_samples(show.frame_rate().seconds_at(limited(frame)));
    LiveFrames { words: live_words(show), values: kept_frames(show, scene, frames).into_iter().map(values).collect() }
}

/// The live values as a reel has them.
fn live_words(show: &Show) -> Vec<[u16; 4]> {
    let words = |live: &LiveValue| {
        [live.start.cast_unsigned(), live.to.cast_unsigned(), live.from.cast_unsigned(), live.factor()]
    };
    show.live().iter().map(words).collect()
}

pub(super) fn header(show: &Show) -> Header {
    let bus = show.bus();
    let reaction = |reaction: &Reaction| match reaction {
        Reaction::Ignore => IGNORED,
        Reaction::Go(scene) => limited(scene.0),
        Reaction::Back => BACK,
    };
    let contrast = show.scenes().get(show.start().0).map_or(0, |scene| scene.contrast_at(0.0));
    Header {
        address: show.panel().address_on(bus),
        write_limit: limited(bus.write_limit),
        frame_rate: show.frame_rate(),
        start: limited(show.start().0),
        reactions: show.scenes().iter().map(|scene| scene.reactions.iter().map(reaction).collect()).collect(),
        live: live_words(show),
        set_up: set_up_commands(show.panel(), show.mounting(), contrast),
    }
}
