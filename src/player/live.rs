// Live values: numbers that firmware sets, and areas or the contrast of the display follow. A value lies in a range and is drawn in steps; an area's phase is what its
// course says and, for each of its live values, a part that follows from the step.

use super::bus::Work;
use super::reel::{HEADER_SCENES, HEADER_SET_UP, HEADER_TABLES, HEADER_TRIGGERS, byte, word};
use core::sync::atomic::{AtomicI16, Ordering};

/// In a reel the live values stand before the set-up, the first one last: 0–1 its start, 2–3 highest and 4–5 lowest value, 6–7 factor.
/// A step is so many 2⁻¹⁶ of a value above the lowest as the factor says, rounded.
pub const VALUE_BYTES: u16 = 8;
const HIGHEST: u16 = 2;
const LOWEST: u16 = 4;
const FACTOR: u16 = 6;
const HALF: u32 = 0x8000;

/// Before the course of an area stand the parts that live values have in its phase, as many as the upper bits of its kind say: number
/// of the live value and form, operand. The operand is the part of each step, or where a byte for each step stands.
const PART_BYTES: u16 = 3;
/// The bits of a kind below that number, and the most parts.
pub const PARTS_SHIFT: u32 = 5;
/// The most parts of a phase.
pub const MOST_PARTS: usize = 7;
/// The operand is the part of each step.
pub const EACH_STEP: u8 = 0x80;
/// The bytes are high ones.
pub const HIGH: u8 = 0x40;
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

    /// Sets a value. A value outside its range is replaced by the nearest value of the range. It takes effect with the next frame.
    pub fn set(&self, number: usize, value: i16) {
        if let (Some([lowest, highest, _]), Some(own)) = (self.limits.get(number), self.values.get(number)) {
            let value = if value > *highest { *highest } else { value };
            own.store(if value < *lowest { *lowest } else { value }, Ordering::Relaxed);
        }
    }

    /// Sets a live text, by its table. Text beyond its width is cut off. Characters that it does not have stay empty.
    pub fn set_text(&self, table: &[u8], text: &[u8]) {
        let at = |place: usize| table.get(place).copied().unwrap_or(0);
        let (count, codes) = (at(1) as usize, table.get(4..).unwrap_or_default());
        let length = text.len().min(count);
        let before = (count - length) * at(2) as usize / 2;
        for cell in 0..count {
            let letter = cell.checked_sub(before).filter(|place| *place < length).and_then(|place| text.get(place));
            let number = letter.and_then(|letter| codes.iter().position(|code| code == letter)).map_or(0, |code| code + 1);
            self.set(at(0) as usize + cell, number as i16);
        }
    }

    /// Returns a value as it was set; 0 if there is no such value.
    pub fn get(&self, number: usize) -> i16 {
        self.values.get(number).map_or(0, |own| own.load(Ordering::Relaxed))
    }
}

/// The peak of a value, for a live value of its own: the highest of late, held for a while, then falling evenly. It is no part of the
/// player.
pub struct Peak {
    value: i16,
    due: u16,
}

impl Peak {
    /// No value yet.
    #[allow(clippy::new_without_default)]
    pub const fn new() -> Self {
        Self { value: i16::MIN, due: 0 }
    }

