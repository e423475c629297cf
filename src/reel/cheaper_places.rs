//! Finds places a few pixels away where a layer of a lean reel takes less flash with the same player: there it touches fewer pages
//! of the display's memory, or shares fewer pages with moving layers.

use super::compile::{LeanPlans, Reel, kept, plans_of};
use super::fields::field_tables;
use crate::diag::Findings;
use crate::panel::PlayerParts;
use crate::render::{Bitmap, draw, layer_ink};
use crate::show::{SceneId, Show};
use crate::whole::limited;
use rayon::prelude::*;

/// How far layers are moved, in pixels. Half a page is enough to bring each row to an edge of a page.
const FARTHEST_PIXELS: i32 = 4;
/// Places that save less than this are not reported. Our own choice.
const LEAST_SPARED_BYTES: usize = 24;
/// Rows of a page.
const PAGE_ROWS: u32 = 8;

/// A place of a layer at which the show takes less flash.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheaperPlace {
    /// The scene.
    pub scene: SceneId,
    /// The number of the layer in it.
    pub layer: usize,
    /// By how many columns to the right and rows down the layer is moved.
    pub moved: (i32, i32),
    /// Bytes of flash that this saves, of reel and player together.
    pub spared_bytes: usize,
    /// The pages of the display's memory that it touches now, and at the new place.
    pub pages: [TouchedPages; 2],
}

/// How many pages a layer touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TouchedPages {
    /// Pages with ink of the layer in any frame.
    pub own: u32,
    /// Of these, the pages that it shares with other layers where one of them moves.
    pub shared: u32,
}

/// Returns, for each layer of a lean show, the nearby place that saves most; the largest saving first. Returns none for a dense
/// reel, which does not depend on pages. Places where ink would cover other ink or leave the view are left out. `done` is called
/// for each place tried, with the number of places.
pub fn cheaper_places(
    show: &Show,
    frames: &[Vec<Bitmap>],
    taken: &Reel,
    done: &(dyn Fn(usize) + Sync),
) -> Vec<CheaperPlace> {
    let Some(plans) = LeanPlans::of(show, frames).filter(|_| !taken.parts.dense) else { return Vec::new() };
    let scenes = (0..show.scenes().len()).into_par_iter();
    let tries: Vec<CheaperPlace> = scenes.flat_map_iter(|scene| worth_a_try(show, SceneId(scene))).collect();
    let spared = |place: &CheaperPlace| {
        done(tries.len());
        let spared_bytes = spared(show, frames, (taken, &plans), place)?;
        (spared_bytes >= LEAST_SPARED_BYTES).then_some(CheaperPlace { spared_bytes, ..place.clone() })
    };
    let mut places: Vec<CheaperPlace> = tries.par_iter().filter_map(spared).collect();
    let pixels = |place: &CheaperPlace| place.moved.0.abs() + place.moved.1.abs();
    places.sort_by_key(|place| (std::cmp::Reverse(place.spared_bytes), pixels(place)));
    let mut known = std::collections::HashSet::new();
    places.retain(|place| known.insert((place.scene.0, place.layer)));
    places
}

/// The lines of the view that are parallel to pages, and which of them have ink of a layer.
struct InkedLines {
    inked: Vec<bool>,
    /// Lines whose ink changes.
    changing: Vec<bool>,
}

impl InkedLines {
    fn of(show: &Show, scene: SceneId, layer: usize) -> Self {
        let (width, height) = show.view_size();
        let mut lines = vec![[false; 2]; if rows_are_lines(show) { height } else { width } as usize];
        let own = &show.scenes()[scene.0];
        let blank = Bitmap::new(width, height);
        let ink = |frame| layer_ink(show, &own.layers[layer], frame).map_or_else(|| blank.clone(), |ink| ink.inside);
        let first = ink(0);
        for frame in 0..own.frames.0 {
            let now = ink(frame);
            let mut changed = now.clone();
            changed.toggle(&first);
            for (which, picture) in [now, changed].iter().enumerate() {
                for (x, y) in picture.lit_pixels() {
                    lines[limited::<usize, _>(if rows_are_lines(show) { y } else { x })][which] = true;
                }
            }
        }
        let which = |which: usize| lines.iter().map(|line| line[which]).collect();
        Self { inked: which(0), changing: which(1) }
    }

