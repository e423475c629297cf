//! Collects, in one pass over the ink of each layer, what the budgets need to know of layers.

use super::flashes::Change;
use crate::panel::OpeningPixels;
use crate::render::{Bitmap, Ink, layer_ink};
use crate::show::{Layer, Scene, Show};
use rayon::prelude::*;

/// The most in one frame, and the first frame with any.
pub type Most = (usize, Option<u32>);

/// One layer of one scene.
#[derive(Clone, Debug)]
pub struct Study<'a> {
    pub scene: &'a Scene,
    pub layer: &'a Layer,
    /// Ink outside the display, and behind the bezel.
    pub outside: Most,
    pub behind: Most,
    /// Whether any mark can be seen in any frame, and whether there is any at all.
    pub seen: bool,
    pub drawn: bool,
    /// For each pixel, row by row, in how many frames it is marked.
    pub counts: Vec<u32>,
    /// What changes from each frame to the next, of full light.
    pub changes: Vec<Change>,
    /// Bytes of the display (column, page) that change in each frame, in the first one against a dark display.
    pub cells: Vec<usize>,
}

/// The layers of every scene, in the show's order.
pub fn studies(show: &Show) -> Vec<Vec<Study<'_>>> {
    let scenes = show.scenes().par_iter();
    scenes.map(|scene| scene.layers.par_iter().map(|layer| study(show, scene, layer)).collect()).collect()
}

/// The place of a pixel of a picture, row by row; neither coordinate is negative.
pub(super) fn index(x: i32, y: i32, width: u32) -> usize {
    y.unsigned_abs() as usize * width as usize + x.unsigned_abs() as usize
}

fn study<'a>(show: &'a Show, scene: &'a Scene, layer: &'a Layer) -> Study<'a> {
    let ((width, height), window) = (show.view_size(), show.mounting().visible(show.panel()));
    let counts = vec![0; width as usize * height as usize];
    let mut study = Study {
        scene,
        layer,
        outside: (0, None),
        behind: (0, None),
        seen: false,
        drawn: false,
        counts,
        changes: Vec::with_capacity(scene.frames.0 as usize),
        cells: Vec::with_capacity(scene.frames.0 as usize),
    };
    let mut before = Bitmap::new(width, height);
    for frame in 0..scene.frames.0 {
        let ink = layer_ink(show, layer, frame);
        study.take_hidden(ink.as_ref(), frame, window);
        let shown = ink.filter(|_| !scene.is_off(show.frame_rate().seconds_at(frame)));
        let now = shown.map_or_else(|| Bitmap::new(width, height), |ink| ink.inside);
        for (x, y) in now.lit_pixels() {
            study.counts[index(x, y, width)] += 1;
        }
        let change = study.take_change(&before, &now, height);
        if frame > 0 {
            study.changes.push(change);
        }
        before = now;
    }
    study
}

impl Study<'_> {
    fn take_hidden(&mut self, ink: Option<&Ink>, frame: u32, window: OpeningPixels) {
        let Some(Ink { inside, outside, .. }) = ink else { return };
        let lit = inside.lit();
        let behind = inside.lit_pixels().filter(|(x, y)| !window.contains(*x, *y)).count();
        let raise = |most: &mut Most, count: usize| {
            if count > 0 {
                *most = (most.0.max(count), most.1.or(Some(frame)));
            }
        };
        raise(&mut self.outside, *outside);
        raise(&mut self.behind, behind);
        self.seen |= lit > behind;
        self.drawn |= lit > 0 || *outside > 0;
    }

    fn take_change(&mut self, before: &Bitmap, now: &Bitmap, height: u32) -> Change {
        if before == now {
            self.cells.push(0);
            return Change::default();
        }
        const ROWS_OF_A_PAGE: i32 = 8;
        let mut changed = now.clone();
        changed.toggle(before);
        let pages = height.div_ceil(ROWS_OF_A_PAGE as u32);
        let mut cells = vec![false; now.width() as usize * pages as usize];
        for (x, y) in changed.lit_pixels() {
            cells[index(x, y / ROWS_OF_A_PAGE, now.width())] = true;
        }
        self.cells.push(cells.iter().filter(|cell| **cell).count());
        changed.mask(now);
        let brighter = changed.lit();
        // What was lit and stays is what is lit now less what is new.
        Change { brighter, darker: before.lit() - (now.lit() - brighter) }
    }

    /// How many frames the steadiest pixel is marked, and how many pixels are marked so long.
    pub fn steadiest(&self) -> (u32, usize) {
        let most = self.counts.iter().copied().max().unwrap_or(0);
        (most, self.counts.iter().filter(|count| **count == most && most > 0).count())
    }
}
