//! The preview as an animated GIF89a: a palette of exactly the colours shown, only what changes in each frame, delays whose rounding is carried.

use super::look::{Look, Painter, PreviewArea};
use super::shown::{Shown, merged};
use crate::units::Nanoseconds;
use crate::whole::limited;
use ::gif::{DisposalMethod, Encoder, EncodingError, Frame, Repeat};
use rayon::prelude::*;

/// The shortest delay in 1/100 s: viewers stretch 0 and 1 to 10 (GIF89a §23 counts in 1/100 s; the stretching is what
/// common viewers do, facts of 2022).
pub const SHORTEST_DELAY: u32 = 2;
/// What a GIF counts in.
const HUNDREDTH: Nanoseconds = Nanoseconds(10_000_000);
/// The longest delay of one frame of a GIF in 1/100 s.
const LONGEST_DELAY: u32 = u16::MAX as u32;

/// The show as a GIF that plays without end. `Err` says why this is not possible.
pub fn gif(shown: &[Shown], look: &Look) -> Result<Vec<u8>, String> {
    gif_with_progress(shown, look, &|_| {})
}

/// The same; `done` is called for each picture painted, with how many there are.
pub fn gif_with_progress(shown: &[Shown], look: &Look, done: &(dyn Fn(usize) + Sync)) -> Result<Vec<u8>, String> {
    let mut runs = merged(shown);
    // Scenes that meet with the same picture need no frame of their own.
    runs.dedup_by(|next, last| {
        next.looks_like(last) && {
            last.frames += next.frames;
            last.stays += next.stays;
            true
        }
    });
    let painter = Painter::new(look, &runs);
    let whole = painter.whole();
    let (Ok(width), Ok(height)) = (u16::try_from(whole.width), u16::try_from(whole.height)) else {
        return Err(format!(
            "a GIF of {}×{} pixels is not possible: the limit is 65535 per side",
            whole.width, whole.height
        ));
    };
    let delays = delays(runs.iter().map(|run| run.stays));
    let painted = |at: usize| {
        let frames = frames(&painter, &runs, at, delays[at]);
        done(runs.len());
        frames
    };
    let frames: Vec<Vec<Frame<'static>>> = (0..runs.len()).into_par_iter().map(painted).collect();
    write((width, height), &painter.palette().concat(), frames.iter().flatten())
        .map_err(|why| format!("the preview cannot be written as GIF: {why}"))
}

fn write<'f>(
    (width, height): (u16, u16),
    palette: &[u8],
    frames: impl Iterator<Item = &'f Frame<'static>>,
) -> Result<Vec<u8>, EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width, height, palette)?;
    encoder.set_repeat(Repeat::Infinite)?;
    for frame in frames {
        encoder.write_lzw_pre_encoded_frame(frame)?;
    }
    drop(encoder); // writes the trailer
    Ok(bytes)
}

/// The frames of one picture, packed: what changes of the one before, then single pixels for as long as it stays.
fn frames(painter: &Painter<'_>, runs: &[Shown], at: usize, delay: u32) -> Vec<Frame<'static>> {
    let before = at.checked_sub(1).map(|before| &runs[before]);
    let area = before.map_or(painter.whole(), |before| changed(painter, before, &runs[at]));
    let mut frames = vec![frame(painter, &runs[at], area, delay.min(LONGEST_DELAY))];
    let mut left = delay;
    while left > LONGEST_DELAY {
        left -= LONGEST_DELAY;
        frames.push(frame(painter, &runs[at], painter.area((0, 0), (0, 0)), left.min(LONGEST_DELAY)));
    }
    frames
}

fn frame(painter: &Painter<'_>, shown: &Shown, area: PreviewArea, delay: u32) -> Frame<'static> {
    // The whole preview is at most 65535 pixels wide and high, and so is every area of it; delays are capped above.
    let mut frame = Frame {
        delay: limited(delay),
        dispose: DisposalMethod::Keep,
        left: limited(area.left),
        top: limited(area.top),
        width: limited(area.width),
        height: limited(area.height),
        buffer: painter.paint(shown, area).into_indices().into(),
        ..Frame::default()
    };
    frame.make_lzw_pre_encoded();
    frame
}

/// The area in which two pictures look different.
fn changed(painter: &Painter<'_>, before: &Shown, now: &Shown) -> PreviewArea {
    if before.contrast != now.contrast || before.on != now.on {
        return painter.whole();
    }
    let (width, height) = (now.picture.width().cast_signed(), now.picture.height().cast_signed());
    let mut corners: Option<((u32, u32), (u32, u32))> = None;
    for y in 0..height {
        let differs = |x: &i32| {
            before.picture.get(*x, y) != now.picture.get(*x, y) || before.is_changing(*x, y) != now.is_changing(*x, y)
        };
        for x in (0..width).filter(differs) {
            let (x, y) = (x.cast_unsigned(), y.cast_unsigned());
            let ((left, top), (right, _)) = corners.unwrap_or(((x, y), (x, y)));
            corners = Some(((left.min(x), top), (right.max(x), y)));
        }
    }
    let (first, last) = corners.unwrap_or(((0, 0), (0, 0)));
    painter.area(first, last)
}

/// The delay of each picture in 1/100 s: what is rounded off one is carried to the next, and none is below
/// [`SHORTEST_DELAY`].
pub fn delays(stays: impl IntoIterator<Item = Nanoseconds>) -> Vec<u32> {
    let (mut total, mut written) = (0u64, 0u64);
    let each = |stays: Nanoseconds| {
        total += stays.0;
        let due = (total + HUNDREDTH.0 / 2) / HUNDREDTH.0;
        let delay = due.saturating_sub(written).max(u64::from(SHORTEST_DELAY));
        written += delay;
        limited(delay)
    };
    stays.into_iter().map(each).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::FrameRate;

    fn rate(frames_per_second: u16) -> FrameRate {
        FrameRate::new(frames_per_second).expect("a rate")
    }

    fn of(frames: impl IntoIterator<Item = u32>, rate: FrameRate) -> Vec<u32> {
        delays(frames.into_iter().map(|frames| Nanoseconds(rate.period().0 * u64::from(frames))))
    }

    /// 30 frames a second are 3, 4, 3 hundredths in turn, 100 in 30 frames (computed).
    #[test]
    fn what_is_rounded_off_is_carried() {
        let thirty = of([1; 30], rate(30));
        assert_eq!(thirty[..3], [3, 4, 3]);
        assert_eq!(thirty.iter().sum::<u32>(), 100);
        assert_eq!(of([1, 2, 40], rate(20)), [5, 10, 200]);
        assert!(of([1; 50], rate(100)).iter().all(|delay| *delay >= SHORTEST_DELAY));
    }

    proptest::proptest! {
        #[test]
        fn up_to_fifty_a_second_the_sum_is_never_off_by_more_than_half(per_second in 1u16..=50, count in 1u32..200) {
            let sum: u32 = of((0..count).map(|frame| frame % 3 + 1), rate(per_second)).iter().sum();
            let frames: u32 = (0..count).map(|frame| frame % 3 + 1).sum();
            let exact = f64::from(frames) * 100.0 / f64::from(per_second);
            proptest::prop_assert!((f64::from(sum) - exact).abs() <= 0.5 + 1e-3);
        }
    }
}
