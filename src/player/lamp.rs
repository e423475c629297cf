// Lamps: the level of a lamp over time, from a table in flash that was made from the script. A call reads one level and returns.
// It needs no RAM.
//
// Caution: each lamp needs its series resistor. A pin can drive only a few milliamperes: the data sheet of the microcontroller gives the
// limits of each pin and of all pins together. A larger load needs a transistor. Light that flashes more than three times a second
// can harm photosensitive people.

/// Bit of a step that has its level from the start. With the duration 0 it is the last one.
const AT_ONCE: u8 = 0x80;

/// Returns the level, 0 to 255, `elapsed` milliseconds after the pattern began. A table: the period in milliseconds (3 bytes; 0 if the
/// pattern plays once); the level at its start; then steps of 3 bytes: the duration in milliseconds (15 bits) and the level at the end
/// of the step.
pub fn level(lamp: &[u8], elapsed: u32) -> u8 {
    let [low, middle, high, start, steps @ ..] = lamp else { return 0 };
    let period = *low as u32 | (*middle as u32) << 8 | (*high as u32) << 16;
    let mut elapsed = if period == 0 { elapsed } else { elapsed % period };
    let (mut level, mut steps) = (*start, steps);
    while let [low, high, next, more @ ..] = steps {
        let duration = ((*high & !AT_ONCE) as u32) << 8 | *low as u32;
        if *high & AT_ONCE != 0 {
            level = *next;
            if duration == 0 {
                return level;
            }
        }
        if elapsed < duration {
            let way = next.abs_diff(level) as u32;
            let gone = ((way * elapsed + duration / 2) / duration) as u8;
            return if *next > level { level + gone } else { level - gone };
        }
        elapsed -= duration;
        level = *next;
        steps = more;
    }
    level
}
