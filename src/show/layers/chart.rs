//! A strip chart.

use crate::diag::{Finding, Findings, Span};
use crate::show::read::{Context, layer};
use crate::show::{Anchor, ChartStyle, Position, Signal, Size, Track};

layer! {
    /// A chart of a signal: a moving strip with the newest value at the right edge, or a still curve.
    Chart, r#"Chart(at: Centre, size: (60, 20), signal: Beat(seconds: 1.2), columns_a_second: 20, filled: true)"#, finish finish {
        /// Its position.
        at: Position = Anchor::Centre;
        /// Width and height.
        size: Size [1.0, 1000.0];
        /// What the chart shows: a wave, values from a table, or a number from 0 to 1. With `Live(…)` it shows the latest values that the firmware set.
        signal: Signal;
        /// Speed of the strip. On a still curve, the number of columns for one second. A live value is taken at this rate, to the nearest frame.
        columns_a_second: f64 [0.01, 500.0] = 10.0;
        /// Whether the strip moves.
        running: bool = true;
        /// Whether a moving strip is already full at the start.
        filled: bool = false;
        /// A line, single dots, or columns from the lower edge.
        style: ChartStyle = ChartStyle::Line;
    }
}

/// A chart of a live value keeps a value for each column, so its place and size must not change.
fn finish(chart: Chart, span: Span, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Chart> {
    if !matches!(chart.signal, Signal::Live { .. }) {
        return Some(chart);
    }
    let moves = |track: &Track| track.keys.len() > 1 || track.live.is_some();
    let (at, size) = (&chart.at, &chart.size);
    let (message, hint) = if [&at.x, &at.y, &size.width, &size.height].into_iter().any(moves) {
        ("a chart of a live value cannot move", "write a fixed place and size")
    } else if !chart.running {
        ("a still curve cannot show a live value", "remove `running`: the chart then shows its latest values")
    } else if context.depth > 0 {
        ("a chart of a live value cannot be in a group", "move it out of the group")
    } else {
        return Some(chart);
    };
    findings.push(Finding::error(span, message.to_owned()).hint(hint));
    None
}
