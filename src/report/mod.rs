//! The report: one HTML page that needs nothing else, with the preview to scrub, plots, the wear map, findings and figures.

mod caution;
mod chart;
mod finding;
mod page;
mod picture;
mod reel_data;
mod table;
mod wear;

pub use page::page;

use crate::budget::{Budget, SceneLoad};
use crate::diag::{Findings, Sources};
use crate::reel::Reel;
use crate::render::Bitmap;
use crate::show::{CueId, SceneId, Show, TriggerId};

/// A picture as the glass showed it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    pub picture: Bitmap,
    pub contrast: u8,
    pub on: bool,
}

/// The way of the preview through the show: each frame's scene and number, and what happened before or at it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tour {
    pub frames: Vec<(SceneId, u32)>,
    pub raised: Vec<(usize, TriggerId)>,
    pub cues: Vec<(usize, CueId)>,
    /// Bytes on the bus for each frame.
    pub bytes: Vec<u32>,
}

/// How the glass looks, in colours of red, green and blue.
#[derive(Clone, Debug)]
pub struct Appearance {
    pub lit: [u8; 3],
    /// Pixels of a second colour, and that colour.
    pub second: Option<(Bitmap, [u8; 3])>,
    /// The bezel's opening in pixels of the view: left, top, width, height.
    pub opening: Option<[f64; 4]>,
}

/// Everything that a report tells of a built show.
pub struct Subject<'a> {
    pub show: &'a Show,
    pub reel: &'a Reel,
    pub budgets: &'a [Budget],
    pub loads: &'a [SceneLoad],
    /// What the glass showed in each scene, frame by frame.
    pub scenes: Vec<Vec<Picture>>,
    pub tour: Tour,
    pub appearance: Appearance,
}

/// What is known when the page is made: the last show that could be built, and what was found since.
pub struct State<'a> {
    /// `None` when no build has been good yet.
    pub subject: Option<&'a Subject<'a>>,
    /// The script's path as the person gave it.
    pub script: &'a str,
    pub findings: &'a Findings,
    pub sources: &'a Sources,
    /// The number of the build, when the page is served and is to follow further builds.
    pub live: Option<u64>,
}
