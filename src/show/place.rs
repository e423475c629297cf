//! Where a thing stands and how large it is, in pixels of what the viewer sees.

use super::track::Track;

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

/// The usual size of a layer that covers the whole view.
pub const FULL: (f64, f64) = (f64::INFINITY, f64::INFINITY);

/// A side of an area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Left,
    Right,
    Top,
    Bottom,
}
