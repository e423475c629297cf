//! Places a few pixels away at which a layer of a lean reel takes less flash, with the same player: it then touches fewer pages of the
//! display's memory, or shares fewer with what moves.

use super::compile::{LeanPlans, Reel, kept, plans_of};
use super::fields::field_tables;
use crate::diag::Findings;
use crate::panel::PlayerParts;
use crate::render::{Bitmap, draw, layer_ink};
use crate::show::{SceneId, Show};
use crate::whole::limited;
use rayon::prelude::*;

/// Layers are tried at up to so many pixels from their places. Half a page brings each row to the edge of a page, up or down.
const FARTHEST_PIXELS: i32 = 4;
/// A place that spares less than this is not worth a change. Our own choice.
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
    /// How many columns further right, and rows further down.
    pub moved: (i32, i32),
    /// Bytes of flash that this spares, reel and player taken together.
    pub spared_bytes: usize,
    /// The pages of the display's memory where it stands, and there.
    pub pages: [TouchedPages; 2],
}

/// How many pages a layer touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TouchedPages {
    /// Those with ink of it at some frame.
    pub own: u32,
    /// Of these the ones in which other layers move, or where it moves, in which others stand too.
    pub shared: u32,
}

/// For each layer of a show that was compiled to a lean reel the place near by that spares most, the largest first; none for a dense
/// reel, which does not depend on pages. A place at which ink would cover other ink or leave the view does not count. `done` is
/// called for each place tried, with how many there are.
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

/// The lines of the view that are parallel to pages, from the first on, and which of them have ink of a layer.
struct InkedLines {
    inked: Vec<bool>,
    /// Those whose ink changes.
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

/// Whether a row of the view lies in one page; else a column does.
fn rows_are_lines(show: &Show) -> bool {
    let row = |y| show.mounting().memory_pixel(show.panel(), 0, y).1;
    row(0) != row(1)
}

/// The pages, a bit each, of lines moved by so many; `None` where one of them leaves the view.
fn pages_of(show: &Show, lines: &[bool], by: i32) -> Option<u32> {
    let place = |line: usize| {
        let line = limited::<u32, _>(line).checked_add_signed(by).filter(|line| (*line as usize) < lines.len())?;
        let (x, y) = if rows_are_lines(show) { (0, line) } else { (line, 0) };
        Some(1 << (show.mounting().memory_pixel(show.panel(), x, y).1 / PAGE_ROWS))
    };
    let inked = lines.iter().enumerate().filter(|(_, inked)| **inked);
    inked.map(|(line, _)| place(line)).try_fold(0, |pages, page| Some(pages | page?))
}

/// Places at which a layer touches fewer pages, or shares fewer.
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

/// How many bytes a place spares; `None` where ink would be covered or the show could not be built.
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
    // More or fewer areas, but else the same player.
    let kind = |parts: PlayerParts| PlayerParts { areas: parts.areas.min(1), ..parts };
    let reels = plans.reels_with(&there, place.scene, planned);
    let alike = reels.iter().filter(|reel| kind(reel.parts) == kind(taken.parts));
    taken.bytes.len().checked_sub(alike.map(|reel| reel.bytes.len()).min()?)
}
