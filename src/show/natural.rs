//! How long a layer lasts by its content: a text until it is typed or rolled through, a ramp until it is there.

use super::read::Context;
use super::{Drawing, Layer, Lettering, Position, Size, Track};

/// When a layer has nothing more to show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// It does not move.
    Still,
    /// Seconds from the scene's start.
    At(f64),
    /// It goes on for ever, such as a marquee.
    Never,
}

/// When the layer comes to its end.
pub fn end(layer: &Layer, context: &Context<'_, '_>) -> End {
    if layer.until.is_finite() {
        return End::At(layer.until);
    }
    let own = match &layer.drawing {
        _ if layer.blink.is_some() => End::Never,
        Drawing::Text(text) => position(&text.at),
        Drawing::Typed(typed) => {
            let letters = crate::font::symbols(&typed.lettering.text).len();
            latest(&[position(&typed.at), End::At(letters as f64 / typed.letters_a_second)])
        }
        Drawing::Roll(roll) => {
            let rows = rows(&roll.lettering, context) + highest(&roll.size.height);
            latest(&[position(&roll.at), size(&roll.size), End::At(rows / roll.rows_a_second)])
        }
        Drawing::Marquee(_) | Drawing::Sweep(_) => End::Never,
        Drawing::Rectangle(rectangle) => latest(&[position(&rectangle.at), size(&rectangle.size)]),
        Drawing::Line(line) => latest(&[position(&line.start), position(&line.end)]),
        Drawing::Circle(circle) => latest(&[position(&circle.at), track(&circle.radius)]),
        Drawing::Bar(bar) => latest(&[position(&bar.at), size(&bar.size), track(&bar.value)]),
        Drawing::Sprite(sprite) if sprite.count > 1 => {
            latest(&[position(&sprite.at), End::At(f64::from(sprite.count) / sprite.pictures_a_second)])
        }
        Drawing::Sprite(sprite) => position(&sprite.at),
    };
    match own {
        End::At(seconds) => End::At(layer.from + seconds),
        End::Still if layer.from > 0.0 => End::At(layer.from),
        other => other,
    }
}

fn latest(ends: &[End]) -> End {
    ends.iter().fold(End::Still, |latest, end| match (latest, end) {
        (End::Never, _) | (_, End::Never) => End::Never,
        (End::At(a), End::At(b)) => End::At(a.max(*b)),
        (End::Still, other) => *other,
        (other, End::Still) => other,
    })
}

fn track(track: &Track) -> End {
    match track.keys.last() {
        Some(_) if track.repeat => End::Never,
        Some(last) if last.seconds > 0.0 => End::At(last.seconds),
        _ => End::Still,
    }
}

fn position(position: &Position) -> End {
    latest(&[track(&position.x), track(&position.y)])
}

fn size(size: &Size) -> End {
    latest(&[track(&size.width), track(&size.height)])
}

fn highest(track: &Track) -> f64 {
    track.keys.iter().map(|key| key.value).fold(0.0, f64::max)
}

/// Rows of a text from the top of its first line to the bottom of its last.
fn rows(lettering: &Lettering, context: &Context<'_, '_>) -> f64 {
    let lines = lettering.text.lines().count().max(1) as f64;
    let height = context.font(lettering.font).map_or(0.0, |font| f64::from(font.height()));
    lines * height + (lines - 1.0) * f64::from(lettering.line_gap)
}
