//! Decodes SPI: bits as the clock rises, the highest first; D/C with the eighth, or a bit of its own before them (SSD1306 data sheet
//! Rev 1.5 §8.1.3 and §8.1.4).

use super::decoded::{Decoded, Event, usual};
use super::lines::SpiLines;
use super::trace::Trace;

/// Bits of a byte with a D/C line, and of one without.
const BITS: u32 = 8;
const BITS_WITH_DATA_COMMAND: u32 = 9;
/// Without chip select, a pause of this number of clocks ends a byte.
const PAUSE: u64 = 4;

/// Decodes the lines. Without chip select, bytes begin after pauses of the clock.
pub fn decode(trace: &Trace, lines: &SpiLines) -> Decoded {
    let SpiLines { clock, data, data_command, select } = *lines;
    let of_a_byte = if data_command.is_some() { BITS } else { BITS_WITH_DATA_COMMAND };
    let period = period(trace, clock);
    let mut decoded = Decoded { spi: true, period, ..Decoded::default() };
    let high = |levels: u64, line: usize| levels >> line & 1 == 1;
    let Some(first) = trace.rows.first() else { return decoded };
    let mut before = first.levels;
    let (mut selected, mut bits, mut count, mut last) = (select.is_none_or(|line| !high(before, line)), 0u32, 0, None);
    // A capture that begins within a byte waits for chip select or a pause.
    let mut waiting = selected;
    for row in trace.rows.iter().skip(1) {
        let (now, time) = (row.levels, row.time);
        let select_level = select.map(|line| high(now, line));
        // Chip select that falls comes first, one that rises last: in mode 3 the clock may change with it.
        if select_level == Some(false) && !selected {
            decoded.events.push(Event::Selected { time });
            (selected, bits, count, waiting) = (true, 0, 0, false);
        }
        if high(now, clock) && !high(before, clock) && selected {
            let paused = select.is_none() && last.is_none_or(|last| time - last > PAUSE * period.max(1));
            if paused {
                if count > 0 && !waiting {
                    decoded.events.push(Event::Broken { time, bits: count });
                }
                decoded.events.push(Event::Selected { time });
                (bits, count, waiting) = (0, 0, false);
            }
            last = Some(time);
            bits = bits << 1 | u32::from(high(now, data));
            count += 1;
            if count == of_a_byte {
                if !waiting {
                    let data = data_command.map_or(bits >> BITS == 1, |line| high(now, line));
                    decoded.events.push(Event::SpiByte { time, value: bits.to_le_bytes()[0], data });
                }
                (bits, count) = (0, 0);
            }
        }
        if select_level == Some(true) && selected {
            if count > 0 && !waiting {
                decoded.events.push(Event::Broken { time, bits: count });
            }
            decoded.events.push(Event::Released { time });
            selected = false;
        }
        before = now;
    }
    decoded
}

/// The time from one rise of the clock to the next that is met most.
fn period(trace: &Trace, clock: usize) -> u64 {
    let rises: Vec<u64> = trace.edges(clock).iter().skip(1).filter(|edge| edge.1).map(|edge| edge.0).collect();
    usual(rises.windows(2).map(|pair| pair[1] - pair[0]).collect())
}
