//! Reads a table: the time, then one column a line, a row for each change or for each sample; comma, semicolon or tab between them.

use super::trace::{MOST_LINES, Trace};

/// Rows in front of the head that may say something else.
const MOST_ROWS_BEFORE: usize = 50;

/// Reads a table.
///
/// # Errors
/// Says in words what is wrong.
pub fn read(text: &str) -> Result<Trace, String> {
    let text = text.trim_start_matches('\u{FEFF}');
    let lines: Vec<&str> = text.lines().collect();
    let first = lines.iter().take(MOST_ROWS_BEFORE).position(|line| row(line, separator(line)).is_some());
    let first = first.ok_or("none of its rows has a time and levels of 0 and 1")?;
    let between = separator(lines[first]);
    let columns = fields(lines[first], between).len();
    let head: Vec<String> = match first.checked_sub(1).map(|at| fields(lines[at], between)) {
        Some(head) if head.len() == columns => head.iter().map(|name| (*name).to_owned()).collect(),
        _ => std::iter::once("time".to_owned()).chain((0..columns - 1).map(|at| format!("channel {at}"))).collect(),
    };
    let unit = picoseconds(&head[0]);
    let mut trace = Trace::new(head[1..].to_vec());
    let mut start = None;
    for (number, line) in lines.iter().enumerate().skip(first).filter(|(_, line)| !line.trim().is_empty()) {
        let (time, levels) = row(line, between).ok_or_else(|| format!("line {} is not such a row", number + 1))?;
        let from = *start.get_or_insert(time);
        trace.push(crate::whole::rounded(((time - from) as f64) * 1e-12 * unit), levels);
    }
    Ok(trace)
}

fn separator(line: &str) -> char {
    ['\t', ';', ','].into_iter().find(|sign| line.contains(*sign)).unwrap_or(',')
}

fn fields(line: &str, between: char) -> Vec<&str> {
    line.split(between).map(|field| field.trim().trim_matches('"').trim()).collect()
}

/// What the head calls the unit of time, in picoseconds; seconds when it says nothing.
fn picoseconds(head: &str) -> f64 {
    let lower = head.to_lowercase();
    let units = [("ms", 1e9), ("us", 1e6), ("µs", 1e6), ("ns", 1e3), ("ps", 1.0)];
    let words: Vec<&str> = lower.split(|sign: char| !sign.is_alphabetic()).collect();
    units.into_iter().find(|(unit, _)| words.contains(unit)).map_or(1e12, |(_, unit)| unit)
}

/// Time in 10⁻¹² of its unit, so that no digit is lost, and levels.
fn row(line: &str, between: char) -> Option<(i128, u64)> {
    let fields = fields(line, between);
    let [time, levels @ ..] = fields.as_slice() else { return None };
    if levels.is_empty() {
        return None;
    }
    let mut bits = 0;
    for (at, level) in levels.iter().enumerate().take(MOST_LINES) {
        match *level {
            "0" | "0.0" => {}
            "1" | "1.0" => bits |= 1 << at,
            _ => return None,
        }
    }
    Some((decimal(time)?, bits))
}

/// A decimal number times 10¹²; the comma of some languages is taken for the point.
fn decimal(text: &str) -> Option<i128> {
    const PLACES: i32 = 12;
    let text = text.replace(',', ".").to_lowercase();
    let (number, exponent) = match text.split_once('e') {
        Some((number, exponent)) => (number, exponent.parse::<i32>().ok()?),
        None => (text.as_str(), 0),
    };
    let (negative, number) = match number.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, number.trim_start_matches('+')),
    };
    let (whole, part) = number.split_once('.').unwrap_or((number, ""));
    if whole.is_empty() && part.is_empty() || !whole.chars().chain(part.chars()).all(|digit| digit.is_ascii_digit()) {
        return None;
    }
    let digits = format!("{whole}{part}");
    let shift = PLACES.checked_add(exponent)?.checked_sub(i32::try_from(part.len()).ok()?)?;
    let value: i128 = if digits.len() > 30 { return None } else { digits.parse().ok()? };
    let value = match shift {
        0..=18 => value.checked_mul(10i128.pow(shift.unsigned_abs()))?,
        -30..0 => value / 10i128.pow(shift.unsigned_abs()),
        ..-30 => 0,
        _ => return None,
    };
    Some(if negative { -value } else { value })
}
