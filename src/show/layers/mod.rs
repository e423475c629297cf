//! The kinds of layers, one in each file: its fields with what they mean, their ranges and usual values.

mod arc;
mod bar;
mod border;
mod chart;
mod circle;
mod countdown;
mod counter;
mod dial;
mod dissolve;
mod glitch;
mod grid;
mod group;
mod iris;
mod line;
mod live_text;
mod marquee;
mod meter;
mod noise;
mod odometer;
mod picture;
mod rectangle;
mod rings;
mod roll;
mod scan_line;
mod shutter;
mod sprite;
mod stars;
mod status;
mod steps;
mod stripes;
mod sweep;
mod terrain;
mod text;
mod typed;
mod wipe;

pub use arc::Arc;
pub use bar::Bar;
pub use border::Border;
pub use chart::Chart;
pub use circle::Circle;
pub use countdown::Countdown;
pub use counter::Counter;
pub use dial::Dial;
pub use dissolve::Dissolve;
pub use glitch::Glitch;
pub use grid::Grid;
pub use group::Group;
pub use iris::Iris;
pub use line::Line;
pub use live_text::LiveText;
pub use marquee::Marquee;
pub use meter::Meter;
pub use noise::Noise;
pub use odometer::Odometer;
pub use picture::Picture;
pub use rectangle::Rectangle;
pub use rings::Rings;
pub use roll::Roll;
pub use scan_line::ScanLine;
pub use shutter::Shutter;
pub use sprite::Sprite;
pub use stars::Stars;
pub use status::{Status, StatusWord};
pub use steps::Steps;
pub use stripes::Stripes;
pub use sweep::{Echo, Sweep};
pub use terrain::Terrain;
pub use text::Text;
pub use typed::Typed;
pub use wipe::Wipe;

use super::read::{Context, note_lacking};
use crate::diag::{Findings, Span};

/// Checks that a counter's font has what it writes.
fn number_font(counter: Counter, span: Span, context: &mut Context<'_, '_>, _: &mut Findings) -> Option<Counter> {
    let point = if counter.decimals > 0 { "." } else { "" };
    let sign = if counter.value.can_be_negative() { "-" } else { "" };
    let written = format!("0123456789{sign}{point}{}{}", counter.before, counter.after);
    note_lacking(&written, counter.font, span, context);
    Some(counter)
}

/// Checks that an odometer's font has the digits.
fn wheel_font(layer: Odometer, span: Span, context: &mut Context<'_, '_>, _: &mut Findings) -> Option<Odometer> {
    note_lacking("0123456789", layer.font, span, context);
    Some(layer)
}

/// Checks that a clock's font has what it writes.
fn clock_font(layer: Countdown, span: Span, context: &mut Context<'_, '_>, _: &mut Findings) -> Option<Countdown> {
    let marks = match layer.form {
        super::ClockForm::Seconds => "",
        super::ClockForm::Tenths => ".",
        super::ClockForm::MinutesSeconds | super::ClockForm::HoursMinutesSeconds => ":",
    };
    note_lacking(&format!("0123456789{marks}"), layer.font, span, context);
    Some(layer)
}
