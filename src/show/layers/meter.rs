//! A level meter.

use crate::diag::{Finding, Findings, Span};
use crate::show::read::{Context, layer};
use crate::show::{Position, Side, Size, Track};

layer! {
    /// A level meter of segments. A mark holds the peak for a while and then falls.
    Meter, r#"Meter(at: Centre, size: (8, 30), value: Random(from: 0.1, to: 1, every: 0.25, seed: 3), segments: 10)"#, finish finish {
        /// Its position.
        at: Position;
        /// Width and height.
        size: Size [1.0, 1000.0];
        /// The filled part, 0 to 1.
        value: Track [0.0, 1.0];
        /// The side from which it fills.
        from_side: Side = Side::Bottom;
        /// Number of segments; 0 for a solid bar.
        segments: u32 [0.0, 200.0] = 0;
        /// Whether the peak has a mark.
        peak: bool = true;
        /// The position of the mark, 0 to 1; it replaces the held peak. With `Live(…)` the firmware moves it.
        mark: Option<Track> [0.0, 1.0] = None;
        /// How long the mark holds the peak, in seconds.
        hold_seconds: f64 [0.0, 60.0] = 1.0;
        /// Speed at which the mark falls after that, as a part of the full scale per second.
        fall_a_second: f64 [0.05, 100.0] = 0.5;
    }
}

/// Only the firmware knows the peak of a live value.
fn finish(meter: Meter, span: Span, _: &Context<'_, '_>, findings: &mut Findings) -> Option<Meter> {
    if meter.peak && meter.value.live.is_some() && meter.mark.is_none() {
        let message = "a meter that follows a live value does not know its peak".to_owned();
        let hint = "add `peak: false`, or `mark: Live(…)`: a second live value, which the firmware gets from `pageloom_hold_peak`";
        findings.push(Finding::error(span, message).hint(hint));
        return None;
    }
    Some(meter)
}

impl Meter {
    /// Divides a meter into the meter without its mark, and the mark.
    pub(in crate::show) fn apart(self) -> [Self; 2] {
        let mark = Self { value: Track::still(0.0), ..self.clone() };
        [Self { peak: false, mark: None, ..self }, mark]
    }
}
