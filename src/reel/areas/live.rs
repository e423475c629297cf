//! Layers that follow live values: their pictures at all steps, and phases as the sum of a course and a part of each value.

use super::cut::PixelRectangle;
use super::layers::InkColumns;
use super::sheet::{Sheet, all_pictures, sheets};
use crate::player::live::{EACH_STEP, HIGH, MOST_PARTS};
use crate::whole::limited;
use std::collections::HashMap;

/// The largest number of pictures that are drawn of a live layer: steps × frames.
pub const MOST_DRAWN: usize = 20_000;
/// The largest number of different pictures of a live layer.
pub const MOST_PICTURES: usize = 4_096;

/// A layer at all steps of the live values that it follows.
#[derive(Clone, Debug)]
pub struct LiveInk {
    /// The values that it follows, each with its number of steps (the lowest value is not counted as a step).
    pub values: Vec<(usize, usize)>,
    /// Its pictures at all steps, moment after moment. The step of the first value counts fastest.
    pub pictures: Vec<InkColumns>,
    /// For each frame of the scene, which of these moments it shows.
    pub times: Vec<usize>,
}

/// What a live value adds to the phase of an area at each step.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct LivePart {
    pub value: usize,
    pub steps: Vec<u16>,
}

/// The operand of a part: what each step adds, or a table with a byte for each step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PartOperand {
    EachStep(u16),
    Steps(Vec<u8>),
}

/// Encodes the parts of a phase: number of the live value with its form, and operand. If steps do not all add the same, there is
/// one part for low bytes and one for high bytes.
pub fn entries(parts: &[LivePart]) -> Vec<(u8, PartOperand)> {
    let of = |LivePart { value, steps }: &LivePart| {
        let (number, each): (u8, u16) = (limited(*value), steps.get(1).copied().unwrap_or(0));
        if (0u16..).zip(steps).all(|(step, phase)| *phase == step.wrapping_mul(each)) {
            return vec![(number | EACH_STEP, PartOperand::EachStep(each))];
        }
        let bytes = |at: usize| steps.iter().map(|phase| phase.to_le_bytes()[at]).collect::<Vec<u8>>();
        let both = [(number, bytes(0)), (number | HIGH, bytes(1))].into_iter();
        let used = both.filter(|(_, table)| table.iter().any(|byte| *byte != 0));
        used.map(|(form, table)| (form, PartOperand::Steps(table))).collect()
    };
    parts.iter().flat_map(of).collect()
}

/// The number of pictures of a layer at all steps of these values.
pub fn combinations(values: &[(usize, usize)]) -> usize {
    values.iter().fold(1, |all, (_, steps)| all.saturating_mul(steps + 1))
}

/// The step of each value in a combination.
pub fn steps_at(values: &[(usize, usize)], combination: usize) -> Vec<usize> {
    let mut rest = combination;
    let step = |(_, steps): &(usize, usize)| {
        let step = rest % (steps + 1);
        rest /= steps + 1;
        step
    };
    values.iter().map(step).collect()
}

impl LiveInk {
    /// Makes the ink from the pictures of each frame. Equal moments are stored once.
    pub fn of(values: Vec<(usize, usize)>, frames: Vec<Vec<InkColumns>>) -> Self {
        let mut known: HashMap<Vec<InkColumns>, usize> = HashMap::new();
        let (mut pictures, mut times) = (Vec::new(), Vec::new());
        for frame in frames {
            let next = known.len();
            let time = *known.entry(frame.clone()).or_insert(next);
            if time == next {
                pictures.extend(frame);
            }
            times.push(time);
        }
        Self { values, pictures, times }
    }

    /// Returns the sheets that show it through a rectangle, with the phase of each frame and a part for each live value.
    pub fn sheets(&self, rectangle: &PixelRectangle) -> Vec<Sheet> {
        let found = sheets(&self.pictures, rectangle).into_iter();
        found.chain([all_pictures(&self.pictures, rectangle)]).filter_map(|sheet| self.parted(sheet)).collect()
    }

    /// Splits the phase of a sheet into that of a moment and a part for each value. `None` if this is not possible.
    fn parted(&self, sheet: Sheet) -> Option<Sheet> {
        let all = combinations(&self.values);
        let mut stride = 1;
        let part = |(value, steps): &(usize, usize)| {
            let at = |step: usize| sheet.phases[step * stride].wrapping_sub(sheet.phases[0]);
            let part = LivePart { value: *value, steps: (0..=*steps).map(at).collect() };
            stride *= steps + 1;
            part
        };
        let parts: Vec<LivePart> = self.values.iter().map(part).collect();
        let sum = |combination: usize| {
            let steps = steps_at(&self.values, combination);
            parts.iter().zip(steps).fold(0u16, |sum, (part, step)| sum.wrapping_add(part.steps[step]))
        };
        let base = |time: usize| sheet.phases[time * all];
        let fits = entries(&parts).len() <= MOST_PARTS
            && sheet.phases.iter().enumerate().all(|(at, phase)| *phase == base(at / all).wrapping_add(sum(at % all)));
        let phases = self.times.iter().map(|time| base(*time)).collect();
        fits.then_some(Sheet { phases, parts, ..sheet })
    }
}
