//! Finds pictures that move sideways: bands of one page in which each frame is the previous one, shifted by a few columns. Such a
//! band is stored once, as a strip. Each frame shows the next part of the strip.

use super::memory::{DisplayState, PAGES, PageBitmap, Rows, cell, turned, visible, wanted_in_memory};
use super::step::Planner;
use super::windows::{changes_cost, runs_price};
use crate::whole::limited;

/// The largest shift that is searched for, in columns per frame.
const FARTHEST_SHIFT: i32 = 4;
/// The smallest number of frames of a motion.
const FEWEST_FRAMES: usize = 6;
/// Reel bytes that a motion takes in addition to its strip: the first copy, the next copy, and the repeat.
const MOTION_BYTES: usize = 16;
/// Reel bytes that the way back to the start of a strip takes, and the repeat of the whole motion.
const ROUND_BYTES: usize = 32;
/// Reel bytes that a window takes in addition to its data.
const WINDOW_BYTES: usize = 3;
/// The largest number of columns of one copy.
const WIDEST_BAND: usize = 255;

/// A band of columns in one page that moves over some frames.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Motion {
    pub page: usize,
    pub first_column: usize,
    pub last_column: usize,
    /// Columns to the left per frame.
    pub shift: i8,
    /// The picture that moves through the band. If only changes are sent, it includes what the band shows before it moves.
    pub strip: Vec<u8>,
    /// The frames at which it moves, each with the offset in the strip that the band then shows; in order.
    pub frames: Vec<(usize, usize)>,
}

/// One page frame by frame: its cells in memory, and which frames can belong to a motion.
struct PageFrames {
    cells: Vec<Vec<u8>>,
    /// Whether the whole page is in view, under the same start line as in the previous frame.
    steady: Vec<bool>,
}

/// Returns all motions that are worth it: they save more flash than their added bus time is worth. `pictures` are shown under
/// `display_states`. The key frame never belongs to a motion.
pub fn motions(pictures: &[&PageBitmap], display_states: &[DisplayState], planner: &Planner) -> Vec<Motion> {
    (0..PAGES).flat_map(|page| page_motions(&page_frames(pictures, display_states, page), page, planner)).collect()
}

fn page_frames(pictures: &[&PageBitmap], display_states: &[DisplayState], page: usize) -> PageFrames {
    let whole_cell: Rows = 0xFF << (8 * page);
    let byte = |column: &Rows, state: DisplayState| cell(wanted_in_memory(*column, state), page);
    let cells = pictures
        .iter()
        .zip(display_states)
        .map(|(picture, state)| picture.bits().iter().map(|c| byte(c, *state)).collect());
    let whole = |picture: &PageBitmap, state: DisplayState| {
        turned(visible(picture.rows()), state.start_line) & whole_cell == whole_cell
    };
    let steady = (0..pictures.len()).map(|at| {
        at > 0
            && whole(pictures[at], display_states[at])
            && display_states[at].start_line == display_states[at - 1].start_line
    });
    PageFrames { cells: cells.collect(), steady: steady.collect() }
}

fn page_motions(frames: &PageFrames, page: usize, planner: &Planner) -> Vec<Motion> {
    let mut motions = Vec::new();
    let mut at = 1;
    while at < frames.cells.len() {
        let shifts = (-FARTHEST_SHIFT..=FARTHEST_SHIFT).filter(|shift| *shift != 0);
        let longest = shifts.filter_map(|shift| run(frames, at, shift)).max_by_key(|run| (run.saving, run.end));
        match longest {
            Some(run) => {
                if run.extra_bus(frames, planner) <= planner.cost.flash(run.saving as u64).cast_signed() {
                    motions.push(run.motion(frames, page, planner.changes));
                }
                at = run.end;
            }
            None => at += 1,
        }
    }
    motions
}

