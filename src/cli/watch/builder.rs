//! Builds the show again whenever one of its files is saved, vanishes or comes back.

use super::Shared;
use super::follow::Followed;
use crate::cli::Session;
use crate::cli::production::{Production, produce};
use crate::cli::progress::Progress;
use crate::cli::report::report;
use crate::diag::{Finding, Findings, Place};
use crate::source::Reader;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Builds the show again and again.
pub struct Builder {
    script: PathBuf,
    quick: bool,
    shared: Arc<Shared>,
    files: Followed,
    good: Option<Production>,
}

impl Builder {
    /// A builder of a script, that puts its pages where they are served from.
    pub fn new(script: &Path, quick: bool, shared: Arc<Shared>) -> notify::Result<Self> {
        Ok(Self { script: script.to_owned(), quick, shared, files: Followed::new()?, good: None })
    }

    /// Builds once; the last good show stays where this one fails.
    pub fn build(&mut self) {
        let mut session = Session { reader: Reader::new(&self.files), findings: Findings::default() };
        if let Some(production) = produce(&self.script, self.quick, &Progress::new(), &mut session) {
            self.good = Some(production);
        }
        for fault in self.files.take_faults() {
            session.findings.push(Finding::warning(Place::Nowhere, fault));
        }
        let script = self.script.display().to_string();
        let next = self.shared.lock().build + 1;
        let known = (&session.findings, &session.reader.sources);
        let page = report(self.good.as_ref(), &script, known, Some(next));
        self.shared.put(page.unwrap_or_else(|why| why));
    }

    /// Builds at each change, for ever.
    pub fn follow(&mut self) {
        while self.files.wait() {
            self.build();
        }
    }
}
