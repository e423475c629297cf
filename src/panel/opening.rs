//! The opening of a bezel in front of the display, and the pixels it leaves to see.

use super::{Mounting, Panel};

/// The opening in front of the display, measured from the top left corner of the lit area as the viewer sees it. It can be larger
/// than the lit area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PanelOpening {
    /// In pixels.
    Pixels(OpeningPixels),
    /// In millimetres.
    Millimetres {
        /// From the left edge of the pixels to that of the opening.
        left: f64,
        /// From the top edge of the pixels to that of the opening.
        top: f64,
        /// Width of the opening.
        width: f64,
        /// Height of the opening.
        height: f64,
    },
}

/// A rectangle of pixels; empty when its width or height is 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OpeningPixels {
    /// First column.
    pub left: u32,
    /// First row.
    pub top: u32,
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
}

impl OpeningPixels {
    /// Whether the pixel lies inside.
    pub fn contains(&self, x: i32, y: i32) -> bool {
        let inside = |at: i32, first: u32, count: u32| {
            i64::from(at) >= i64::from(first) && i64::from(at) < i64::from(first) + i64::from(count)
        };
        inside(x, self.left, self.width) && inside(y, self.top, self.height)
    }
    /// Whether no pixel lies inside.
    pub fn is_empty(&self) -> bool {
        self.width == 0 || self.height == 0
    }
}

impl PanelOpening {
    /// The pixels of the viewer's picture whose whole dot lies inside the opening; a pixel cut by the edge counts as hidden.
    ///
    /// The lit area begins and ends with a dot, so dot n spans n × pitch to n × pitch + dot from either side.
    pub fn pixels(&self, panel: &Panel, mounting: &Mounting) -> OpeningPixels {
        let (view_width, view_height) = mounting.view_size(panel);
        match *self {
            Self::Pixels(wanted) => {
                let (left, width) = clip(wanted.left, wanted.width, view_width);
                let (top, height) = clip(wanted.top, wanted.height, view_height);
                OpeningPixels { left, top, width, height }
            }
            Self::Millimetres { left, top, width, height } => {
                let (across, down) = if mounting.controller_turn().transposed { (1, 0) } else { (0, 1) };
                let whole = |from: f64, length: f64, axis: usize, count: u32| {
                    whole_dots(from, from + length, panel.pitch_micrometres[axis], panel.dot_micrometres[axis], count)
                };
                let (left, width) = whole(left, width, across, view_width);
                let (top, height) = whole(top, height, down, view_height);
                OpeningPixels { left, top, width, height }
            }
        }
    }
}

/// First and count of `count` pixels that lie in a wanted span.
fn clip(first: u32, length: u32, count: u32) -> (u32, u32) {
    let first = first.min(count);
    (first, length.min(count - first))
}

/// First and count of the dots that lie wholly from `from` to `to` millimetres; a tenth of a micrometre is forgiven.
fn whole_dots(from: f64, to: f64, pitch_micrometres: u32, dot_micrometres: u32, count: u32) -> (u32, u32) {
    const FORGIVEN_MICROMETRES: f64 = 0.1;
    let (from, to) = (from * 1000.0 - FORGIVEN_MICROMETRES, to * 1000.0 + FORGIVEN_MICROMETRES);
    let mut inside = (0..count).filter(|&dot| {
        let start = f64::from(dot) * f64::from(pitch_micrometres);
        start >= from && start + f64::from(dot_micrometres) <= to
    });
    inside.next().map_or((0, 0), |first| (first, 1 + crate::whole::limited::<u32, usize>(inside.count())))
}
