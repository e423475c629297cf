// Live values: numbers that firmware sets. Areas and the contrast of the display can follow them. A value has a range, and the
// range is drawn in steps. The phase of an area is that of its course plus a part for each live value that it follows.

use super::bus::Work;
use super::reel::{HEADER_SCENES, HEADER_SET_UP, HEADER_TABLES, HEADER_TRIGGERS, byte, word};
use core::sync::atomic::{AtomicI16, Ordering};

/// Bytes of a live value in a reel: 0–1 value at the start, 2–3 highest value, 4–5 lowest value, 6–7 factor. The values are stored
/// before the set-up, in reverse order. The step of a value is (value − lowest) × factor / 65,536, rounded.
pub const VALUE_BYTES: u16 = 8;
const HIGHEST: u16 = 2;
const LOWEST: u16 = 4;
const FACTOR: u16 = 6;
const HALF: u32 = 0x8000;

/// What live values add to the phase of an area is stored before its course: three bytes for each value that the area follows. They
/// are the number of the value with the form in the upper two bits, and an operand of 16 bits.
const PART_BYTES: u16 = 3;
/// Shift of the number of live values in the kind of an area.
pub const PARTS_SHIFT: u32 = 5;
/// The largest number of live values that one area follows.
pub const MOST_PARTS: usize = 7;
/// Form: the step times the operand is added. Without it, the operand is the offset of a table with a byte for each step.
pub const EACH_STEP: u8 = 0x80;
/// Form: 256 times the byte of the table is added.
pub const HIGH: u8 = 0x40;
/// Bits of the number of the live value.
pub const NUMBER: u8 = 0x3F;

/// The step of a value that is `above` the lowest one.
pub const fn step(above: u16, factor: u16) -> u8 {
    ((above as u32 * factor as u32 + HALF) >> 16) as u8
}

/// A source of live values.
pub trait Values {
    /// A value; `None` while it is at its start.
    fn value(&self, number: usize) -> Option<i16>;
}

/// The live values of a show, such as `static LIVE: LiveValues = LiveValues::new(&helm::LIVE_LIMITS)`. Values are atomic: you can
/// set them from the main loop or from an interrupt. They do not change when the scene changes.
pub struct LiveValues<const N: usize> {
    limits: &'static [[i16; 3]],
    values: [AtomicI16; N],
}

impl<const N: usize> LiveValues<N> {
    /// Sets all values to those at the start of the show. The limits of a value are lowest, highest and start; at most `N` are used.
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

    /// Sets a live text, by its table. Text beyond its width is cut off. Characters that the script does not list stay empty.
    pub fn set_text(&self, table: &[u8], text: &[u8]) {
        let at = |place: usize| table.get(place).copied().unwrap_or(0);
        let (count, codes) = (at(1) as usize, table.get(4..).unwrap_or_default());
        let length = text.len().min(count);
        let before = (count - length) * at(2) as usize / 2;
        for cell in 0..count {
            let letter = cell.checked_sub(before).filter(|place| *place < length).and_then(|place| text.get(place));
            let number =
                letter.and_then(|letter| codes.iter().position(|code| code == letter)).map_or(0, |code| code + 1);
            self.set(at(0) as usize + cell, number as i16);
        }
    }

    /// Returns a value as it was set; 0 if there is no such value.
    pub fn get(&self, number: usize) -> i16 {
        self.values.get(number).map_or(0, |own| own.load(Ordering::Relaxed))
    }
}

/// The peak of a value, for a second live value: the highest recent value, which is held for a while and then falls steadily.
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

    /// Takes a value and returns the peak. The peak is held for `hold` ms, then it falls by 1 every `fall` ms, but never below the
    /// value. Both times are 30,000 at most. `now` is a clock in milliseconds that may wrap. Call this at least every 2 seconds.
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

/// The place of something that moves at a speed which the firmware sets, such as a marquee, for a live value of its own.
pub struct Way {
    place: u16,
    last: u16,
    rest: i32,
}

