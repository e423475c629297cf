//! A layer: one thing drawn over time, how its ink meets what lies below, and what kinds there are.

use super::following::LiveId;
use super::history::{HistoryId, LiveState};
use super::layers::*;
use super::natural::LayerEnd;
use super::place::{Position, Size};
use super::read::Kind;
use super::signal::Signal;
use super::track::Track;
use crate::diag::Span;

/// One thing drawn over time.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Its name in the script. Without one, its kind, its number in the scene and the beginning of its text, such as `Text 3
    /// “DEPTH”`.
    pub name: String,
    pub span: Span,
    /// Seconds from the scene's start at which it appears.
    pub from: f64,
    /// Seconds from the scene's start at which it is gone; infinite when it stays.
    pub until: f64,
    pub mode: Mode,
    pub blink: Option<Blink>,
    /// Where alone its ink counts.
    pub clip: Option<Clip>,
    /// The layer is shown while this number is 0.5 or more; always if there is none.
    pub shown: Option<Track>,
    pub drawing: Drawing,
    /// The live values that it follows, each once, ascending.
    pub follows: Vec<LiveId>,
    /// Whether it looks the same at all times, except for its live values.
    pub still: bool,
}

impl Layer {
    /// Calls for each of its numbers that may move.
    pub(super) fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
        match &mut self.clip {
            Some(Clip::Window { at, size }) => {
                [&mut at.x, &mut at.y, &mut size.width, &mut size.height].into_iter().for_each(&mut *visit)
            }
            Some(Clip::Disc { at, radius }) => [&mut at.x, &mut at.y, radius].into_iter().for_each(&mut *visit),
            None => {}
        }
        self.shown.iter_mut().for_each(&mut *visit);
        self.drawing.tracks(visit);
    }

    /// Lists the live values that its numbers follow, and the one whose latest values it charts. Returns whether one of its numbers
    /// moves by itself.
    pub(super) fn find_followed(&mut self) -> bool {
        let (mut follows, mut moves) = (Vec::new(), false);
        self.tracks(&mut |track| {
            follows.extend(track.live.map(|live| live.value));
            moves |= track.keys.len() > 1;
        });
        if let Drawing::Chart(Chart { signal: Signal::Live { track, .. }, .. }) = &self.drawing {
            follows.extend(track.live.map(|live| live.value));
        }
        follows.sort_unstable();
        follows.dedup();
        self.follows = follows;
        moves
    }

    /// Whether it looks the same from the first frame of its scene up to this second, except for what it charts.
    pub fn is_steady_until(&self, seconds: f64) -> bool {
        let mut moves = false;
        self.clone().tracks(&mut |track| moves |= track.live.is_some() || track.keys.len() > 1);
        !moves && self.blink.is_none() && self.from <= 0.0 && self.until >= seconds
    }

    /// What it keeps of a live value, if it is a chart of one.
    pub fn history(&self) -> Option<HistoryId> {
        match &self.drawing {
            Drawing::Chart(Chart { signal: Signal::Live { history, .. }, .. }) => Some(*history),
            _ => None,
        }
    }

    /// The layer in a state of the live values.
    pub fn in_state(&self, state: &LiveState) -> Self {
        let mut layer = self.clone();
        layer.tracks(&mut |track| *track = track.at_steps(&state.steps));
        if let Drawing::Chart(Chart { signal: Signal::Live { history, held, .. }, .. }) = &mut layer.drawing {
            *held = state.histories.get(history.0).cloned().unwrap_or_default();
        }
        layer
    }
}

/// How a layer's ink meets what lies below it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// Ink lights pixels.
    Paint,
    /// Ink darkens pixels.
    Erase,
    /// Ink changes lit and dark over.
    Invert,
}

/// Shown for `on` seconds, then hidden for `off` seconds, from the layer's own start on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blink {
    pub on: f64,
    pub off: f64,
}

/// The part of the view in which a layer's ink counts.
#[derive(Clone, Debug, PartialEq)]
pub enum Clip {
    /// A rectangle.
    Window { at: Position, size: Size },
    /// A disc about a pixel.
    Disc { at: Position, radius: Track },
}

/// Declares what a layer may draw: one list makes the type, the kinds that a script may name, and their natural ends.
macro_rules! drawings {
    ($($kind:ident)+) => {
        /// What a layer draws.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Drawing {
            $($kind($kind),)+
        }

        /// Every kind of layer.
        pub const KINDS: &[Kind] = &[$($kind::KIND),+];

        impl Drawing {
            /// When the last of its numbers has come to rest.
            pub(super) fn numbers_end(&self) -> LayerEnd {
                match self {
                    $(Self::$kind(layer) => layer.numbers_end(),)+
                }
            }

            /// Calls for each of its numbers that may move.
            pub(super) fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
                match self {
                    $(Self::$kind(layer) => layer.tracks(visit),)+
                }
            }
        }
    };
}
drawings! {
    Text Typed Roll Marquee Counter Odometer Countdown Status LiveText
    Rectangle Line Circle Arc Border Stripes Grid Rings
    Bar Meter Steps Dial Chart Sweep
    Stars Terrain Noise ScanLine Glitch
    Wipe Dissolve Shutter Iris
    Sprite Picture Group
}
