//! Decodes I²C: START, repeated START, STOP, bytes with their acknowledge, stretched clocks, glitches (UM10204 Rev 7.0 §3.1).

use super::decoded::{Decoded, Event, median, usual};
use super::trace::{PICOSECONDS_A_NANOSECOND, Trace, without_glitches};

/// Receivers of Fast-mode ignore pulses up to 50 ns (UM10204 Rev 7.0 Table 10, tSP).
const GLITCH: u64 = 50 * PICOSECONDS_A_NANOSECOND;
/// A clock that is low for this multiple of its usual low time was stretched.
const STRETCHED: u64 = 3;
const BITS: u32 = 9;

/// What is known within a transaction.
#[derive(Default)]
struct Shift {
    open: bool,
    bits: u32,
    count: u32,
    /// When START came, until the address is through.
    start: Option<u64>,
}

/// Decodes the two lines. Where both change at once, the data line is taken to change while the clock is low.
pub fn decode(trace: &Trace, clock: usize, data: usize) -> Decoded {
    let (clocks, dropped_clocks) = without_glitches(&trace.edges(clock), GLITCH);
    let (datas, dropped_datas) = without_glitches(&trace.edges(data), GLITCH);
    let mut decoded = Decoded { glitches: dropped_clocks + dropped_datas, ..Decoded::default() };
    let (mut scl, mut sda) = (level(&clocks), level(&datas));
    let (mut at, mut of) = (1.min(clocks.len()), 1.min(datas.len()));
    let (mut shift, mut rises, mut lows, mut fell) = (Shift::default(), Vec::new(), Vec::new(), None::<u64>);
    let mut rose = None::<u64>;
    while at < clocks.len() || of < datas.len() {
        let (next_clock, next_data) = (clocks.get(at).map(|edge| edge.0), datas.get(of).map(|edge| edge.0));
        let time = next_clock.unwrap_or(u64::MAX).min(next_data.unwrap_or(u64::MAX));
        let clock_changes = next_clock == Some(time);
        let data_changes = next_data == Some(time);
        if data_changes && !clock_changes && scl {
            let was = sda;
            sda = !sda;
            ends(time, was, &mut shift, &mut decoded);
            rose = None;
        } else if data_changes {
            sda = !sda;
        }
        of += usize::from(data_changes);
        if clock_changes {
            at += 1;
            scl = !scl;
            if scl {
                lows.extend(fell.filter(|_| shift.open && shift.count > 0).map(|fell| time - fell));
                rises.extend(rose.filter(|_| shift.open && shift.count > 0).map(|rose| time - rose));
                rose = Some(time);
                bit(time, sda, &mut shift, &mut decoded);
            } else {
                fell = Some(time);
            }
        }
    }
    decoded.period = usual(rises);
    let usual = median(lows.clone()).max(1);
    let held = lows.iter().filter(|low| **low > STRETCHED * usual);
    decoded.stretched = crate::whole::limited(held.clone().count());
    decoded.longest_stretch = held.max().map_or(0, |low| low - usual);
    decoded
}

fn level(edges: &[(u64, bool)]) -> bool {
    edges.first().is_none_or(|edge| edge.1)
}

/// The data line changes while the clock is high: START when it falls, STOP when it rises.
fn ends(time: u64, falls: bool, shift: &mut Shift, decoded: &mut Decoded) {
    // The clock's rise before START or STOP counted as a bit.
    if shift.open && shift.count > 1 {
        decoded.events.push(Event::Broken { time, bits: shift.count - 1 });
    }
    if falls {
        *shift = Shift { open: true, start: Some(time), ..Shift::default() };
    } else {
        if shift.open && shift.start.is_none() {
            decoded.events.push(Event::Stop { time });
        }
        *shift = Shift::default();
    }
}

fn bit(time: u64, high: bool, shift: &mut Shift, decoded: &mut Decoded) {
    if !shift.open {
        return;
    }
    shift.bits = shift.bits << 1 | u32::from(high);
    shift.count += 1;
    if shift.count < BITS {
        return;
    }
    let ([value, ..], acknowledged) = ((shift.bits >> 1).to_le_bytes(), shift.bits & 1 == 0);
    decoded.events.push(match shift.start.take() {
        Some(start) => Event::Start { time: start, address: value >> 1, read: value & 1 == 1, acknowledged },
        None => Event::Byte { time, value, acknowledged },
    });
    (shift.bits, shift.count) = (0, 0);
}