impl Way {
    /// At the first place.
    #[allow(clippy::new_without_default)]
    pub const fn new() -> Self {
        Self { place: 0, last: 0, rest: 0 }
    }

    /// Moves on at `speed` places a second, −1,000 to 1,000, and returns the place: 0 to `places` − 1. After the last place comes the
    /// first. `places` is 32,767 at most; with 0 places nothing moves. `now` is a clock in milliseconds that may wrap. Call this at least
    /// every 2 seconds.
    pub fn move_on(&mut self, speed: i16, now: u16, places: u16) -> i16 {
        let passed = now.wrapping_sub(self.last);
        self.last = now;
        if places == 0 {
            return self.place as i16;
        }
        self.rest += speed as i32 * passed as i32;
        while self.rest >= 1000 {
            self.rest -= 1000;
            self.place += 1;
            if self.place >= places {
                self.place = 0;
            }
        }
        while self.rest < 0 {
            self.rest += 1000;
            if self.place == 0 {
                self.place = places;
            }
            self.place -= 1;
        }
        self.place as i16
    }
}

/// With `None`, all values are those at the start of the show.
impl<const N: usize> Values for Option<&LiveValues<N>> {
    fn value(&self, number: usize) -> Option<i16> {
        self.filter(|values| number < values.limits.len()).map(|values| values.get(number))
    }
}

/// What areas know of live values.
pub trait Live {
    /// Whether there are charts, which keep their latest values.
    const KEEPS: bool;
    /// Copies the values for a frame; `worked` counts the work.
    fn take(&mut self, reel: &[u8], worked: &mut impl FnMut(Work));
    /// The phase of an area without live values.
    fn base(&mut self, area: usize) -> Option<&mut u16>;
    /// The step of a value.
    fn step(&self, number: u8) -> u8;
    /// The memory in which charts keep values.
    fn memory(&mut self) -> &mut [u8];
    /// The same memory, read-only.
    fn kept(&self) -> &[u8];

    /// The step of the last live value of an area with this kind and this offset of its course; 0 if it follows none.
    fn last_step(&self, reel: &[u8], (kind, course): (u8, u16)) -> u8 {
        if kind >> PARTS_SHIFT == 0 {
            return 0;
        }
        self.step(byte(reel, course.wrapping_sub(PART_BYTES)) & NUMBER)
    }

    /// Adds the parts of live values to the phase of an area with this kind and this offset of its course.
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

/// The number of live values of a reel. They are stored between its tables and its set-up.
fn values_of(reel: &[u8]) -> usize {
    let scenes = byte(reel, HEADER_SCENES) as u16;
    let tables = HEADER_TABLES.wrapping_add(scenes.wrapping_mul(2 + byte(reel, HEADER_TRIGGERS) as u16));
    (word(reel, HEADER_SET_UP).wrapping_sub(tables) / VALUE_BYTES) as usize
}

/// The step of the live value with this number; 0 if the reel has no such value. `None` means the value at the start.
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

/// The live values that areas follow, copied for each frame: up to `N` values and `AREAS` areas. Charts keep `KEPT` bytes.
pub struct Watched<V, const AREAS: usize, const N: usize, const KEPT: usize = 0> {
    /// The values.
    pub values: V,
    steps: [u8; N],
    bases: [u16; AREAS],
    kept: [u8; KEPT],
}

impl<V, const AREAS: usize, const N: usize, const KEPT: usize> Watched<V, AREAS, N, KEPT> {
    /// The state before the first frame.
    pub const fn new(values: V) -> Self {
        Self { values, steps: [0; N], bases: [0; AREAS], kept: [0; KEPT] }
    }
}

impl<V: Values, const AREAS: usize, const N: usize, const KEPT: usize> Live for Watched<V, AREAS, N, KEPT> {
    const KEEPS: bool = KEPT > 0;

    fn take(&mut self, reel: &[u8], worked: &mut impl FnMut(Work)) {
        for number in 0..N {
            // A player for several shows has room for more values than this show may have. No area follows the others.
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