/// A motion by `shift` columns per step; positive to the left.
struct Run {
    shift: i32,
    first_column: usize,
    last_column: usize,
    /// The frames at which the band moves.
    moves: Vec<usize>,
    /// The frame after the last one.
    end: usize,
    saving: usize,
}

/// The columns in which two frames of a page differ: the first, the last, and their number.
fn difference(before: &[u8], now: &[u8]) -> Option<(usize, usize, usize)> {
    let first = before.iter().zip(now).position(|(a, b)| a != b)?;
    let last = before.iter().zip(now).rposition(|(a, b)| a != b)?;
    let count = before.iter().zip(now).filter(|(a, b)| a != b).count();
    Some((first, last, count))
}

/// Returns whether columns `first..=last` of `now` are those of `before`, moved by `shift`.
fn moved(before: &[u8], now: &[u8], first: usize, last: usize, shift: i32) -> bool {
    let step = shift.unsigned_abs() as usize;
    if last - first < step {
        return false;
    }
    if shift > 0 {
        now[first..=last - step] == before[first + step..=last]
    } else {
        now[first + step..=last] == before[first..=last - step]
    }
}

fn run(frames: &PageFrames, at: usize, shift: i32) -> Option<Run> {
    let pair = |frame: usize| (&frames.cells[frame - 1][..], &frames.cells[frame][..]);
    let differs = |frame: usize| difference(pair(frame).0, pair(frame).1);
    if !frames.steady[at] {
        return None;
    }
    let (mut first, mut last, _) = differs(at)?;
    let step = shift.unsigned_abs() as usize;
    // A band with a single change is narrower than any motion. It is widened to the shift.
    last = (last.max(first + step)).min(frames.cells[at].len() - 1);
    first = first.min(last.saturating_sub(step));
    let fits = |frame: usize, first, last| moved(pair(frame).0, pair(frame).1, first, last, shift);
    if !fits(at, first, last) {
        return None;
    }
    let (mut moves, mut end, mut plain, mut last_change) = (vec![at], at + 1, 0, at);
    while end < frames.cells.len() && frames.steady[end] {
        match differs(end) {
            None if fits(end, first, last) && moves.last() == Some(&(end - 1)) => moves.push(end),
            None => {}
            Some((from, to, count)) => {
                let wider = (first.min(from), last.max(to));
                let checked = if wider == (first, last) { &[][..] } else { &moves[..] };
                if wider.1 - wider.0 >= WIDEST_BAND
                    || !fits(end, wider.0, wider.1)
                    || !checked.iter().all(|frame| fits(*frame, wider.0, wider.1))
                {
                    break;
                }
                (first, last) = wider;
                moves.push(end);
                last_change = end;
                plain += count + WINDOW_BYTES;
            }
        }
        end += 1;
    }
    moves.retain(|frame| *frame <= last_change);
    let strip = (last - first + 1) + step * (moves.len() - 1);
    let saving = plain.checked_sub(strip + MOTION_BYTES).filter(|saving| *saving > 0)?;
    (moves.len() >= FEWEST_FRAMES).then_some(Run {
        shift,
        first_column: first,
        last_column: last,
        moves,
        end: last_change + 1,
        saving,
    })
}

impl Run {
    /// Bus time of its bands minus that of windows over the changed cells, in nanoseconds. Negative if bands are cheaper.
    fn extra_bus(&self, frames: &PageFrames, planner: &Planner) -> i64 {
        let cost = &planner.cost;
        let bus = cost.of_bus_alone();
        let band = cost.run((self.last_column - self.first_column + 1) as u64);
        let more = |frame: &usize| {
            let (before, now) = (&frames.cells[frame - 1], &frames.cells[*frame]);
            let changed: Vec<usize> = (0..now.len()).filter(|column| before[*column] != now[*column]).collect();
            let ours = if planner.changes { changes_cost(&changed, cost) } else { band };
            ours.cast_signed() - runs_price(&changed, &bus).cast_signed()
        };
        self.moves.iter().map(more).sum()
    }

