//! The checked scenes: what plays for how long, what follows, and what each trigger does meanwhile.

use super::contrast::Contrast;
use super::following::LiveId;
use super::layer::Layer;
use super::live::LiveField;
use crate::diag::Span;
use crate::units::Frames;

/// Declares an index into one of the show's lists.
macro_rules! identity {
    ($(#[$doc:meta] $name:ident),* $(,)?) => {$(
        #[$doc]
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(pub usize);
    )*};
}
identity!(
    /// Names a scene by its place in [`Show::scenes`](crate::show::Show::scenes).
    SceneId,
    /// Names a font by its place in [`Show::fonts`](crate::show::Show::fonts).
    FontId,
    /// Names a picture by its place in [`Show::pictures`](crate::show::Show::pictures).
    PictureId,
    /// Names a trigger by its place in [`Show::triggers`](crate::show::Show::triggers).
    TriggerId,
    /// Names a cue by its place in [`Show::cues`](crate::show::Show::cues).
    CueId,
);

/// A length of time with its layers, cues, and what follows.
#[derive(Clone, Debug)]
pub struct Scene {
    /// Its name, which is unique in the show.
    pub name: String,
    /// The scene's name in the script, which differs where modes made several of it.
    pub script_name: String,
    /// Each mode of the show with its value in this scene.
    pub state: Vec<(String, String)>,
    /// Its place in the script.
    pub span: Span,
    /// How many frames it lasts, at least 1.
    pub frames: Frames,
    /// Painted in this order, the last on top.
    pub layers: Vec<Layer>,
    /// Places that the firmware fills.
    pub fields: Vec<LiveField>,
    /// The cues in order of time. Several can be at one frame.
    pub cues: Vec<CueMark>,
    /// What follows its last frame.
    pub then: Then,
    /// Contrast of the display while the scene plays, 0 to 255. It can move.
    pub contrast: Contrast,
    /// When the display is switched off, in seconds from the scene's start: from, until.
    pub off: Vec<(f64, f64)>,
    /// What each trigger of the show does while this scene plays, in the order of [`Show::triggers`](crate::show::Show::triggers).
    pub reactions: Vec<Reaction>,
}

impl Scene {
    /// Whether a layer follows live values.
    pub fn is_live(&self) -> bool {
        self.layers.iter().any(|layer| !layer.follows.is_empty())
    }
    /// Whether a layer or the contrast follows a live value.
    pub fn follows(&self, value: LiveId) -> bool {
        let contrast = self.contrast.at_steps().is_some_and(|(own, _)| own == value);
        contrast || self.layers.iter().any(|layer| layer.follows.contains(&value))
    }
    /// Contrast of the display at a time in seconds from the start of the scene, rounded to the nearest. If it follows a live
    /// value, that of its samples.
    pub fn contrast_at(&self, seconds: f64) -> u8 {
        self.contrast.at(seconds)
    }
    /// Returns whether the display is off at a time in seconds from the start of the scene.
    pub fn is_off(&self, seconds: f64) -> bool {
        /// Times closer than this count as equal.
        const TOLERANCE: f64 = 1e-9;
        let seconds = seconds + TOLERANCE;
        self.off.iter().any(|(from, until)| (*from..*until).contains(&seconds))
    }
}

/// A cue and the frame of its scene at which it is handed to the firmware.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CueMark {
    /// The frame, from 0.
    pub frame: u32,
    /// The cue.
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
    /// The scene that the last trigger left.
    Back,
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
