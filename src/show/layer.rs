//! The layers of a scene: what is drawn, where, and from when to when; all values may move in time.

use super::scene::{FontId, PictureId};
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

/// A number that may move in time: key frames in order of time, seconds counted from the layer's start.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// At least one; before the first its value holds, after the last its value holds.
    pub keys: Vec<Key>,
    /// Whether the keys start again after the last one.
    pub repeat: bool,
}

/// The value reached at a time, and the course on the way to it from the key before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    pub seconds: f64,
    pub value: f64,
    pub ease: Ease,
}

/// The course between two keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ease {
    Linear,
    /// Starts slowly (quadratic).
    In,
    /// Ends slowly (quadratic).
    Out,
    /// Starts and ends slowly (quadratic).
    InOut,
    /// Jumps at the key.
    Step,
}

impl Track {
    /// A number that does not move.
    pub fn still(value: f64) -> Self {
        Self { keys: vec![Key { seconds: 0.0, value, ease: Ease::Linear }], repeat: false }
    }
}

/// Where something stands: the anchor point of the thing lies on the same anchor point of the view, moved by (x, y) pixels
/// to the right and down as the viewer sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Position {
    pub anchor: Anchor,
    pub x: Track,
    pub y: Track,
}

/// Nine points of a rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    TopLeft,
    Top,
    TopRight,
    Left,
    Centre,
    Right,
    BottomLeft,
    Bottom,
    BottomRight,
}

/// A width and height in pixels, each of which may move.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    pub width: Track,
    pub height: Track,
}

/// A text set in a font; lines are parted by line breaks and lie `line_gap` pixels apart, flush to the anchor's side.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettering {
    pub text: String,
    pub font: FontId,
    pub line_gap: i32,
    /// Where the text stands in the script.
    pub span: Span,
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

/// A still text.
#[derive(Clone, Debug)]
pub struct Text {
    pub lettering: Lettering,
    pub at: Position,
}

/// A text that appears letter by letter, with a block cursor if wanted.
#[derive(Clone, Debug)]
pub struct Typed {
    pub lettering: Lettering,
    pub at: Position,
    pub letters_a_second: f64,
    pub cursor: bool,
}

/// Lines that roll up through an area, entering at its lower edge, `step` rows at a time.
#[derive(Clone, Debug)]
pub struct Roll {
    pub lettering: Lettering,
    pub at: Position,
    pub size: Size,
    pub rows_a_second: f64,
    pub step: u32,
}

/// A line that moves to the left through an area `width` wide, again and again, `gap` columns apart.
#[derive(Clone, Debug)]
pub struct Marquee {
    pub lettering: Lettering,
    pub at: Position,
    pub width: Track,
    pub columns_a_second: f64,
    pub gap: u32,
}

/// A rectangle, filled or as an outline `stroke` pixels wide.
#[derive(Clone, Debug)]
pub struct Rectangle {
    pub at: Position,
    pub size: Size,
    pub fill: bool,
    pub stroke: u32,
}

/// A straight line between two positions.
#[derive(Clone, Debug)]
pub struct Line {
    pub start: Position,
    pub end: Position,
    pub stroke: u32,
}

/// A circle about `at`, filled or as an outline `stroke` pixels wide.
#[derive(Clone, Debug)]
pub struct Circle {
    pub at: Position,
    pub radius: Track,
    pub fill: bool,
    pub stroke: u32,
}

/// A bar filled from one side by a value of 0 to 1.
#[derive(Clone, Debug)]
pub struct Bar {
    pub at: Position,
    pub size: Size,
    pub value: Track,
    pub from_side: Side,
    pub frame: bool,
}

/// Pictures cut from a strip `columns` pixels wide each, shown in turn.
#[derive(Clone, Debug)]
pub struct Sprite {
    pub picture: PictureId,
    pub at: Position,
    pub columns: u32,
    pub first: u32,
    pub count: u32,
    pub pictures_a_second: f64,
    /// A pixel is ink when its lightness, weighed by its opacity, is at least this.
    pub threshold: u8,
}

/// A side of an area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Left,
    Right,
    Top,
    Bottom,
}

/// A turning beam with a fading, dithered trail; angles in degrees, clockwise from the top as the viewer sees it.
#[derive(Clone, Debug)]
pub struct Sweep {
    /// The centre.
    pub at: Position,
    pub radius: Track,
    pub seconds_a_turn: f64,
    pub start_degrees: f64,
    /// The arc swept from `start_degrees` on; 360 goes round for ever, less swings to and fro.
    pub arc_degrees: f64,
    /// How far behind the beam the trail reaches; 0 for none.
    pub trail_degrees: f64,
    pub echoes: Vec<Echo>,
}

/// Something the beam finds: it lights up as the beam passes and fades by dithering.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Echo {
    pub degrees: f64,
    /// Distance from the centre as a share of the radius, 0 to 1.
    pub distance: f64,
    /// Side of its square in pixels.
    pub size: u32,
    /// Seconds until it has faded.
    pub fade_seconds: f64,
}
