//! The report: one HTML page that needs nothing else, with the preview to scrub, plots, the wear map, findings and figures.
mod board;
mod caution;
mod chart;
mod draft;
mod finding;
mod lamps;
mod map;
mod page;
mod picture;
mod plots;
mod preview;
mod profiles;
mod reel_data;
mod shared;
mod sliders;
mod stills;
mod table;
mod wear;

pub(crate) use draft::draft_data;
pub use map::map;
pub(crate) use page::{CONTENT_POLICY, page};

use crate::budget::{Budget, Choice, SceneLoad};
use crate::diag::{Findings, Sources};
use crate::emulator::FrameTime;
use crate::reel::Reel;
use crate::render::Bitmap;
use crate::show::{CueId, SceneId, Show, TriggerId};
use serde::Serialize;

/// A picture as the display showed it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PagePicture {
    pub picture: Bitmap,
    pub contrast: u8,
    pub on: bool,
}

/// The way of the preview through the show: each frame's scene and number, and what happened before or at it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tour {
    pub frames: Vec<(SceneId, u32)>,
    pub raised: Vec<(usize, TriggerId)>,
    pub cues: Vec<(usize, CueId)>,
    /// Bytes on the bus for each frame.
    pub bytes: Vec<u32>,
    /// When each frame was due, began and was whole.
    pub times: Vec<FrameTime>,
}

/// The colours of a display in its bezel under one light, each as red, green and blue.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Colours {
    pub bezel: [u8; 3],
    pub edge: [u8; 3],
    pub glass: [u8; 3],
    pub unlit: [u8; 3],
    /// Lit pixels at the reference contrast, and those of the second colour.
    pub lit: [u8; 3],
    pub second: [u8; 3],
}

/// A display that the preview may show.
#[derive(Clone, Debug)]
pub(crate) struct DisplayColours {
    /// Its name for programs, and in words.
    pub value: &'static str,
    pub words: &'static str,
    pub night: Colours,
    pub day: Colours,
    /// The pixels of the second colour.
    pub second: Option<Bitmap>,
    /// Whether contrast changes nothing.
    pub steady: bool,
}

/// How the preview looks.
#[derive(Clone, Debug)]
pub(crate) struct Appearance {
    /// The show's own display, then others to try.
    pub displays: Vec<DisplayColours>,
    /// The contrast at which lit pixels have their full colour.
    pub reference: u8,
    /// The share of the way from pixel to pixel that a dot takes.
    pub dot: f64,
    /// The bezel's opening in pixels of the view: left, top, width, height.
    pub opening: Option<[f64; 4]>,
}

/// Everything that a report shows of a built show.
pub(crate) struct Subject<'a> {
    pub show: &'a Show,
    pub reel: &'a Reel,
    /// The reel that was taken, and what others would take.
    pub choice: &'a Choice,
    pub budgets: &'a [Budget],
    pub loads: &'a [SceneLoad],
    /// What the display showed in each scene, frame by frame.
    pub scenes: Vec<Vec<PagePicture>>,
    pub tour: Tour,
    pub appearance: Appearance,
}

/// What is known when the page is made: the last show that could be built, and what was found since.
pub(crate) struct PageState<'a> {
    /// `None` when no build has been good yet.
    pub subject: Option<&'a Subject<'a>>,
    /// The script's path as the person gave it.
    pub script: &'a str,
    pub findings: &'a Findings,
    pub sources: &'a Sources,
    /// When the page is served and is to follow further builds.
    pub live: Option<LivePage<'a>>,
}

/// What a served page is given beside its content.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LivePage<'a> {
    /// The number of the build.
    pub build: u64,
    /// The token that the page sends to the process that served it, so that it can change fonts and pictures.
    pub token: &'a str,
    /// The name of a font that is served alone, without a show.
    pub font: Option<&'a str>,
}
