//! The ink of one layer at one time: what it marks inside the view, and how much falls outside.

use super::Bitmap;
use super::shape::in_circle;
use crate::whole::limited;

/// Marked pixels of the view, the regions within which drawing counts, and the marks that fell outside the view.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ink {
    /// The marked pixels inside the view.
    pub inside: Bitmap,
    /// How many marks fell outside the view.
    pub outside: usize,
    clips: Vec<Region>,
}

/// A part of the view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Region {
    Area(Area),
    /// A disc: centre and radius.
    Disc((i32, i32), i32),
}

impl Region {
    fn has(&self, x: i32, y: i32) -> bool {
        match self {
            Self::Area(area) => area.has(x, y),
            Self::Disc((centre_x, centre_y), radius) => in_circle(*radius, x - centre_x, y - centre_y),
        }
    }
}

/// A rectangle of pixels; the far edges are not part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    pub left: i32,
    pub top: i32,
    pub width: i32,
    pub height: i32,
}

impl Area {
    /// Whether the pixel lies in it.
    pub fn has(&self, x: i32, y: i32) -> bool {
        x >= self.left && x - self.left < self.width && y >= self.top && y - self.top < self.height
    }
    /// The part of it that lies in another, maybe none.
    pub fn within(&self, other: &Self) -> Self {
        let (left, top) = (self.left.max(other.left), self.top.max(other.top));
        let right = (self.left + self.width).min(other.left + other.width);
        let bottom = (self.top + self.height).min(other.top + other.height);
        Self { left, top, width: (right - left).max(0), height: (bottom - top).max(0) }
    }
    /// How many pixels it has.
    fn pixels(&self) -> usize {
        limited::<usize, _>(self.width) * limited::<usize, _>(self.height)
    }
    /// The rectangle `by` pixels smaller on each side.
    pub fn shrunk(&self, by: i32) -> Self {
        Self { left: self.left + by, top: self.top + by, width: self.width - 2 * by, height: self.height - 2 * by }
    }
}

impl Ink {
    /// No ink on a view of `width` × `height` pixels.
    pub fn new(width: u32, height: u32) -> Self {
        Self { inside: Bitmap::new(width, height), outside: 0, clips: Vec::new() }
    }
    /// No ink yet, within the same clips.
    pub fn fresh(&self) -> Self {
        Self { inside: Bitmap::new(self.inside.width(), self.inside.height()), outside: 0, clips: self.clips.clone() }
    }
    /// From now on only marks in `area` count; others are neither inside nor outside.
    pub fn clip(&mut self, area: Area) {
        self.clips.push(Region::Area(area));
    }
    /// From now on only marks in the disc count.
    pub fn clip_disc(&mut self, centre: (i32, i32), radius: i32) {
        self.clips.push(Region::Disc(centre, radius));
    }
    /// Marks a pixel.
    pub fn mark(&mut self, x: i32, y: i32) {
        if self.clips.iter().any(|clip| !clip.has(x, y)) {
            return;
        }
        let (width, height) = (self.inside.width().cast_signed(), self.inside.height().cast_signed());
        if (0..width).contains(&x) && (0..height).contains(&y) {
            self.inside.set(x, y, true);
        } else {
            self.outside += 1;
        }
    }
    /// Marks every pixel of an area.
    pub fn mark_area(&mut self, area: Area) {
        let mut part = area;
        for clip in &self.clips {
            match clip {
                Region::Area(clip) => part = part.within(clip),
                Region::Disc(..) => return self.mark_one_by_one(area),
            }
        }
        let (width, height) = (self.inside.width().cast_signed(), self.inside.height().cast_signed());
        let seen = part.within(&Area { left: 0, top: 0, width, height });
        for y in seen.top..seen.top + seen.height {
            self.inside.light_row(y, seen.left, seen.left + seen.width);
        }
        self.outside += part.pixels() - seen.pixels();
    }
    fn mark_one_by_one(&mut self, area: Area) {
        for y in area.top..area.top + area.height.max(0) {
            for x in area.left..area.left + area.width.max(0) {
                self.mark(x, y);
            }
        }
    }
    /// Takes a mark back.
    pub fn unmark(&mut self, x: i32, y: i32) {
        self.inside.set(x, y, false);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn area() -> impl Strategy<Value = Area> {
        let length = -12i32..30;
        (length.clone(), length.clone(), length.clone(), length).prop_map(|(left, top, width, height)| Area {
            left,
            top,
            width,
            height,
        })
    }

    proptest! {
        #[test]
        fn an_area_is_marked_as_pixel_by_pixel(area in area(), clips in prop::collection::vec(area(), 0..3), disc in prop::option::of(0i32..12)) {
            let mut ink = Ink::new(20, 16);
            clips.into_iter().for_each(|clip| ink.clip(clip));
            disc.into_iter().for_each(|radius| ink.clip_disc((9, 7), radius));
            let mut singly = ink.clone();
            ink.mark_area(area);
            singly.mark_one_by_one(area);
            prop_assert_eq!(ink, singly);
        }
    }
}
