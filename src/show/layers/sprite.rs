//! Pictures from a strip.

use crate::diag::{Finding, Findings, Span};
use crate::show::read::{Context, layer};
use crate::show::{PictureId, Position, Track};

layer! {
    /// Pictures of equal width, cut from a strip and shown in turn.
    Sprite, r#"Sprite(picture: "fern", at: Centre, columns: 12, pictures_a_second: 2)"#, finish finish {
        /// A picture of the show.
        picture: PictureId;
        /// Its position.
        at: Position;
        /// Width of each picture of the strip. With 0, the strip is one picture, and an animation has its own pictures.
        columns: u32 [0.0, 4096.0] = 0;
        /// The first picture shown, counted from 0.
        first: u32 [0.0, 4096.0] = 0;
        /// Number of pictures shown in turn; 0 for all from the first one.
        count: u32 [0.0, 4096.0] = 0;
        /// Speed in pictures per second.
        pictures_a_second: f64 [0.01, 100.0] = 8.0;
        /// The number of the picture that is shown, counted from 0; fractions are cut off. Without it, all pictures are shown in turn.
        shows: Option<Track> [0.0, 4096.0] = None;
        /// A pixel becomes ink when its lightness × opacity is at least this.
        threshold: u8 [1.0, 255.0] = 128;
    }
}

/// Fills in the width and the count where the strip decides them, and checks that the strip holds what is asked for.
fn finish(sprite: Sprite, span: Span, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Sprite> {
    let Some(picture) = context.picture(sprite.picture) else { return Some(sprite) };
    let width = picture.width();
    let columns = if sprite.columns == 0 { picture.frame_width() } else { sprite.columns };
    if columns == 0 || !width.is_multiple_of(columns) {
        let message = format!("the width of the strip, {width} pixels, is not a multiple of {columns} columns");
        findings.push(Finding::error(span, message).hint(divisors(width)));
        return None;
    }
    let held = width / columns;
    let count = if sprite.count == 0 { held.saturating_sub(sprite.first).max(1) } else { sprite.count };
    if sprite.first + count > held {
        let (first, last) = (sprite.first, sprite.first + count - 1);
        let message = format!("the strip holds pictures 0 to {}, not {first} to {last}", held - 1);
        findings.push(Finding::error(span, message).hint("reduce `first` or `count`, or check `columns`"));
        return None;
    }
    let highest = |track: &Track| {
        let keys = track.keys.iter().map(|key| key.value);
        keys.chain(track.live.iter().flat_map(|live| [live.low, live.high])).fold(0.0, f64::max)
    };
    if let Some(highest) = sprite.shows.as_ref().map(highest).filter(|highest| *highest >= f64::from(held)) {
        let message = format!("`shows` reaches picture {highest}, but the strip holds pictures 0 to {}", held - 1);
        findings.push(Finding::error(span, message).hint("reduce it, or check `columns`"));
        return None;
    }
    Some(Sprite { columns, count, ..sprite })
}

fn divisors(width: u32) -> String {
    let fitting: Vec<String> =
        (1..=width).filter(|columns| width.is_multiple_of(*columns)).map(|c| c.to_string()).collect();
    format!("use one of these for `columns`: {}", fitting.join(", "))
}
