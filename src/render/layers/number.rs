//! Numbers in digits: counters, odometers and clocks; and words chosen by a number.

use crate::font::Font;
use crate::render::ink::{Area, Ink};
use crate::render::place::LayerMoment;
use crate::render::shape;
use crate::render::track::value_at;
use crate::show::{ClockForm, Countdown, Counter, FontId, Odometer, Position, Show, Status};
use crate::whole::{floored, rounded};

/// A number in digits.
pub fn counter(show: &Show, layer: &Counter, moment: LayerMoment, ink: &mut Ink) {
    let value = value_at(&layer.value, moment.seconds);
    let decimals = layer.decimals as usize;
    // Halves round upwards, as positions do; the small addition keeps 0.3 × 10 from becoming 2.
    let scale = 10f64.powi(layer.decimals.cast_signed());
    let whole = (value * scale + 0.5 + 1e-6).floor();
    let sign = if whole < 0.0 { "-" } else { "" };
    let digits = format!("{:0width$}", rounded::<u64>(whole.abs()), width = layer.digits as usize + decimals);
    let (front, behind) = digits.split_at(digits.len() - decimals);
    let point = if decimals > 0 { "." } else { "" };
    let text = format!("{}{sign}{front}{point}{behind}{}", layer.before, layer.after);
    write(show, layer.font, &text, &layer.at, moment, ink);
}

/// The word that a value chooses.
pub fn status(show: &Show, layer: &Status, moment: LayerMoment, ink: &mut Ink) {
    let word = layer.word(value_at(&layer.value, moment.seconds)).unwrap_or_default();
    write(show, layer.font, word, &layer.at, moment, ink);
}

/// A clock that runs down or up.
pub fn countdown(show: &Show, layer: &Countdown, moment: LayerMoment, ink: &mut Ink) {
    let passed = moment.seconds.min(layer.seconds);
    let tenths: u64 =
        if layer.up { floored(passed * 10.0 + 1e-6) } else { rounded(((layer.seconds - passed) * 10.0 - 1e-6).ceil()) };
    // A clock that runs down shows a second until it has passed, so 0 comes only at the end.
    let whole = if layer.up { tenths / 10 } else { tenths.div_ceil(10) };
    let text = match layer.form {
        ClockForm::Seconds => format!("{whole}"),
        ClockForm::Tenths => format!("{}.{}", tenths / 10, tenths % 10),
        ClockForm::MinutesSeconds => format!("{}:{:02}", whole / 60, whole % 60),
        ClockForm::HoursMinutesSeconds => format!("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60),
    };
    write(show, layer.font, &text, &layer.at, moment, ink);
}

fn write(show: &Show, font: FontId, text: &str, at: &Position, moment: LayerMoment, ink: &mut Ink) {
    let Some(font) = show.fonts().get(font.0) else { return };
    let line = font.layout(text);
    let area = moment.area(at, line.width, font.height().cast_signed());
    for set in &line.sets {
        for (x, row) in set.glyph.pixels() {
            ink.mark(area.left + set.x + x, area.top + row.cast_signed());
        }
    }
}

/// Pixels between a wheel's digits and the lines round it.
const WHEEL_ROOM: i32 = 1;

/// A counter of wheels.
pub fn odometer(show: &Show, layer: &Odometer, moment: LayerMoment, ink: &mut Ink) {
    let Some(font) = show.fonts().get(layer.font.0) else { return };
    let value = value_at(&layer.value, moment.seconds).max(0.0);
    let digits = ('0'..='9').filter_map(|digit| font.glyph(digit));
    let digit_width = digits.map(|glyph| glyph.pixels().map(|(x, _)| x + 1).max().unwrap_or(0)).max().unwrap_or(0);
    let cap = font.cap_height().cast_signed();
    let line = i32::from(layer.frame);
    let wheel = digit_width + 2 * WHEEL_ROOM;
    let wheels = layer.wheels.cast_signed();
    let area = moment.area(&layer.at, wheels * (wheel + line) + line, cap + 2 * (WHEEL_ROOM + line));
    if layer.frame {
        shape::outline(ink, area, 1);
        for number in 1..wheels {
            let x = area.left + number * (wheel + line);
            shape::line(ink, (x, area.top), (x, area.top + area.height - 1), 1);
        }
    }
    let mut turned = value.fract();
    let mut whole = value.floor();
    for number in (0..wheels).rev() {
        let digit: u32 = rounded(whole.rem_euclid(10.0));
        let left = area.left + line + number * (wheel + line) + WHEEL_ROOM;
        let window = Area { left, top: area.top + line, width: digit_width, height: cap + 2 * WHEEL_ROOM };
        roll(font, window, digit, turned, ink);
        whole = (whole / 10.0).floor();
        // The next wheel turns only while this one passes from 9 to 0.
        turned = if digit == 9 { turned } else { 0.0 };
    }
}

/// One wheel: a digit and the next one, moved up by a share of a line.
fn roll(font: &Font, window: Area, digit: u32, turned: f64, ink: &mut Ink) {
    let step = window.height;
    let up = floored::<i32>(turned * f64::from(step) + 0.5);
    let above = font.ascent().cast_signed() - font.cap_height().cast_signed();
    for (digit, down) in [(digit, 0), ((digit + 1) % 10, step)] {
        let Some(glyph) = char::from_digit(digit, 10).and_then(|digit| font.glyph(digit)) else { continue };
        for (x, row) in glyph.pixels() {
            let y = window.top + WHEEL_ROOM + row.cast_signed() - above + down - up;
            if window.has(window.left + x, y) {
                ink.mark(window.left + x, y);
            }
        }
    }
}
