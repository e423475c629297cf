//! The checked show: what the later stages may rely on without looking again; only the checker can build one.

use super::layer::Layer;
use crate::diag::Span;
use crate::font::Font;
use crate::panel::{Bus, Microcontroller, Mounting, Panel};
use crate::source::Picture;
use crate::units::{FlashBytes, FrameRate, Frames, RamBytes};

/// Declares an index into one of the show's lists.
macro_rules! identity {
    ($(#[$doc:meta] $name:ident),* $(,)?) => {$(
        #[$doc]
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(pub usize);
    )*};
}
identity!(
    /// Names a scene by its place in [`Show::scenes`].
    SceneId,
    /// Names a font by its place in [`Show::fonts`].
    FontId,
    /// Names a picture by its place in [`Show::pictures`].
    PictureId,
    /// Names a trigger by its place in [`Show::triggers`].
    TriggerId,
    /// Names a cue by its place in [`Show::cues`].
    CueId,
);

/// A whole show, every name resolved and every number in its range.
#[derive(Clone, Debug)]
pub struct Show {
    pub(super) name: String,
    pub(super) panel: Panel,
    pub(super) mounting: Mounting,
    pub(super) bus: Bus,
    pub(super) microcontroller: Microcontroller,
    pub(super) room: Room,
    pub(super) frame_rate: FrameRate,
    pub(super) fonts: Vec<Font>,
    pub(super) pictures: Vec<Picture>,
    pub(super) triggers: Vec<String>,
    pub(super) cues: Vec<String>,
    pub(super) scenes: Vec<Scene>,
    pub(super) start: SceneId,
    pub(super) viewing_distance_millimetres: f64,
    pub(super) spans: ShowSpans,
}

/// Where the parts of the show stand in the script, for findings of later stages.
#[derive(Clone, Copy, Debug)]
pub struct ShowSpans {
    pub whole: Span,
    pub panel: Span,
    pub bus: Span,
    pub microcontroller: Span,
    pub frame_rate: Span,
}

/// What of the microcontroller is left for the show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Room {
    pub flash: FlashBytes,
    pub ram: RamBytes,
}

/// A length of time with its layers, cues, and what follows.
#[derive(Clone, Debug)]
pub struct Scene {
    pub name: String,
    pub span: Span,
    /// How many frames it lasts, at least 1.
    pub frames: Frames,
    /// Painted in this order, the last on top.
    pub layers: Vec<Layer>,
    /// In order of time; several may share a frame.
    pub cues: Vec<CueMark>,
    pub then: Then,
    /// Contrast of the glass while the scene plays, 0 to 255.
    pub contrast: u8,
    /// What each trigger of the show does while this scene plays, in the order of [`Show::triggers`].
    pub reactions: Vec<Reaction>,
}

/// A cue and the frame of its scene at which it is handed to the firmware.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CueMark {
    pub frame: u32,
    pub cue: CueId,
}

/// What follows a scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Then {
    /// The last picture stays until a trigger.
    Hold,
    /// The scene plays again from its first frame.
    Repeat,
    /// Another scene.
    Scene(SceneId),
}

/// What a trigger does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reaction {
    /// Nothing in this scene.
    Ignore,
    /// Goes to a scene.
    Go(SceneId),
    /// Goes back to the scene that played before this one.
    Back,
}

impl Show {
    /// The show's name, also the stem of every file written for it.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// The glass and its controller.
    pub fn panel(&self) -> &Panel {
        &self.panel
    }
    /// How the glass sits in the model.
    pub fn mounting(&self) -> &Mounting {
        &self.mounting
    }
    /// The bus that carries the frames.
    pub fn bus(&self) -> &Bus {
        &self.bus
    }
    /// The part that plays the show.
    pub fn microcontroller(&self) -> &Microcontroller {
        &self.microcontroller
    }
    /// What of the microcontroller is left for the show.
    pub fn room(&self) -> Room {
        self.room
    }
    /// Frames a second.
    pub fn frame_rate(&self) -> FrameRate {
        self.frame_rate
    }
    /// The fonts, by [`FontId`].
    pub fn fonts(&self) -> &[Font] {
        &self.fonts
    }
    /// The pictures, by [`PictureId`].
    pub fn pictures(&self) -> &[Picture] {
        &self.pictures
    }
    /// The triggers' names, by [`TriggerId`].
    pub fn triggers(&self) -> &[String] {
        &self.triggers
    }
    /// The cues' names, by [`CueId`].
    pub fn cues(&self) -> &[String] {
        &self.cues
    }
    /// The scenes, by [`SceneId`].
    pub fn scenes(&self) -> &[Scene] {
        &self.scenes
    }
    /// The scene that plays first.
    pub fn start(&self) -> SceneId {
        self.start
    }
    /// The distance between eye and glass in millimetres.
    pub fn viewing_distance_millimetres(&self) -> f64 {
        self.viewing_distance_millimetres
    }
    /// Where the parts of the show stand in the script.
    pub fn spans(&self) -> ShowSpans {
        self.spans
    }
    /// Width and height in pixels of what the viewer sees.
    pub fn view_size(&self) -> (u32, u32) {
        self.mounting.view_size(&self.panel)
    }
}
