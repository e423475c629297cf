//! Texts: still, typed letter by letter, rolling up, and moving to the left.

use super::lettering::set;
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::{pixels_at, remainder, steps};
use crate::show::{Marquee, Roll, Show, Text, Typed};
use crate::whole::limited;

/// A cursor behind a finished text is shown and hidden for so long each (common practice of terminals).
const CURSOR_HALF_PERIOD_SECONDS: f64 = 0.5;
/// Width of the cursor block in pixels, that of a letter of the smallest fonts.
const CURSOR_WIDTH: i32 = 3;

/// A text that does not move.
pub fn text(show: &Show, layer: &Text, moment: LayerMoment, ink: &mut Ink) {
    let block = set(show, &layer.lettering, layer.at.anchor);
    let area = moment.area(&layer.at, block.width, block.height);
    block.mark(ink, area.left, area.top, usize::MAX);
}

/// Draws a text that appears letter by letter, each at its final place.
pub fn typed(show: &Show, layer: &Typed, moment: LayerMoment, ink: &mut Ink) {
    let block = set(show, &layer.lettering, layer.at.anchor);
    let area = moment.area(&layer.at, block.width, block.height);
    let count = usize::try_from(steps(moment.seconds, layer.letters_a_second)).unwrap_or(0);
    block.mark(ink, area.left, area.top, count);
    let finished = count as f64 - block.letters.len() as f64;
    let since = finished / layer.letters_a_second;
    let shown = since < 0.0 || remainder(since, 2.0 * CURSOR_HALF_PERIOD_SECONDS) < CURSOR_HALF_PERIOD_SECONDS;
    if layer.cursor && shown {
        let written = block.letters.get(..count.min(block.letters.len())).and_then(|letters| letters.last());
        let first = block.letters.first();
        let (x, y) = match (written, first) {
            (Some(letter), _) => (letter.x + letter.glyph.advance(), letter.y),
            (None, Some(letter)) => (letter.x, letter.y),
            (None, None) => (0, 0),
        };
        let font = show.fonts().get(layer.lettering.font.0);
        let (ascent, cap) = font.map_or((0, 0), |font| (font.ascent().cast_signed(), font.cap_height().cast_signed()));
        let top = area.top + y + ascent - cap;
        shape::fill(ink, Area { left: area.left + x, top, width: CURSOR_WIDTH, height: cap });
    }
}

/// Lines that roll up through an area, entering at its lower edge.
pub fn roll(show: &Show, layer: &Roll, moment: LayerMoment, ink: &mut Ink) {
    let block = set(show, &layer.lettering, layer.at.anchor);
    let area = moment.sized(&layer.at, &layer.size);
    let step = i64::from(layer.step.max(1));
    let risen = steps(moment.seconds, layer.rows_a_second) / step * step;
    let top = i64::from(area.top) + i64::from(area.height) - risen;
    let left = area.left + crate::render::place::flush(layer.at.anchor, area.width, block.width);
    ink.clip(area);
    if let Ok(top) = i32::try_from(top) {
        block.mark(ink, left, top, usize::MAX);
    }
}

/// A line of text that moves to the left through an area and repeats.
pub fn marquee(show: &Show, layer: &Marquee, moment: LayerMoment, ink: &mut Ink) {
    let block = set(show, &layer.lettering, layer.at.anchor);
    let width = pixels_at(&layer.width, moment.seconds);
    let area = moment.area(&layer.at, width, block.height);
    ink.clip(area);
    let period = i64::from(block.width) + i64::from(layer.gap);
    let moved = steps(moment.seconds, layer.columns_a_second);
    let mut left = i64::from(area.left) + i64::from(width) - moved;
    if period <= 0 {
        return;
    }
    let gone = (i64::from(area.left) - left - i64::from(block.width)).div_euclid(period).max(0);
    left += gone * period;
    while left < i64::from(area.left) + i64::from(width) {
        block.mark(ink, limited(left), area.top, usize::MAX);
        left += period;
    }
}
