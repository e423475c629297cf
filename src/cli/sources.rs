//! Sources of rows, numbered, so that tables stay narrow and name each source once.

use crate::diag::wrapped;

/// Characters of a source's number and the space behind it.
const HANG: usize = 5;

/// The sources of all rows, numbered in the order in which they are first named.
#[derive(Default)]
pub struct SourceList {
    texts: Vec<String>,
}

impl SourceList {
    /// The number of a source in brackets.
    pub fn number(&mut self, source: impl ToString) -> String {
        let text = source.to_string();
        let place = self.texts.iter().position(|known| *known == text).unwrap_or_else(|| {
            self.texts.push(text);
            self.texts.len() - 1
        });
        format!("[{}]", place + 1)
    }
    /// The sources with their numbers, `columns` wide.
    pub fn list(&self, columns: usize) -> String {
        let line = |(number, text): (usize, &String)| format!("{:>4} {text}", format!("[{number}]"));
        (1..).zip(&self.texts).map(|source| wrapped(&line(source), columns, HANG) + "\n").collect()
    }
}
