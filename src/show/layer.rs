//! A layer: one thing drawn over time, how its ink meets what lies below, and what kinds there are.

use super::layers::*;
use super::natural::End;
use super::place::{Position, Size};
use super::read::Kind;
use super::track::Track;
use crate::diag::Span;

/// One thing drawn over time.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// The name given in the script, else the kind's name with its number in the scene and the beginning of its text, such as
    /// `Text 3 “DEPTH”`.
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
    pub drawing: Drawing,
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

        /// Every kind of layer that a script may name.
        pub const KINDS: &[Kind] = &[$($kind::KIND),+];

        impl Drawing {
            /// When the last of its numbers has come to rest.
            pub(super) fn numbers_end(&self) -> End {
                match self {
                    $(Self::$kind(layer) => layer.numbers_end(),)+
                }
            }
        }
    };
}
drawings! {
    Text Typed Roll Marquee Counter Odometer Countdown
    Rectangle Line Circle Arc Border Stripes Grid Rings
    Bar Meter Steps Dial Chart Sweep
    Stars Terrain Noise ScanLine Glitch
    Wipe Dissolve Shutter Iris
    Sprite Picture Group
}
