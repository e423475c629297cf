// Areas over a copy of the picture: the cells of the copy lie below the areas, which are drawn on each cell that is sent.

use super::area::{Areas, CLOSE_AREAS, OPEN_AREAS, RESTART_AREAS};
use super::bus::{Burst, Bus, Chain, End, Extension};
use super::live::Live;

/// What lies below areas.
pub trait Below {
    /// Returns whether it is a copy of the picture.
    fn is_copy(&self) -> bool;
    /// Returns the cell at a page and a column of the display's memory. Outside the picture it is dark.
    fn cell_below(&self, page: u8, column: u8) -> u8;
}

/// What lies above a copy of the picture.
pub trait Above {
    /// Fills cells of a page, from a column of the display's memory on. An error if the allowance is too small for it.
    fn lay_over<B: Bus>(
        &mut self,
        reel: &[u8],
        place: (u8, u8),
        cells: &mut [u8],
        below: &impl Below,
        burst: &mut Burst<'_, B>,
    ) -> Result<(), End>;
}

/// Nothing, below areas or above a copy of the picture.
pub struct Dark;

impl Below for Dark {
    fn is_copy(&self) -> bool {
        false
    }
    fn cell_below(&self, _: u8, _: u8) -> u8 {
        0
    }
}

impl Above for Dark {
    fn lay_over<B: Bus>(
        &mut self,
        _: &[u8],
        (page, column): (u8, u8),
        cells: &mut [u8],
        below: &impl Below,
        _: &mut Burst<'_, B>,
    ) -> Result<(), End> {
        for (on, cell) in (0u8..).zip(cells) {
            *cell = below.cell_below(page, column.wrapping_add(on));
        }
        Ok(())
    }
}

/// A copy of the picture on which frames are drawn.
pub trait PictureCopy: Extension + Below {
    /// Returns whether it sends all its cells next, because a scene opens.
    fn sends_all(&self) -> bool;
    /// Draws a part of a frame, and sends what changed below `above`. Returns whether the frame is complete.
    fn draw_below<B: Bus>(
        &mut self,
        reel: &[u8],
        scene: u8,
        above: &mut impl Above,
        burst: &mut Burst<'_, B>,
    ) -> Result<bool, End>;
}

impl<A: Below, B: Below> Below for Chain<A, B> {
    fn is_copy(&self) -> bool {
        if self.draws_other { self.other.is_copy() } else { self.one.is_copy() }
    }
    fn cell_below(&self, page: u8, column: u8) -> u8 {
        if self.draws_other { self.other.cell_below(page, column) } else { self.one.cell_below(page, column) }
    }
}

impl<A: PictureCopy, B: PictureCopy> PictureCopy for Chain<A, B> {
    fn sends_all(&self) -> bool {
        if self.draws_other { self.other.sends_all() } else { self.one.sends_all() }
    }

    fn draw_below<C: Bus>(
        &mut self,
        reel: &[u8],
        scene: u8,
        above: &mut impl Above,
        burst: &mut Burst<'_, C>,
    ) -> Result<bool, End> {
        if self.draws_other {
            self.other.draw_below(reel, scene, above, burst)
        } else {
            self.one.draw_below(reel, scene, above, burst)
        }
    }
}

/// A copy of the picture, and areas over it.
pub struct CopyWithAreas<P, A> {
    copy: P,
    /// The areas.
    pub areas: A,
    is_of_areas: bool,
}

impl<P, A> CopyWithAreas<P, A> {
    /// Joins a copy of the picture and areas.
    pub const fn new(copy: P, areas: A) -> Self {
        Self { copy, areas, is_of_areas: false }
    }
}

impl<P: PictureCopy, const N: usize, L: Live> Extension for CopyWithAreas<P, Areas<N, L>> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        self.is_of_areas = matches!(operation, OPEN_AREAS | RESTART_AREAS | CLOSE_AREAS);
        if !self.is_of_areas {
            return self.copy.open(reel, operation, at);
        }
        let behind = self.areas.open(reel, operation, at);
        self.is_of_areas = operation == OPEN_AREAS && self.sends_areas();
        if !self.is_of_areas {
            self.areas.opened();
        }
        behind
    }
    fn advance<B: Bus>(&mut self, reel: &[u8], bus: &mut B) -> bool {
        self.is_of_areas = self.areas.advance(reel, bus);
        self.is_of_areas
    }
    fn sends_areas(&self) -> bool {
        !self.copy.sends_all()
    }
    fn leave(&mut self) {
        self.areas.leave();
    }
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        if !self.is_of_areas {
            return self.copy.draw_below(reel, scene, &mut self.areas, burst);
        }
        let done = self.areas.walk(reel, &self.copy, burst)?;
        self.is_of_areas = !done;
        Ok(done)
    }
}
