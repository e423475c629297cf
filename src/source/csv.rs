//! CSV tables (RFC 4180) as rows of cells, each cell with the place of its row.

use super::Placed;
use crate::diag::{FileId, Finding, Findings, Span};

/// Where a position lies in the text, which is in memory.
fn offset(position: &csv::Position) -> usize {
    usize::try_from(position.byte()).unwrap_or(usize::MAX)
}

/// Returns the rows of a table, which can differ in length. A fault is reported at its row.
pub fn csv_rows(text: &str, file: FileId, findings: &mut Findings) -> Option<Vec<Vec<Placed<String>>>> {
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).comment(Some(b'#')).from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    loop {
        let start = offset(reader.position());
        match reader.read_record(&mut record) {
            Ok(false) => return Some(rows),
            Ok(true) => {
                let start = record.position().map_or(start, offset);
                let length = text.get(start..).and_then(|rest| rest.lines().next()).map_or(0, str::len);
                let span = Span { file, start, end: start + length };
                rows.push(record.iter().map(|cell| Placed { value: cell.to_owned(), span }).collect());
            }
            Err(error) => {
                let span = Span { file, start, end: (start + 1).min(text.len()) };
                let finding = Finding::error(span, format!("this is not readable as CSV: {error}"));
                findings.push(finding.hint("give each row as many cells as the first one, separated by commas"));
                return None;
            }
        }
    }
}
