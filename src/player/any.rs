//! A player for any reel, with all extensions. The compiler uses it to play what it has made.

use super::area::{Areas, CLOSE_AREAS, OPEN_AREAS, RESTART_AREAS};
use super::bus::{Burst, End};
use super::dense::Picture;
use super::dim::{CONTRAST, Dimming};
use super::film::{FILM, Film};
use super::live::{Values, Watched};
use super::operation::MODEL;
use super::over::{Below, Dark, PictureCopy};
use super::roll::{OPEN_ROLL, ROLL, Rolls};
use super::turn::{OPEN_BEAM, TURN, Turning};
use super::{Bus, Extension, Player};

/// The largest number of areas in a scene.
pub const MOST_AREAS: usize = 20;

/// The largest number of live values in a show.
pub const MOST_LIVE: usize = 40;

/// Live values. Each is that at the start of the show until it is set.
pub struct AnyValues([Option<i16>; MOST_LIVE]);

impl Default for AnyValues {
    fn default() -> Self {
        Self([None; MOST_LIVE])
    }
}

impl Values for AnyValues {
    fn value(&self, number: usize) -> Option<i16> {
        self.0.get(number).copied().flatten()
    }
}

/// The most bytes that charts keep of live values.
pub const MOST_KEPT: usize = 1024;

/// Areas that follow any live values.
pub type AnyAreas = Areas<MOST_AREAS, Watched<AnyValues, MOST_AREAS, MOST_LIVE, MOST_KEPT>>;

impl AnyAreas {
    /// No areas yet, and live values as at the start of the show.
    pub const fn any() -> Self {
        Self::following(Watched::new(AnyValues([None; MOST_LIVE])))
    }

    /// Sets a live value.
    pub fn set(&mut self, number: usize, value: i16) {
        if let Some(own) = self.live.values.0.get_mut(number) {
            *own = Some(value);
        }
    }
}

/// The extensions for any lean reel: beam, scrolling lines, and areas.
pub struct AnyLean {
    turning: Turning,
    rolls: Rolls,
    areas: AnyAreas,
    dimming: Dimming<AnyValues>,
    operation: u8,
}

impl Default for AnyLean {
    fn default() -> Self {
        let (turning, rolls) = Default::default();
        Self { turning, rolls, areas: AnyAreas::any(), dimming: Dimming::new(AnyValues::default()), operation: 0 }
    }
}

impl AnyLean {
    /// Sets a live value.
    pub fn set(&mut self, number: usize, value: i16) {
        self.areas.set(number, value);
        if let Some(own) = self.dimming.values.0.get_mut(number) {
            *own = Some(value);
        }
    }
}

impl AnyLean {
    /// Draws and sends a part of what moves on its own over a copy of the picture.
    fn draw_over<B: Bus>(
        &mut self,
        reel: &[u8],
        scene: u8,
        below: &impl Below,
        burst: &mut Burst<'_, B>,
    ) -> Result<bool, End> {
        match self.operation {
            OPEN_AREAS => self.areas.walk(reel, below, burst),
            OPEN_ROLL | ROLL => self.rolls.draw(reel, scene, burst),
            _ => self.turning.draw(reel, scene, burst),
        }
    }
}

impl Extension for AnyLean {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        if operation == CONTRAST {
            return self.dimming.open(reel, operation, at);
        }
        if matches!(operation, OPEN_AREAS | RESTART_AREAS | CLOSE_AREAS) {
            self.operation = OPEN_AREAS;
            return self.areas.open(reel, operation, at);
        }
        self.operation = operation;
        let (behind, record) = match operation {
            OPEN_ROLL | ROLL => (self.rolls.open(reel, operation, at), self.rolls.record),
            _ => (self.turning.open(reel, operation, at), self.turning.record),
        };
        // As in C, both use the same record.
        (self.turning.record, self.rolls.record) = (record, record);
        behind
    }
    fn advance<B: Bus>(&mut self, reel: &[u8], bus: &mut B) -> bool {
        self.operation = OPEN_AREAS;
        self.areas.advance(reel, bus)
    }
    fn leave(&mut self) {
        self.areas.leave();
        self.dimming.leave();
    }
    fn frame_begins(&mut self) {
        self.dimming.frame_begins();
    }
    fn dim<B: Bus>(&mut self, reel: &[u8], burst: &mut Burst<'_, B>) -> Option<Result<(), End>> {
        self.dimming.dim(reel, burst)
    }
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        self.draw_over(reel, scene, &Dark, burst)
    }
}

/// The extensions for any reel: a picture copy with `C` cells and `M` bytes of marks, and those for lean reels.
#[derive(Default)]
pub struct Any<const C: usize, const M: usize> {
    picture: Picture<C, M>,
    film: Film<C, M>,
    is_film: bool,
    lean: AnyLean,
    makes: bool,
}

/// A player of any reel on any display: its picture copy has room for 132 columns of 16 pages.
pub type AnyPlayer<'r> = Player<'r, Any<2112, 272>>;

/// A player of any reel, at its start.
pub fn any_player(reel: &[u8]) -> AnyPlayer<'_> {
    Player::keeping(reel, Any::default())
}

impl<const C: usize, const M: usize> Any<C, M> {
    /// Sets a live value.
    pub fn set(&mut self, number: usize, value: i16) {
        self.lean.set(number, value);
    }
}

impl<const C: usize, const M: usize> Extension for Any<C, M> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        if operation == CONTRAST {
            return self.lean.open(reel, operation, at);
        }
        self.makes =
            matches!(operation, OPEN_BEAM | TURN | OPEN_ROLL | ROLL | OPEN_AREAS | RESTART_AREAS | CLOSE_AREAS);
        if self.makes {
            let behind = self.lean.open(reel, operation, at);
            if operation == OPEN_AREAS && !self.sends_areas() {
                self.lean.areas.opened();
                self.makes = false;
            }
            return behind;
        }
        if matches!(operation, MODEL | FILM) {
            (self.picture, self.film, self.is_film) = (Picture::new(), Film::new(), operation == FILM);
        }
        if self.is_film { self.film.open(reel, operation, at) } else { self.picture.open(reel, operation, at) }
    }
    fn advance<B: Bus>(&mut self, reel: &[u8], bus: &mut B) -> bool {
        self.makes = self.lean.advance(reel, bus);
        self.makes
    }
    fn sends_areas(&self) -> bool {
        !if self.is_film { self.film.sends_all() } else { self.picture.sends_all() }
    }
    fn leave(&mut self) {
        self.lean.leave();
    }
    fn frame_begins(&mut self) {
        self.lean.frame_begins();
    }
    fn dim<B: Bus>(&mut self, reel: &[u8], burst: &mut Burst<'_, B>) -> Option<Result<(), End>> {
        self.lean.dim(reel, burst)
    }
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        let lean = &mut self.lean;
        if !self.makes && self.is_film {
            return self.film.draw_below(reel, scene, &mut lean.areas, burst);
        }
        if !self.makes {
            return self.picture.draw_below(reel, scene, &mut lean.areas, burst);
        }
        let whole = if self.is_film {
            lean.draw_over(reel, scene, &self.film, burst)?
        } else {
            lean.draw_over(reel, scene, &self.picture, burst)?
        };
        self.makes = !whole;
        Ok(whole)
    }
}
