//! Refresh: how often the controller draws the display, and the bands that a camera's shutter makes of it.

use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number};
use crate::panel::Certainty;
use crate::show::Show;

const FORMULA: &str = "oscillator frequency / (clock divider × clocks per row × multiplex ratio)";
/// Below this the eye sees the display flicker, most of all beside the line of sight (common practice).
const STEADY_HERTZ: f64 = 60.0;
/// Denominators of usual shutter times.
const SHUTTERS: [u32; 5] = [25, 50, 125, 250, 1000];
/// Unevenness below which bands are hard to see (common practice).
const UNSEEN_PERCENT: f64 = 10.0;
/// Frames a second of usual video.
const VIDEO_RATES: [u32; 4] = [24, 25, 30, 60];
const ROW_BY_ROW: &str =
    "rows are lit one after another (SSD1306 data sheet Rev 1.5 §8.3); assumes a global shutter (common practice)";

/// What a shutter sees: the share of the rows that light at all while it is open, and how uneven those are in percent of
/// their mean.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Exposure {
    lit_percent: f64,
    uneven_percent: f64,
}

/// While the shutter is open, each row lights a whole number of times: that of whole refreshes, or one more.
fn exposure(refresh_hertz: f64, shutter: u32) -> Exposure {
    let refreshes = refresh_hertz / f64::from(shutter);
    let whole = refreshes.fract() == 0.0;
    let uneven_percent = if whole { 0.0 } else { 100.0 / refreshes };
    Exposure { lit_percent: 100.0 * refreshes.min(1.0), uneven_percent }
}

/// Computes the refresh rate; visible flicker is a warning.
pub fn refresh(show: &Show, findings: &mut Findings) -> Budget {
    let panel = show.panel();
    let Some((frequency, clock)) = panel.frame_frequency().zip(panel.controller.clock.as_ref()) else {
        return Budget { title: "refresh", figures: Vec::new() };
    };
    let hertz = |millihertz: u32| f64::from(millihertz) / 1000.0;
    let typical = hertz(frequency.typical_millihertz);
    let surest = clock.source.certainty == Certainty::DataSheet;
    let marked = |figure: Figure| if surest { figure } else { figure.rough() };
    let source = clock.source.to_string();
    let mut figures = vec![
        marked(Figure::new("refreshes a second", typical, "Hz").from(FORMULA, &source).headline()),
        marked(
            Figure::new("slowest part", hertz(frequency.lowest_millihertz), "Hz")
                .from(format!("{FORMULA}, slowest oscillator"), &source),
        ),
        marked(
            Figure::new("fastest part", hertz(frequency.highest_millihertz), "Hz")
                .from(format!("{FORMULA}, fastest oscillator"), &source),
        ),
    ];
    for shutter in SHUTTERS {
        let Exposure { lit_percent, uneven_percent } = exposure(typical, shutter);
        let (name, value, formula) = if lit_percent < 100.0 {
            (
                format!("rows lit in 1/{shutter} s"),
                lit_percent,
                "refresh rate × shutter time; the rest of the picture is a dark band",
            )
        } else {
            let formula = "1 / (refreshes × shutter time): some rows are lit once more than others";
            (format!("unevenness in 1/{shutter} s"), uneven_percent, formula)
        };
        figures.push(Figure::new(name, value, "%").from(formula, ROW_BY_ROW).rough());
    }
    let still = 100.0 / UNSEEN_PERCENT / typical;
    let formula = format!("1 / ({UNSEEN_PERCENT} % × refreshes)");
    figures.push(Figure::new("shutter without visible bands", still, "s or longer").from(formula, ROW_BY_ROW).rough());
    for rate in VIDEO_RATES {
        let beat = (typical / f64::from(rate)).round().mul_add(-f64::from(rate), typical).abs();
        let name = format!("bands move at {rate} frames a second");
        let formula = "difference between the refresh rate and the nearest multiple of the video's frame rate";
        figures.push(Figure::new(name, beat, "Hz").from(formula, ROW_BY_ROW).rough());
    }
    if typical < STEADY_HERTZ {
        let message = format!("the display refreshes {} times a second: it may flicker visibly", number(typical));
        let finding = Finding::warning(show.spans().panel, message);
        findings.push(finding.hint("use a higher clock setting in D5, or a smaller multiplex ratio"));
    }
    Budget { title: "refresh", figures }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: at 100 refreshes a second, 1/250 s is 0.4 of a refresh, and 1/30 s is 3⅓: rows light 3 or 4 times,
    /// one time in 3⅓ apart.
    #[test]
    fn a_short_shutter_leaves_a_dark_band_and_a_long_one_uneven_rows() {
        assert_eq!(exposure(100.0, 250), Exposure { lit_percent: 40.0, uneven_percent: 250.0 });
        assert!((exposure(100.0, 30).uneven_percent - 30.0).abs() < 1e-9);
        assert_eq!(exposure(100.0, 25), Exposure { lit_percent: 100.0, uneven_percent: 0.0 });
    }
}
