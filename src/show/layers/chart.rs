//! A strip chart.

use crate::show::read::layer;
use crate::show::{Anchor, ChartStyle, Position, Signal, Size};

layer! {
    /// A chart of a signal: running, with the newest value at the right edge, or a still curve.
    Chart, r#"Chart(at: Centre, size: (60, 20), signal: Beat(seconds: 1.2), columns_a_second: 20, filled: true)"# {
        /// Where it stands.
        at: Position = Anchor::Centre;
        /// Width and height.
        size: Size [1.0, 1000.0];
        /// What it shows: a kind of wave, values from a table, or a number that may move from 0 to 1.
        signal: Signal;
        /// Columns that the strip moves each second; on a still curve the columns of a second.
        columns_a_second: f64 [0.1, 500.0] = 10.0;
        /// Whether it runs; else the curve stands still.
        running: bool = true;
        /// Whether a running strip is full from the start.
        filled: bool = false;
        /// A line, single dots, or columns up from the lower edge.
        style: ChartStyle = ChartStyle::Line;
    }
}