    fn motion(&self, frames: &PageFrames, page: usize, changes: bool) -> Motion {
        let (first, last) = (self.first_column, self.last_column);
        let step = self.shift.unsigned_abs() as usize;
        // What is shown before the first move is one more part of the strip.
        let before = changes.then(|| self.moves[0] - 1);
        let shown: Vec<usize> = before.into_iter().chain(self.moves.iter().copied()).collect();
        let mut strip = frames.cells[shown[0]][first..=last].to_vec();
        for frame in &shown[1..] {
            let band = &frames.cells[*frame][first..=last];
            if self.shift > 0 {
                strip.extend(&band[band.len() - step..]);
            } else {
                strip.splice(0..0, band[..step].iter().copied());
            }
        }
        let width = last - first + 1;
        let backwards = self.shift < 0;
        if backwards {
            strip.reverse();
        }
        let (mut strip, mut places) = shortened(&strip, width, step);
        if backwards {
            strip.reverse();
            places.iter_mut().for_each(|place| *place = strip.len() - width - *place);
        }
        let places = places.into_iter().skip(shown.len() - self.moves.len());
        let frames = self.moves.iter().copied().zip(places).collect();
        Motion { page, first_column: first, last_column: last, shift: limited(self.shift), strip, frames }
    }
}

/// Shortens a strip that comes back to what it showed before. Returns the bytes to store, and the offset of each part in them.
/// `width` bytes are shown at a time, and each part begins `step` bytes after the one before. One step before each part, except the
/// first, the stored bytes also contain the part before it.
fn shortened(strip: &[u8], width: usize, step: usize) -> (Vec<u8>, Vec<usize>) {
    let mut kept = strip[..width].to_vec();
    let mut places = vec![0];
    while places.len() * step + width <= strip.len() {
        let (number, place) = (places.len(), places[places.len() - 1]);
        // At the end of the stored bytes, the strip can continue as it did after an earlier place with the same bytes. That
        // continuation ends at the same place again, or at the end of the strip.
        let coming = &strip[(number - 1) * step..];
        let goes_on = |from: usize| {
            let alike = kept[from..].iter().zip(coming).take_while(|(a, b)| a == b).count();
            let steps = alike.checked_sub(width).map_or(0, |more| more / step);
            let whole = alike == kept.len() - from || alike == coming.len();
            (if whole { steps } else { 0 }, std::cmp::Reverse(from))
        };
        let round = (0..place).step_by(step).map(goes_on).max().filter(|(steps, _)| steps * step > ROUND_BYTES);
        match round {
            Some((steps, std::cmp::Reverse(from))) => places.extend((1..=steps).map(|at| from + at * step)),
            None => {
                kept.extend(&strip[(number - 1) * step + width..number * step + width]);
                places.push(place + step);
            }
        }
    }
    (kept, places)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_shortened_strip_shows_all_its_stretches_and_before_each_the_one_before(
            lead in prop::collection::vec(0u8..3, 0..30), round in prop::collection::vec(0u8..3, 1..60),
            rounds in 1usize..5, width in 1usize..40, step in 1usize..4,
        ) {
            let mut strip = lead;
            (0..rounds).for_each(|_| strip.extend(&round));
            prop_assume!(strip.len() >= width);
            strip.truncate(width + (strip.len() - width) / step * step);
            let (kept, places) = shortened(&strip, width, step);
            prop_assert!(kept.len() <= strip.len());
            prop_assert_eq!(places.len(), (strip.len() - width) / step + 1);
            for (number, place) in places.iter().enumerate() {
                let stretch = |number: usize| &strip[number * step..][..width];
                prop_assert_eq!(&kept[*place..][..width], stretch(number));
                if number > 0 {
                    prop_assert_eq!(&kept[place - step..][..width], stretch(number - 1));
                }
            }
        }
    }
}
