//! Positions and sizes, in pixels as the viewer sees them.

use super::track::Track;

/// A position: the anchor point of the thing is put on the same anchor point of the view, then moved by (x, y) pixels to the right
/// and down.
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

/// A width and a height in pixels. Both can move.
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
