// Live values: numbers that firmware sets and areas show. A value lies in a range and is drawn in steps; an area's phase is what its
// course says and, for each of its live values, a part that follows from the step.

use super::bus::Work;
use super::reel::{HEADER_SCENES, HEADER_SET_UP, HEADER_TABLES, HEADER_TRIGGERS, byte, word};
use core::sync::atomic::{AtomicI16, Ordering};

/// In a reel the live values stand before the set-up, the first one last: 0–1 lowest value, 2–3 range, 4–5 factor, 6–7 how far the
/// first value is above the lowest. A step is so many 2⁻¹⁶ of a value above the lowest as the factor says, rounded.
pub const VALUE_BYTES: u16 = 8;
const RANGE: u16 = 2;
const FACTOR: u16 = 4;
const START: u16 = 6;
const HALF: u32 = 0x8000;

/// Before the course of an area whose kind says so stand the parts of its phase, and how many there are: number of the live value and
/// form, operand. The operand is the part of each step, or where the parts of all steps stand, as bytes or as words.
const PART_BYTES: u16 = 3;
/// The operand is where the parts of all steps stand.
pub const EACH_STEP: u8 = 0x80;
/// They stand there as bytes.
pub const BYTES: u8 = 0x40;
/// The bits of the value's number.
pub const NUMBER: u8 = 0x3F;

/// The step of a value so far above the lowest.
pub const fn step(above: u16, factor: u16) -> u8 {
    ((above as u32 * factor as u32 + HALF) >> 16) as u8
}

/// Where the values are.
pub trait Values {
    /// A value; `None` while it is at its start.
    fn value(&self, number: usize) -> Option<i16>;
}

/// The live values of a show, such as `static LIVE: LiveValues = LiveValues::new(&helm::LIVE_LIMITS)`. Each is read and written in
/// one piece, so they may be set from the main loop or from an interrupt. They stay as they are while scenes change.
pub struct LiveValues<const N: usize> {
    limits: &'static [[i16; 3]],
    values: [AtomicI16; N],
}

impl<const N: usize> LiveValues<N> {
    /// Values at their start; of each the limits are the lowest value, the highest, and the start. There may be fewer than `N`.
    pub const fn new(limits: &'static [[i16; 3]]) -> Self {
        let mut values = [const { AtomicI16::new(0) }; N];
        let mut number = 0;
        while number < N && number < limits.len() {
            values[number] = AtomicI16::new(limits[number][2]);
            number += 1;
        }
        Self { limits, values }
    }

    /// Sets a value; one beyond its limits counts as the nearest. It takes effect with the next frame.
    pub fn set(&self, number: usize, value: i16) {
        if let (Some([lowest, highest, _]), Some(own)) = (self.limits.get(number), self.values.get(number)) {
            let value = if value > *highest { *highest } else { value };
            own.store(if value < *lowest { *lowest } else { value }, Ordering::Relaxed);
        }
    }

    /// A value as it is set; 0 if there is none.
    pub fn get(&self, number: usize) -> i16 {
        self.values.get(number).map_or(0, |own| own.load(Ordering::Relaxed))
    }
}

/// Where there are none, all are at their start.
impl<const N: usize> Values for Option<&LiveValues<N>> {
    fn value(&self, number: usize) -> Option<i16> {
        self.filter(|values| number < values.limits.len()).map(|values| values.get(number))
    }
}

/// What areas know of live values.
pub trait Live {
    /// Whether there may be any.
    const ANY: bool;
    /// Takes up the values for a frame; `worked` counts the work.
    fn take(&mut self, reel: &[u8], worked: &mut impl FnMut(Work));
    /// The phase of an area by its course alone.
    fn base(&mut self, area: usize) -> Option<&mut u16>;
    /// The step of a value.
    fn step(&self, number: u8) -> u8;

    /// The phase of an area whose course is at an offset, by its live values too.
    fn phase(&self, reel: &[u8], course: u16, base: u16, worked: &mut impl FnMut(Work)) -> u16 {
        let end = course.wrapping_sub(1);
        let (mut phase, mut left) = (base, byte(reel, end));
        let mut at = end.wrapping_sub(PART_BYTES * left as u16);
        while left > 0 {
            worked(Work::LivePart);
            let (form, operand) = (byte(reel, at), word(reel, at.wrapping_add(1)));
            let step = self.step(form & NUMBER) as u16;
            phase = phase.wrapping_add(if form & EACH_STEP != 0 {
                operand.wrapping_mul(step)
            } else if form & BYTES != 0 {
                byte(reel, operand.wrapping_add(step)) as u16
            } else {
                word(reel, operand.wrapping_add(2 * step))
            });
            at = at.wrapping_add(PART_BYTES);
            left -= 1;
        }
        phase
    }
}

/// How many live values a reel has: they stand between its tables and its set-up.
fn values_of(reel: &[u8]) -> usize {
    let scenes = byte(reel, HEADER_SCENES) as u16;
    let tables = HEADER_TABLES.wrapping_add(scenes.wrapping_mul(2 + byte(reel, HEADER_TRIGGERS) as u16));
    (word(reel, HEADER_SET_UP).wrapping_sub(tables) / VALUE_BYTES) as usize
}

/// No live values.
pub struct Still;

impl Live for Still {
    const ANY: bool = false;
    fn take(&mut self, _: &[u8], _: &mut impl FnMut(Work)) {}
    fn base(&mut self, _: usize) -> Option<&mut u16> {
        None
    }
    fn step(&self, _: u8) -> u8 {
        0
    }
}

/// Live values, as the areas of a scene take them up frame by frame; up to so many areas and values.
pub struct Watched<V, const AREAS: usize, const N: usize> {
    /// The values.
    pub values: V,
    steps: [u8; N],
    bases: [u16; AREAS],
}

impl<V, const AREAS: usize, const N: usize> Watched<V, AREAS, N> {
    /// Before the first frame.
    pub const fn new(values: V) -> Self {
        Self { values, steps: [0; N], bases: [0; AREAS] }
    }
}

impl<V: Values, const AREAS: usize, const N: usize> Live for Watched<V, AREAS, N> {
    const ANY: bool = true;

    fn take(&mut self, reel: &[u8], worked: &mut impl FnMut(Work)) {
        let mut at = word(reel, HEADER_SET_UP);
        for number in 0..N {
            // A player built for several shows has room for more than this one may have; no area follows those.
            if number < values_of(reel) {
                worked(Work::LiveValue);
            }
            at = at.wrapping_sub(VALUE_BYTES);
            let (lowest, range) = (word(reel, at), word(reel, at.wrapping_add(RANGE)));
            let above = match self.values.value(number) {
                None => word(reel, at.wrapping_add(START)),
                Some(value) if value < lowest as i16 => 0,
                Some(value) => range.min((value as u16).wrapping_sub(lowest)),
            };
            self.steps[number] = step(above, word(reel, at.wrapping_add(FACTOR)));
        }
    }

    fn base(&mut self, area: usize) -> Option<&mut u16> {
        self.bases.get_mut(area)
    }

    fn step(&self, number: u8) -> u8 {
        self.steps.get(number as usize).copied().unwrap_or(0)
    }
}
