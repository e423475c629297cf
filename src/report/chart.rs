//! Plots as SVG in the page's own colours: steps over time with a limit, and bars by name.

use crate::diag::number;
use crate::whole::rounded;
use maud::{Markup, html};

const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 150.0;
/// Room for the numbers at the left, and for those below.
const LEFT: f64 = 56.0;
const BELOW: f64 = 22.0;
const TOP: f64 = 10.0;
/// Length of a mark under the axis. Closer to the right end than this, a name ends at its mark.
const TICK: f64 = 4.0;
const LAST: f64 = 14.0;
/// Points that a plot has at most; the highest of each stretch is kept.
const MOST_POINTS: usize = 700;
/// Bars stand in half the page's width.
const BARS_WIDTH: f64 = 400.0;
const BAR_HEIGHT: f64 = 22.0;
const BAR_LEFT: f64 = 128.0;
/// Room for the amount behind the longest bar.
const BAR_RIGHT: f64 = 56.0;

/// A plot over time.
pub struct Plot<'a> {
    pub title: &'a str,
    pub unit: &'a str,
    /// One value for each frame.
    pub values: &'a [f64],
    pub limit: Option<f64>,
    /// The lowest and the highest number of the axis; by default from 0 to a round number.
    pub range: Option<(f64, f64)>,
    /// Seconds of the whole.
    pub seconds: f64,
    /// Where scenes begin: frame and name.
    pub scenes: &'a [(usize, String)],
}

/// Draws steps over time; the script moves its `.now` line with the preview.
pub fn plot(plot: &Plot<'_>) -> Markup {
    let count = plot.values.len().max(1) as f64;
    let highest = plot.values.iter().copied().fold(plot.range.map_or(0.0, |(low, _)| low), f64::max);
    let open = || (0.0, rounded_up(plot.limit.filter(|limit| *limit < highest * 2.5).unwrap_or(0.0).max(highest)));
    let (low, top) = plot.range.unwrap_or_else(open);
    let x = |frame: f64| LEFT + frame / count * (WIDTH - LEFT);
    let y = |value: f64| TOP + (top - value) / (top - low) * (HEIGHT - TOP - BELOW);
    let unit = if plot.unit.is_empty() { String::new() } else { format!(" {}", plot.unit) };
    let label = format!("{}: highest {}{unit}", plot.title, number(highest));
    let bottom = HEIGHT - BELOW;
    html! {
        figure {
            figcaption { (plot.title) @if !plot.unit.is_empty() { "," (unit) } @if let Some(limit) = plot.limit { "; limit " (number(limit)) (unit) } }
            svg .plot role="img" aria-label=(label) viewBox={"0 0 " (WIDTH) " " (HEIGHT)} data-left=(LEFT) data-width=(WIDTH) {
                @for value in [low, f64::midpoint(low, top), top] {
                    line .grid x1=(LEFT) x2=(WIDTH) y1=(point(y(value))) y2=(point(y(value))) {}
                    text x=(LEFT - 6.0) y=(point(y(value) + 4.0)) text-anchor="end" { (tick(value)) }
                }
                @for (number, (frame, name)) in plot.scenes.iter().enumerate() {
                    @let begin = x(*frame as f64);
                    @let end = x(plot.scenes.get(number + 1).map_or(count, |next| next.0 as f64));
                    rect .band .odd[number % 2 == 1] x=(point(begin)) y=(TOP) width=(point(end - begin)) height=(bottom - TOP) { title { (name) } }
                }
                path .steps d=(steps(plot.values, x, y, bottom)) {}
                @if let Some(limit) = plot.limit.filter(|limit| *limit <= top) {
                    line .limit x1=(LEFT) x2=(WIDTH) y1=(point(y(limit))) y2=(point(y(limit))) {}
                }
                @for seconds in ticks(plot.seconds) {
                    @let at = x(count * seconds / plot.seconds);
                    line .grid x1=(point(at)) x2=(point(at)) y1=(bottom) y2=(bottom + TICK) {}
                    text x=(point(at)) y=(HEIGHT - 6.0) text-anchor=(if at > WIDTH - LAST { "end" } else { "middle" }) { (tick(seconds)) " s" }
                }
                line .now x1=(LEFT) x2=(LEFT) y1=(TOP) y2=(bottom) {}
            }
        }
    }
}

/// Marks under the axis at most.
const MOST_TICKS: f64 = 8.0;
/// Steps between marks in seconds: round ones, and those of a clock.
const TICK_STEPS: [f64; 15] =
    [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0];

/// Round seconds from 0 to the whole, by the least step that leaves room for their names.
fn ticks(whole: f64) -> Vec<f64> {
    let step = TICK_STEPS.into_iter().find(|step| whole / step <= MOST_TICKS).unwrap_or(whole.max(1.0));
    // A multiple of a tenth, without the error of its sum.
    (0..=rounded::<u32>((whole / step + 1e-9).floor()))
        .map(|tick| (f64::from(tick) * step * 10.0).round() / 10.0)
        .collect()
}

