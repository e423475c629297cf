//! What a player of any reel keeps, as the compiler itself plays: a copy of the picture for dense ones, what lean ones make.

use super::area::{Areas, OPEN_AREAS, RESTART_AREAS};
use super::bus::{Burst, End};
use super::dense::Picture;
use super::grain::{AREA, GRAINS, Grains};
use super::roll::{OPEN_ROLL, ROLL, Rolls};
use super::turn::{OPEN_BEAM, TURN, Turning};
use super::{Bus, Extension, Player};

/// The most areas of a scene.
pub const MOST_AREAS: usize = 12;

/// What a player of any lean reel keeps: a beam, noise, what rolls, and areas.
#[derive(Default)]
pub struct AnyLean {
    turning: Turning,
    grains: Grains,
    rolls: Rolls,
    areas: Areas<MOST_AREAS>,
    operation: u8,
}

impl Extension for AnyLean {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        if matches!(operation, OPEN_AREAS | RESTART_AREAS) {
            self.operation = OPEN_AREAS;
            return self.areas.open(reel, operation, at);
        }
        self.operation = operation;
        let (behind, record) = match operation {
            AREA | GRAINS => (self.grains.open(reel, operation, at), self.grains.record),
            OPEN_ROLL | ROLL => (self.rolls.open(reel, operation, at), self.rolls.record),
            _ => (self.turning.open(reel, operation, at), self.turning.record),
        };
        // As in C, one record serves all.
        (self.turning.record, self.grains.record, self.rolls.record) = (record, record, record);
        behind
    }
    fn advance(&mut self, reel: &[u8]) -> bool {
        self.operation = OPEN_AREAS;
        self.areas.advance(reel)
    }
    fn leave(&mut self) {
        self.areas.leave();
    }
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        match self.operation {
            OPEN_AREAS => self.areas.draw(reel, scene, burst),
            AREA | GRAINS => self.grains.draw(reel, scene, burst),
            OPEN_ROLL | ROLL => self.rolls.draw(reel, scene, burst),
            _ => self.turning.draw(reel, scene, burst),
        }
    }
}

/// Room for so many cells and their marks, and what lean reels need.
#[derive(Default)]
pub struct Any<const C: usize, const M: usize> {
    picture: Picture<C, M>,
    lean: AnyLean,
    makes: bool,
}

/// A player of any reel on any display: it could keep 132 columns of 16 pages.
pub type AnyPlayer<'r> = Player<'r, Any<2112, 272>>;

/// A player of any reel, at its start.
pub fn any_player(reel: &[u8]) -> AnyPlayer<'_> {
    Player::keeping(reel, Any::default())
}

impl<const C: usize, const M: usize> Extension for Any<C, M> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        self.makes =
            matches!(operation, OPEN_BEAM | TURN | AREA | GRAINS | OPEN_ROLL | ROLL | OPEN_AREAS | RESTART_AREAS);
        if self.makes { self.lean.open(reel, operation, at) } else { self.picture.open(reel, operation, at) }
    }
    fn advance(&mut self, reel: &[u8]) -> bool {
        self.makes = true;
        self.lean.advance(reel)
    }
    fn leave(&mut self) {
        self.lean.leave();
    }
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        if !self.makes {
            return self.picture.draw(reel, scene, burst);
        }
        let whole = self.lean.draw(reel, scene, burst)?;
        self.makes = !whole;
        Ok(whole)
    }
}
