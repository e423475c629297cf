//! A layer: one thing drawn over time, how its ink meets what lies below, and what kinds there are.

use super::layers::{Bar, Circle, Line, Marquee, Rectangle, Roll, Sprite, Sweep, Text, Typed};
use super::read::Kind;
use crate::diag::Span;

/// One thing drawn over time.
#[derive(Clone, Debug)]
pub struct Layer {
    /// The name given in the script, else the kind's name with its number in the scene, such as `Text 3`.
    pub name: String,
    pub span: Span,
    /// Seconds from the scene's start at which it appears.
    pub from: f64,
    /// Seconds from the scene's start at which it is gone; infinite when it stays.
    pub until: f64,
    pub mode: Mode,
    pub blink: Option<Blink>,
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

/// What a layer draws.
#[derive(Clone, Debug)]
pub enum Drawing {
    Text(Text),
    Typed(Typed),
    Roll(Roll),
    Marquee(Marquee),
    Rectangle(Rectangle),
    Line(Line),
    Circle(Circle),
    Bar(Bar),
    Sweep(Sweep),
    Sprite(Sprite),
}

/// Every kind of layer that a script may name.
pub const KINDS: &[Kind] = &[
    Text::KIND,
    Typed::KIND,
    Roll::KIND,
    Marquee::KIND,
    Rectangle::KIND,
    Line::KIND,
    Circle::KIND,
    Bar::KIND,
    Sweep::KIND,
    Sprite::KIND,
];
