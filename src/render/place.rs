//! Computes places: the anchor point of a thing is put on that of the view.

use super::ink::Area;
use super::track::pixels_at;
use crate::show::{Anchor, Position, Size};

/// What a layer is drawn by: the view's size and the seconds since the layer's start.
#[derive(Clone, Copy, Debug)]
pub struct LayerMoment {
    pub width: i32,
    pub height: i32,
    /// Seconds since the layer's start.
    pub seconds: f64,
    /// Pixels by which the groups around the layer move it, to the right and down.
    pub moved: (i32, i32),
}

/// The side of the view or the middle, in one direction.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Third {
    Near,
    Middle,
    Far,
}

fn thirds(anchor: Anchor) -> (Third, Third) {
    use Third::{Far, Middle, Near};
    match anchor {
        Anchor::TopLeft => (Near, Near),
        Anchor::Top => (Middle, Near),
        Anchor::TopRight => (Far, Near),
        Anchor::Left => (Near, Middle),
        Anchor::Centre => (Middle, Middle),
        Anchor::Right => (Far, Middle),
        Anchor::BottomLeft => (Near, Far),
        Anchor::Bottom => (Middle, Far),
        Anchor::BottomRight => (Far, Far),
    }
}

/// What is left before a thing of length `thing` in a room of length `room`; an odd rest in the middle goes behind it.
fn before(third: Third, room: i32, thing: i32) -> i32 {
    match third {
        Third::Near => 0,
        Third::Middle => (room - thing).div_euclid(2),
        Third::Far => room - thing,
    }
}

impl LayerMoment {
    /// The area of a thing of `width` × `height` pixels at a position.
    pub fn area(&self, at: &Position, width: i32, height: i32) -> Area {
        let (across, down) = thirds(at.anchor);
        Area {
            left: before(across, self.width, width) + pixels_at(&at.x, self.seconds) + self.moved.0,
            top: before(down, self.height, height) + pixels_at(&at.y, self.seconds) + self.moved.1,
            width,
            height,
        }
    }
    /// The area of a thing whose size can move.
    pub fn sized(&self, at: &Position, size: &Size) -> Area {
        self.area(at, pixels_at(&size.width, self.seconds), pixels_at(&size.height, self.seconds))
    }
    /// The pixel at a position.
    pub fn point(&self, at: &Position) -> (i32, i32) {
        let area = self.area(at, 1, 1);
        (area.left, area.top)
    }
}

/// Where a line `line` pixels wide begins in a block `block` pixels wide, flush to the anchor's side.
pub fn flush(anchor: Anchor, block: i32, line: i32) -> i32 {
    before(thirds(anchor).0, block, line)
}
