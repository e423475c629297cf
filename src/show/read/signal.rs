//! Reads signals: a wave by formula, a random course from a seed, a column of a table, or a number that moves.

use super::{Context, FieldSlot, Numeric, ReadField};
use crate::diag::{Finding, Findings, Span};
use crate::show::history::HistoryId;
use crate::show::natural::{LayerEnd, track_end};
use crate::show::{Signal, Track, WaveForm};
use crate::source::{Fields, FromNode, Node, Placed, Shape, csv_rows, report_wrong};

/// The most values of a signal.
const MOST_VALUES: usize = 20_000;
/// Seconds of a wave or of a value.
const PERIODS: (f64, f64) = (0.01, 3600.0);

impl ReadField for Signal {
    const FORM: &'static str = "`Sine(seconds: 2)`, `Square(…)`, `Triangle(…)`, `Saw(…)`, `Beat(…)`, `Wander(seed: 1, seconds: 2)`, \
                                `Data(file: \"….csv\", column: \"…\", every: 0.1)`, or a number that may move";
    type Usual = std::convert::Infallible;

    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        let form = match node.head() {
            Some("Sine") => WaveForm::Sine,
            Some("Square") => WaveForm::Square,
            Some("Triangle") => WaveForm::Triangle,
            Some("Saw") => WaveForm::Saw,
            Some("Beat") => WaveForm::Beat,
            Some("Wander") => return wander(node, context, findings),
            Some("Data") => return data(node, context, findings),
            _ => {
                let number = Numeric::plain(slot.name, 0.0, 1.0);
                return number.track(node, context, findings).map(Signal::from);
            }
        };
        let mut fields = Fields::open(node, node.head().unwrap_or("Sine"), findings)?;
        let seconds = Numeric::plain("seconds", PERIODS.0, PERIODS.1).take(&mut fields, None, context, findings);
        let (low, high) = bounds(&mut fields, context, findings);
        fields.close(findings);
        Some(Signal::Wave { form, seconds: seconds?, low: low?, high: high? })
    }
    fn usual(value: Self::Usual) -> Self {
        match value {}
    }
    fn end(&self) -> LayerEnd {
        match self {
            Signal::Moving(track) => track_end(track),
            _ => LayerEnd::Still,
        }
    }
}

fn bounds(fields: &mut Fields<'_>, context: &Context<'_, '_>, findings: &mut Findings) -> (Option<f64>, Option<f64>) {
    let low = Numeric::plain("low", 0.0, 1.0).take(fields, Some(0.0), context, findings);
    let high = Numeric::plain("high", 0.0, 1.0).take(fields, Some(1.0), context, findings);
    (low, high)
}

fn wander(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Signal> {
    let mut fields = Fields::open(node, "Wander", findings)?;
    let seed = fields.required::<u32>("seed", findings);
    let seconds = Numeric::plain("seconds", PERIODS.0, PERIODS.1).take(&mut fields, None, context, findings);
    let (low, high) = bounds(&mut fields, context, findings);
    fields.close(findings);
    Some(Signal::Wander { seed: seed?, seconds: seconds?, low: low?, high: high? })
}

/// Values of a CSV table (RFC 4180), scaled so that `low` to `high`, or the least to the greatest, becomes 0 to 1.
fn data(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Signal> {
    let mut fields = Fields::open(node, "Data", findings)?;
    let file = fields.required::<Placed<String>>("file", findings);
    let column = fields.node("column");
    let every = Numeric::plain("every", PERIODS.0, PERIODS.1).take(&mut fields, None, context, findings);
    let low = fields.optional::<f64>("low", findings);
    let high = fields.optional::<f64>("high", findings);
    fields.close(findings);
    let (file, low, high) = (file?, low?, high?);
    let path = context.reader.beside(file.span, &file.value);
    let (id, text) = context.reader.text(&path, file.span.into(), findings)?;
    let rows = csv_rows(&text, id, findings)?;
    let values = values(&rows, column, file.span, findings)?;
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (low, high) = (low.unwrap_or(least), high.unwrap_or(greatest));
    if low > high {
        let finding = Finding::error(node.span, format!("`low` ({low}) is greater than `high` ({high})"));
        findings.push(finding.hint(format!("write `low: {high}, high: {low}`")));
        return None;
    }
    let scaled = |value: f64| if high > low { ((value - low) / (high - low)).clamp(0.0, 1.0) } else { 0.5 };
    Some(Signal::Values { values: values.into_iter().map(scaled).collect(), every: every? })
}

/// The numbers of one column; a first row that holds none is a heading.
fn values(
    rows: &[Vec<Placed<String>>],
    column: Option<&Node>,
    asker: Span,
    findings: &mut Findings,
) -> Option<Vec<f64>> {
    let number = |cell: &Placed<String>| cell.value.trim().parse::<f64>().ok().filter(|value| value.is_finite());
    let heading: &[Placed<String>] = rows.first().map_or(&[], Vec::as_slice);
    let index = match column {
        None => 0,
        Some(Node { shape: Shape::Text(name), span }) => {
            let found = heading.iter().position(|cell| cell.value.trim() == name);
            if found.is_none() {
                let names: Vec<&str> = heading.iter().map(|cell| cell.value.trim()).collect();
                let message = format!("the table has no column headed `{name}`");
                findings.push(Finding::error(*span, message).hint(format!("its first row is: {}", names.join(", "))));
            }
            found?
        }
        Some(node) => (u32::from_node(node, findings)? as usize).checked_sub(1).or_else(|| {
            report_wrong(node, "a heading in quotes, or a column's number from 1 on", findings);
            None
        })?,
    };
    let headed = heading.get(index).is_some_and(|cell| number(cell).is_none());
    let mut read = Vec::new();
    for row in rows.iter().skip(usize::from(headed)) {
        let cell = row.get(index);
        match cell.and_then(number) {
            Some(value) => read.push(value),
            None => {
                let span = cell.or(row.first()).map_or(asker, |cell| cell.span);
                let what = cell.map_or("nothing".to_owned(), |cell| format!("`{}`", cell.value));
                let finding = Finding::error(span, format!("column {} holds {what}, not a number", index + 1));
                findings.push(finding.hint("write a number in this cell, or name another column"));
                return None;
            }
        }
    }
    if read.is_empty() || read.len() > MOST_VALUES {
        let message = format!("the table has {} values; it must have 1 to {MOST_VALUES}", read.len());
        findings.push(Finding::error(asker, message));
        return None;
    }
    Some(read)
}

/// A number from 0 to 1 that may move is a signal too.
impl From<Track> for Signal {
    fn from(track: Track) -> Self {
        match track.live {
            Some(_) => Signal::Live { track, history: HistoryId::default(), held: Vec::new() },
            None => Signal::Moving(track),
        }
    }
}
