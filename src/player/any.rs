//! What a player of any reel keeps, as the compiler itself plays: a copy of the picture for dense ones, a beam for lean ones.

use super::bus::{Burst, End};
use super::dense::Picture;
use super::turn::{OPEN_BEAM, TURN, Turning};
use super::{Bus, Keeps, Player};

/// Room for so many cells and their marks, and for a beam.
pub struct Any<const C: usize, const M: usize> {
    picture: Picture<C, M>,
    turning: Turning,
    turns: bool,
}

impl<const C: usize, const M: usize> Any<C, M> {
    /// Nothing yet.
    pub const fn new() -> Self {
        Self { picture: Picture::new(), turning: Turning::new(), turns: false }
    }
}

impl<const C: usize, const M: usize> Default for Any<C, M> {
    fn default() -> Self {
        Self::new()
    }
}

/// A player of any reel on any glass: it could keep 128 columns of 8 pages.
pub type AnyPlayer<'r> = Player<'r, Any<1024, 128>>;

/// A player of any reel, at its start.
pub fn any_player(reel: &[u8]) -> AnyPlayer<'_> {
    Player::keeping(reel, Any::new())
}

impl<const C: usize, const M: usize> Keeps for Any<C, M> {
    fn open(&mut self, reel: &[u8], operation: u8, at: u16) -> Option<u16> {
        self.turns = matches!(operation, OPEN_BEAM | TURN);
        if self.turns { self.turning.open(reel, operation, at) } else { self.picture.open(reel, operation, at) }
    }
    fn draw<B: Bus>(&mut self, reel: &[u8], scene: u8, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        if !self.turns {
            return self.picture.draw(reel, scene, burst);
        }
        let whole = self.turning.draw(reel, scene, burst)?;
        self.turns = !whole;
        Ok(whole)
    }
}