    /// Takes up a value and returns the peak, which is held `hold` ms and then falls by 1 each `fall` ms, never below the value. Both
    /// are up to 30,000. `now` is a clock in milliseconds that may wrap; call it at least every 2 seconds.
    pub fn hold(&mut self, value: i16, now: u16, hold: u16, fall: u16) -> i16 {
        if value >= self.value {
            (self.value, self.due) = (value, now.wrapping_add(hold));
        }
        while self.value > value && now.wrapping_sub(self.due) < 0x8000 {
            self.value -= 1;
            self.due = self.due.wrapping_add(fall);
        }
        self.value
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
    /// Whether charts keep values.
    const KEEPS: bool;
    /// Takes up the values for a frame; `worked` counts the work.
    fn take(&mut self, reel: &[u8], worked: &mut impl FnMut(Work));
    /// The phase of an area by its course alone.
    fn base(&mut self, area: usize) -> Option<&mut u16>;
    /// The step of a value.
    fn step(&self, number: u8) -> u8;
    /// What charts keep of values.
    fn memory(&mut self) -> &mut [u8];
    /// The same, to be read.
    fn kept(&self) -> &[u8];

    /// The step of the last live value of an area of a kind, whose course is at an offset; 0 where it has none.
    fn last_step(&self, reel: &[u8], (kind, course): (u8, u16)) -> u8 {
        if kind >> PARTS_SHIFT == 0 {
            return 0;
        }
        self.step(byte(reel, course.wrapping_sub(PART_BYTES)) & NUMBER)
    }

    /// The phase of an area of a kind, whose course is at an offset, by its live values too.
    fn phase(&self, reel: &[u8], (kind, course): (u8, u16), base: u16, worked: &mut impl FnMut(Work)) -> u16 {
        let (mut phase, mut left) = (base, kind >> PARTS_SHIFT);
        let mut at = course.wrapping_sub(PART_BYTES * left as u16);
        while left > 0 {
            worked(Work::LivePart);
            let (form, operand) = (byte(reel, at), word(reel, at.wrapping_add(1)));
            let step = self.step(form & NUMBER) as u16;
            phase = phase.wrapping_add(if form & EACH_STEP != 0 {
                operand.wrapping_mul(step)
            } else {
                (byte(reel, operand.wrapping_add(step)) as u16) << if form & HIGH != 0 { 8 } else { 0 }
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

/// The step of a value, by its number in a reel; 0 of one that the reel does not have.
pub fn step_of(reel: &[u8], number: usize, value: Option<i16>) -> u8 {
    let set_up = word(reel, HEADER_SET_UP);
    let at = set_up.wrapping_sub(VALUE_BYTES.wrapping_mul(number as u16 + 1));
    if at >= set_up || set_up as usize > reel.len() {
        return 0;
    }
    let word = |offset: u16| word(reel, at.wrapping_add(offset));
    let (value, lowest) = (value.unwrap_or(word(0) as i16), word(LOWEST) as i16);
    let value = value.min(word(HIGHEST) as i16).max(lowest);
    step(value.wrapping_sub(lowest) as u16, word(FACTOR))
}

/// No live values.
pub struct Still;

impl Live for Still {
    const KEEPS: bool = false;
    fn take(&mut self, _: &[u8], _: &mut impl FnMut(Work)) {}
    fn base(&mut self, _: usize) -> Option<&mut u16> {
        None
    }
    fn step(&self, _: u8) -> u8 {
        0
    }
    fn memory(&mut self) -> &mut [u8] {
        &mut []
    }
    fn kept(&self) -> &[u8] {
        &[]
    }
}

/// Live values, as the areas of a scene take them up frame by frame; up to so many areas and values, and so many bytes that charts keep.
pub struct Watched<V, const AREAS: usize, const N: usize, const KEPT: usize = 0> {
    /// The values.
    pub values: V,
    steps: [u8; N],
    bases: [u16; AREAS],
    kept: [u8; KEPT],
}

impl<V, const AREAS: usize, const N: usize, const KEPT: usize> Watched<V, AREAS, N, KEPT> {
    /// Before the first frame.
    pub const fn new(values: V) -> Self {
        Self { values, steps: [0; N], bases: [0; AREAS], kept: [0; KEPT] }
    }
}

impl<V: Values, const AREAS: usize, const N: usize, const KEPT: usize> Live for Watched<V, AREAS, N, KEPT> {
    const KEEPS: bool = KEPT > 0;

    fn take(&mut self, reel: &[u8], worked: &mut impl FnMut(Work)) {
        for number in 0..N {
            // A player built for several shows has room for more than this one may have; no area follows those.
            if number < values_of(reel) {
                worked(Work::LiveValue);
            }
            self.steps[number] = step_of(reel, number, self.values.value(number));
        }
    }

    fn base(&mut self, area: usize) -> Option<&mut u16> {
        self.bases.get_mut(area)
    }

    fn step(&self, number: u8) -> u8 {
        self.steps.get(number as usize).copied().unwrap_or(0)
    }

    fn memory(&mut self) -> &mut [u8] {
        &mut self.kept
    }

    fn kept(&self) -> &[u8] {
        &self.kept
    }
}