/// The outline from the bottom left over all values back to the bottom; of each stretch the highest counts.
fn steps(values: &[f64], x: impl Fn(f64) -> f64, y: impl Fn(f64) -> f64, bottom: f64) -> String {
    let stretch = values.len().div_ceil(MOST_POINTS).max(1);
    let mut path = format!("M{} {}", point(x(0.0)), point(bottom));
    for (number, part) in values.chunks(stretch).enumerate() {
        let highest = part.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let from = number * stretch;
        path.push_str(&format!(
            "L{} {}H{}",
            point(x(from as f64)),
            point(y(highest)),
            point(x((from + part.len()) as f64))
        ));
    }
    path.push_str(&format!("V{}Z", point(bottom)));
    path
}

/// A number beside an axis; such numbers are round, so noughts at their end tell nothing.
fn tick(value: f64) -> String {
    let text = number(value);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A length with a tenth of a unit.
fn point(value: f64) -> String {
    format!("{value:.1}")
}

/// A bar with its name; a part of the one before it is drawn paler.
pub struct Bar {
    pub name: String,
    pub amount: f64,
    pub part: bool,
}

/// Bars with names and amounts, the longest filling the width.
pub fn bars(title: &str, unit: &str, rows: &[Bar]) -> Markup {
    let most = rows.iter().map(|row| row.amount).fold(0.0, f64::max).max(f64::MIN_POSITIVE);
    let height = BAR_HEIGHT * rows.len() as f64;
    let label = format!(
        "{title}: {}",
        rows.iter().map(|row| format!("{} {}", row.name, number(row.amount))).collect::<Vec<_>>().join(", ")
    );
    html! {
        figure {
            figcaption { (title) ", " (unit) }
            svg .bars role="img" aria-label=(label) viewBox={"0 0 " (BARS_WIDTH) " " (height)} {
                @for (at, Bar { name, amount, part }) in rows.iter().enumerate() {
                    @let top = BAR_HEIGHT * at as f64;
                    @let length = amount / most * (BARS_WIDTH - BAR_LEFT - BAR_RIGHT);
                    text x=(BAR_LEFT - 8.0) y=(point(top + 15.0)) text-anchor="end" .part[*part] { (shortened(name)) @if shortened(name) != *name { title { (name) } } }
                    rect .bar .part[*part] x=(BAR_LEFT) y=(point(top + 3.0)) width=(point(length)) height=(BAR_HEIGHT - 6.0) {}
                    text x=(point(BAR_LEFT + length + 6.0)) y=(point(top + 15.0)) .part[*part] { (number(*amount)) }
                }
            }
        }
    }
}

/// A name that has room before its bar: a longer one loses its middle.
fn shortened(name: &str) -> String {
    const ROOM: usize = 17;
    let letters: Vec<char> = name.chars().collect();
    if letters.len() <= ROOM {
        return name.to_owned();
    }
    let end = (ROOM - 1) / 2;
    let (head, tail) = (&letters[..ROOM - 1 - end], &letters[letters.len() - end..]);
    head.iter().chain(&['…']).chain(tail).collect()
}

/// The least of 1, 2, 2.5, 5 × a power of ten that is not below a value.
fn rounded_up(value: f64) -> f64 {
    if value <= 0.0 {
        return 1.0;
    }
    let power = 10f64.powf(value.log10().floor());
    let steps = [1.0, 2.0, 2.5, 5.0, 10.0];
    steps.into_iter().map(|step| step * power).find(|step| *step >= value - power * 1e-9).unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_name_loses_its_middle() {
        assert_eq!(
            ["Bar 6", "seventeen letters", "a long name of a layer"].map(shortened),
            ["Bar 6", "seventeen letters", "a long n… a layer"]
        );
    }

    #[test]
    fn the_axis_ends_at_a_round_number() {
        assert_eq!([435.0, 0.91, 20.0, 0.0, 94.9].map(rounded_up), [500.0, 1.0, 20.0, 1.0, 100.0]);
    }

    #[test]
    fn numbers_beside_an_axis_have_no_noughts_at_their_end() {
        assert_eq!([0.2, 0.25, 1.0, 1000.0, 0.0].map(tick), ["0.2", "0.25", "1", "1,000", "0"]);
    }

    #[test]
    fn marks_under_the_axis_are_round() {
        assert_eq!(ticks(69.0), [0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0]);
        assert_eq!(ticks(0.6), [0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
        assert_eq!(ticks(240.0), [0.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0, 210.0, 240.0]);
    }

    /// By hand: the lowest number of the range lies on the axis at 128 rows, the highest at 10, the middle between.
    #[test]
    fn a_range_below_nought_fills_the_height() {
        let (title, values, scenes) = ("depth", &[-40.0, 85.0, 22.5][..], &[][..]);
        let drawn =
            plot(&Plot { title, unit: "", values, limit: None, range: Some((-40.0, 85.0)), seconds: 3.0, scenes });
        let text = drawn.into_string();
        assert!(text.contains("M56.0 128.0L56.0 128.0H290.7L290.7 10.0H525.3L525.3 69.0H760.0V128.0Z"), "{text}");
        assert!(text.contains("<figcaption>depth</figcaption>") && text.contains("highest 85"), "{text}");
    }

    #[test]
    fn the_highest_of_each_stretch_is_kept() {
        let mut values = vec![1.0; 2 * MOST_POINTS];
        values[7] = 9.0;
        let path = steps(&values, |frame| frame, |value| value, 0.0);
        assert!(path.contains("L6.0 9.0H8.0"), "{path}");
        assert!(path.starts_with("M0.0 0.0L0.0 1.0H2.0") && path.ends_with("V0.0Z"));
    }
}
