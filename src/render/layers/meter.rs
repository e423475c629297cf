//! Level meters with a held peak, and progress in steps.

use super::figure::filled;
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::value_at;
use crate::show::{Meter, Side, Steps, Track};
use crate::whole::floored;

/// How finely the past of a value is looked through for its peak, in looks a second.
const LOOKS_A_SECOND: f64 = 50.0;

/// A level meter.
pub fn meter(layer: &Meter, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let value = value_at(&layer.value, moment.seconds).clamp(0.0, 1.0);
    let level = if layer.segments > 0 { rounded(value, layer.segments) } else { value };
    let upright = matches!(layer.from_side, Side::Top | Side::Bottom);
    let segments = layer.segments.cast_signed();
    for_pixels(filled(area, layer.from_side, level), |x, y| {
        let along = if upright { y - area.top } else { x - area.left };
        let length = if upright { area.height } else { area.width };
        // The last row of each segment but the last is its gap.
        let gap =
            segments > 0 && along + 1 < length && (along * segments) / length != ((along + 1) * segments) / length;
        if !gap {
            ink.mark(x, y);
        }
    });
    if layer.peak {
        let peak = match &layer.mark {
            Some(mark) => value_at(mark, moment.seconds).clamp(0.0, 1.0),
            None => peak(&layer.value, moment.seconds, layer.hold_seconds, layer.fall_a_second),
        };
        let peak = if layer.segments > 0 { rounded(peak, layer.segments) } else { peak };
        let reached = filled(area, layer.from_side, peak);
        if peak > 0.0 && reached.width > 0 && reached.height > 0 {
            shape::fill(ink, front(reached, layer.from_side));
        }
    }
}

fn rounded(value: f64, segments: u32) -> f64 {
    (value * f64::from(segments)).round() / f64::from(segments)
}

/// The foremost row or column of what is filled.
fn front(area: Area, side: Side) -> Area {
    match side {
        Side::Left => Area { left: area.left + area.width - 1, width: 1, ..area },
        Side::Right => Area { width: 1, ..area },
        Side::Top => Area { top: area.top + area.height - 1, height: 1, ..area },
        Side::Bottom => Area { height: 1, ..area },
    }
}

/// The highest value so far, each value held for a while and then falling evenly.
fn peak(value: &Track, seconds: f64, hold: f64, fall: f64) -> f64 {
    let longest = hold + 1.0 / fall;
    let looks = floored::<i32>(longest.min(seconds) * LOOKS_A_SECOND);
    let at = |look: i32| {
        let ago = f64::from(look) / LOOKS_A_SECOND;
        value_at(value, seconds - ago).clamp(0.0, 1.0) - (ago - hold).max(0.0) * fall
    };
    (0..=looks).map(at).fold(0.0, f64::max)
}

/// A row of boxes that fill one after another.
pub fn steps(layer: &Steps, moment: LayerMoment, ink: &mut Ink) {
    let area = moment.sized(&layer.at, &layer.size);
    let (count, gap) = (layer.count.max(1).cast_signed(), layer.gap.cast_signed());
    let upright = matches!(layer.from_side, Side::Top | Side::Bottom);
    let length = if upright { area.height } else { area.width };
    let size = (length - (count - 1) * gap) / count;
    let done = floored::<i32>(value_at(&layer.done, moment.seconds) + 1e-9);
    for step in 0..count {
        let along = step * (size + gap);
        let room = match layer.from_side {
            Side::Left => Area { left: area.left + along, width: size, ..area },
            Side::Right => Area { left: area.left + area.width - along - size, width: size, ..area },
            Side::Top => Area { top: area.top + along, height: size, ..area },
            Side::Bottom => Area { top: area.top + area.height - along - size, height: size, ..area },
        };
        if step < done { shape::fill(ink, room) } else { shape::outline(ink, room, 1) }
    }
}

fn for_pixels(area: Area, mut each: impl FnMut(i32, i32)) {
    for y in area.top..area.top + area.height.max(0) {
        for x in area.left..area.left + area.width.max(0) {
            each(x, y);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::{Ease, Key};

    #[test]
    fn a_peak_stays_and_then_falls() {
        let key = |seconds, value| Key { seconds, value, ease: Ease::Step };
        let value = Track { keys: vec![key(0.0, 0.2), key(1.0, 0.9), key(1.5, 0.1)], repeat: false, live: None };
        let peak = |seconds| (peak(&value, seconds, 1.0, 0.5) * 100.0).round() / 100.0;
        assert_eq!([0.5, 1.0, 1.5, 2.4].map(peak), [0.2, 0.9, 0.9, 0.9]);
        // The value left 0.9 just before 1.5 s, so the peak is held to 2.48 s and loses 0.5 a second from there on.
        assert_eq!([3.48, 9.0].map(peak), [0.4, 0.1]);
    }
}
