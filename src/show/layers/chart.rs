//! A strip chart.

use crate::show::read::layer;
use crate::show::{Anchor, ChartStyle, Position, Signal, Size};

layer! {
    /// A chart of a signal: a moving strip with the newest value at the right edge, or a still curve.
    Chart, r#"Chart(at: Centre, size: (60, 20), signal: Beat(seconds: 1.2), columns_a_second: 20, filled: true)"# {
        /// Its position.
        at: Position = Anchor::Centre;
        /// Width and height.
        size: Size [1.0, 1000.0];
        /// What the chart shows: a wave, values from a table, or a number from 0 to 1.
        signal: Signal;
        /// Speed of the strip. On a still curve, the number of columns for one second.
        columns_a_second: f64 [0.1, 500.0] = 10.0;
        /// Whether the strip moves.
        running: bool = true;
        /// Whether a moving strip is already full at the start.
        filled: bool = false;
        /// A line, single dots, or columns from the lower edge.
        style: ChartStyle = ChartStyle::Line;
    }
}