    fn moves(&self) -> bool {
        self.changing.contains(&true)
    }
}

/// Returns whether pages hold rows of the view. If the view is turned, they hold columns.
fn rows_are_lines(show: &Show) -> bool {
    let row = |y| show.mounting().memory_pixel(show.panel(), 0, y).1;
    row(0) != row(1)
}

/// Returns the pages of lines that are moved by `by`, one bit per page. `None` if a line leaves the view.
fn pages_of(show: &Show, lines: &[bool], by: i32) -> Option<u32> {
    let place = |line: usize| {
        let line = limited::<u32, _>(line).checked_add_signed(by).filter(|line| (*line as usize) < lines.len())?;
        let (x, y) = if rows_are_lines(show) { (0, line) } else { (line, 0) };
        Some(1 << (show.mounting().memory_pixel(show.panel(), x, y).1 / PAGE_ROWS))
    };
    let inked = lines.iter().enumerate().filter(|(_, inked)| **inked);
    inked.map(|(line, _)| place(line)).try_fold(0, |pages, page| Some(pages | page?))
}

/// Returns the places where a layer touches or shares fewer pages.
fn worth_a_try(show: &Show, scene: SceneId) -> Vec<CheaperPlace> {
    let count = show.scenes()[scene.0].layers.len();
    let lines: Vec<InkedLines> = (0..count).into_par_iter().map(|layer| InkedLines::of(show, scene, layer)).collect();
    let mut tries = Vec::new();
    for (layer, own) in lines.iter().enumerate() {
        let others = lines.iter().enumerate().filter(|(other, _)| *other != layer);
        let met = others.map(|(_, other)| if own.moves() { &other.inked } else { &other.changing });
        let met = met.filter_map(|lines| pages_of(show, lines, 0)).fold(0, |all, pages| all | pages);
        let touched = |by: i32| {
            let pages = pages_of(show, &own.inked, by)?;
            Some(TouchedPages { own: pages.count_ones(), shared: (pages & met).count_ones() })
        };
        let Some(here) = touched(0) else { continue };
        for by in -FARTHEST_PIXELS..=FARTHEST_PIXELS {
            let Some(there) = touched(by).filter(|there| there.own + there.shared < here.own + here.shared) else {
                continue;
            };
            let moved = if rows_are_lines(show) { (0, by) } else { (by, 0) };
            tries.push(CheaperPlace { scene, layer, moved, spared_bytes: 0, pages: [here, there] });
        }
    }
    tries
}

/// Returns how many bytes a place saves. `None` if ink would be covered or the show cannot be built.
fn spared(
    show: &Show,
    frames: &[Vec<Bitmap>],
    (taken, plans): (&Reel, &LeanPlans),
    place: &CheaperPlace,
) -> Option<usize> {
    let there = show.with_layer_moved(place.scene, place.layer, place.moved);
    let own = &there.scenes()[place.scene.0];
    let pictures: Vec<Bitmap> = (0..own.frames.0).into_par_iter().map(|frame| draw(&there, own, frame)).collect();
    let lit = |pictures: &[Bitmap]| pictures.iter().map(Bitmap::lit).sum::<usize>();
    if lit(&pictures) != lit(&frames[place.scene.0]) {
        return None;
    }
    if !own.fields.is_empty() {
        let mut all = frames.to_vec();
        all[place.scene.0].clone_from(&pictures);
        field_tables(&there, &all, &mut Findings::default())?;
    }
    let planned = plans_of(&there, own, &kept(&there, own, &pictures), plans.planner()).ok()?;
    // The number of areas may differ; the other parts of the player must be the same.
    let kind = |parts: PlayerParts| PlayerParts { areas: parts.areas.min(1), ..parts };
    let reels = plans.reels_with(&there, place.scene, planned);
    let alike = reels.iter().filter(|reel| kind(reel.parts) == kind(taken.parts));
    taken.bytes.len().checked_sub(alike.map(|reel| reel.bytes.len()).min()?)
}
