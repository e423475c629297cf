//! How long a layer lasts by its content: a text until it is typed or rolled through, a ramp until it is there.

use super::read::Context;
use super::{Drawing, Group, Layer, Lettering, Picture, Sprite, Track};

/// When a layer has nothing more to show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LayerEnd {
    /// It does not move.
    Still,
    /// Seconds from the scene's start.
    At(f64),
    /// It never ends, such as a marquee.
    Never,
}

impl LayerEnd {
    /// The latest of several.
    pub fn latest(ends: impl IntoIterator<Item = LayerEnd>) -> LayerEnd {
        ends.into_iter().fold(LayerEnd::Still, |latest, end| match (latest, end) {
            (LayerEnd::Never, _) | (_, LayerEnd::Never) => LayerEnd::Never,
            (LayerEnd::At(a), LayerEnd::At(b)) => LayerEnd::At(a.max(b)),
            (LayerEnd::Still, other) | (other, LayerEnd::Still) => other,
        })
    }
    /// The same, some seconds later.
    fn later(self, seconds: f64) -> LayerEnd {
        match self {
            LayerEnd::At(end) => LayerEnd::At(end + seconds),
            LayerEnd::Still if seconds > 0.0 => LayerEnd::At(seconds),
            other => other,
        }
    }
}

/// When the layer ends, in seconds from the start of its scene or group.
pub fn end(layer: &Layer, context: &Context<'_, '_>) -> LayerEnd {
    if layer.until.is_finite() {
        return LayerEnd::At(layer.until);
    }
    if layer.blink.is_some() {
        return LayerEnd::Never;
    }
    let numbers = layer.drawing.numbers_end();
    LayerEnd::latest([numbers, content(&layer.drawing, context)]).later(layer.from)
}

/// When what it shows is through, whatever its numbers do.
fn content(drawing: &Drawing, context: &Context<'_, '_>) -> LayerEnd {
    match drawing {
        Drawing::Typed(typed) => {
            let letters = crate::font::symbols(&typed.lettering.text).len();
            LayerEnd::At(letters as f64 / typed.letters_a_second)
        }
        Drawing::Roll(roll) => {
            let rows = rows(&roll.lettering, context) + highest(&roll.size.height);
            LayerEnd::At(rows / roll.rows_a_second)
        }
        Drawing::Countdown(countdown) => LayerEnd::At(countdown.seconds),
        Drawing::Sprite(sprite) => sprite_end(sprite),
        Drawing::Picture(picture) => picture_end(picture, context),
        Drawing::Group(group) => group_end(group, context),
        Drawing::Marquee(_) | Drawing::Sweep(_) | Drawing::Noise(_) | Drawing::ScanLine(_) | Drawing::Glitch(_) => {
            LayerEnd::Never
        }
        Drawing::Chart(chart) if chart.columns_a_second > 0.0 => LayerEnd::Never,
        Drawing::Stars(stars) if stars.pixels_a_second > 0.0 || stars.twinkle > 0.0 => LayerEnd::Never,
        Drawing::Terrain(terrain) if terrain.columns_a_second > 0.0 => LayerEnd::Never,
        Drawing::Border(border) if border.dash > 0 && border.pixels_a_second != 0.0 => LayerEnd::Never,
        Drawing::Stripes(stripes) if stripes.pixels_a_second != 0.0 => LayerEnd::Never,
        _ => LayerEnd::Still,
    }
}

fn sprite_end(sprite: &Sprite) -> LayerEnd {
    if sprite.count > 1 && sprite.shows.is_none() {
        LayerEnd::At(f64::from(sprite.count) / sprite.pictures_a_second)
    } else {
        LayerEnd::Still
    }
}

fn picture_end(picture: &Picture, context: &Context<'_, '_>) -> LayerEnd {
    let delays = context.picture(picture.picture).map_or(&[][..], |picture| picture.delays());
    if delays.len() > 1 { LayerEnd::At(delays.iter().sum::<u32>() as f64 / 1000.0) } else { LayerEnd::Still }
}

fn group_end(group: &Group, context: &Context<'_, '_>) -> LayerEnd {
    if group.repeat_seconds > 0.0 {
        return LayerEnd::Never;
    }
    let staggered = group.layers.iter().enumerate().map(|(number, layer)| {
        let delay = number as f64 * group.stagger_seconds;
        end(layer, context).later(delay)
    });
    LayerEnd::latest(staggered)
}

/// When a track stops moving.
pub fn track_end(track: &Track) -> LayerEnd {
    match track.keys.last() {
        Some(_) if track.repeat => LayerEnd::Never,
        Some(last) if last.seconds > 0.0 => LayerEnd::At(last.seconds),
        _ => LayerEnd::Still,
    }
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
