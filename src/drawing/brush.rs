//! The colours in which a sheet is drawn: of the colours in its cells that read as ink, and as paper, the most frequent.

use super::editable::{Colour16, EditablePng};
use crate::font::{Grid, InkRule, Mark, Polarity, Spot};
use crate::source::PixelInk;
use crate::whole::limited;
use std::collections::BTreeMap;

/// What a pixel is painted with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Brush {
    pub ink: Colour16,
    pub paper: Colour16,
}

const WHITE: Colour16 = [u16::MAX; 4];
const BLACK: Colour16 = [0, 0, 0, u16::MAX];
const CLEAR: Colour16 = [0; 4];

/// A colour as sheets are read: with 8 bits for each value.
pub fn as_read(colour: Colour16) -> PixelInk {
    PixelInk::of(colour.map(|value| limited((u32::from(value) + 128) / 257)))
}

/// Whether a colour counts as a stroke.
pub fn is_ink(rule: &InkRule, colour: Colour16) -> bool {
    match rule.mark(as_read(colour)) {
        Mark::Ink => true,
        Mark::Grey(strength) => rule.counts_as_ink(strength),
        Mark::Paper | Mark::Guide | Mark::NearGuide(_) | Mark::Advance => false,
    }
}

impl Brush {
    /// The brush of a sheet; black and white, or clear and white, where nothing is drawn yet.
    pub fn of(png: &EditablePng, grid: Grid, rule: &InkRule) -> Self {
        let (mut inks, mut papers) = (BTreeMap::<Colour16, u32>::new(), BTreeMap::<Colour16, u32>::new());
        let count = grid.count(png.width(), png.height()).unwrap_or((0, 0));
        for (x, y) in (0..png.height()).flat_map(|y| (0..png.width()).map(move |x| (x, y))) {
            let Some(colour) = png.colour(x, y).filter(|_| grid.spot((x, y), count) != Spot::Outside) else { continue };
            match rule.mark(as_read(colour)) {
                Mark::Ink => *inks.entry(colour).or_default() += 1,
                Mark::Paper => *papers.entry(colour).or_default() += 1,
                _ => {}
            }
        }
        let (ink, paper) = match rule.polarity {
            Polarity::Light => (WHITE, BLACK),
            Polarity::Dark => (BLACK, WHITE),
            Polarity::Opaque => (WHITE, CLEAR),
        };
        let most = |colours: BTreeMap<Colour16, u32>, usual| {
            colours.into_iter().max_by_key(|(_, count)| *count).map_or(usual, |(colour, _)| colour)
        };
        Self { ink: most(inks, ink), paper: most(papers, paper) }
    }
}
