//! What a build works with: where files come from, and everything found so far.

use crate::diag::{Checked, Finding, Findings, Place};
use crate::source::{Files, Reader};

/// A reader of files, and the findings of everything that was read and made with it.
pub struct Session<'a> {
    /// Reads the files, and keeps their texts for findings to quote.
    pub reader: Reader<'a>,
    /// What was found so far, in the order in which it was found.
    pub findings: Findings,
}

impl<'a> Session<'a> {
    /// A session on files, with nothing found yet.
    pub fn new(files: &'a dyn Files) -> Self {
        Self { reader: Reader::new(files), findings: Findings::default() }
    }
    /// What was made, or `None` once the words that say why it was not are among the findings.
    pub fn checked<T>(&mut self, made: Result<T, String>) -> Checked<T> {
        made.map_err(|why| self.findings.push(Finding::error(Place::Nowhere, why))).ok()
    }
}
