//! One build from a script, with its findings, for programs that use the library.

use super::{OutputFile, Production, Session, Silent, Steps, produce};
use crate::diag::{Findings, Sources, render};
use crate::emit::firmware_sources;
use crate::source::{Disk, Files};
use std::path::{Path, PathBuf};

/// How a build is made; by default in full, from files on disk, followed by nobody.
pub struct BuildOptions<'a> {
    /// A quick build: it does not search for a dense reel, and makes only the report and the figures.
    pub quick: bool,
    /// Where the script and all that it names are read from.
    pub files: &'a dyn Files,
    /// Who hears how far the build has come.
    pub steps: &'a dyn Steps,
}

impl Default for BuildOptions<'_> {
    fn default() -> Self {
        Self { quick: false, files: &Disk, steps: &Silent }
    }
}

/// What came of a build: the production where the script has no errors, and everything that was found.
pub struct Built {
    /// The show with its reel, rehearsal and budgets; `None` when a finding says why there is none.
    pub production: Option<Production>,
    /// All errors, warnings and notes.
    pub findings: Findings,
    /// The texts that findings quote.
    pub sources: Sources,
    files: Option<Vec<OutputFile>>,
}

/// Builds the show of a script, without a word and without writing a file.
pub fn build(script: impl AsRef<Path>, options: &BuildOptions<'_>) -> Built {
    let script: &Path = script.as_ref();
    let mut session = Session::new(options.files);
    let production = produce(script, options.quick, options.steps, &mut session);
    let files = production.as_ref().and_then(|production| {
        let mut files = production.files(script, options.quick, options.steps, &mut session)?;
        if !options.quick && !session.findings.any_error() {
            match firmware_sources(&[production.firmware()], &[]) {
                Ok(sources) => files.extend(sources.into_iter().map(|source| OutputFile {
                    path: PathBuf::from(source.name),
                    bytes: source.text.into(),
                    firmware: true,
                })),
                Err(clashes) => session.findings.extend(clashes),
            }
        }
        Some(files)
    });
    Built { production, findings: session.findings, sources: session.reader.sources, files }
}

impl Built {
    /// The files that the command line would write, by their names; those for a chip are left out where a limit is broken.
    /// `None` when a finding says why there are none.
    pub fn files(&self) -> Option<&[OutputFile]> {
        self.files.as_deref()
    }
    /// The findings as the command line prints them, without colours.
    pub fn words(&self) -> String {
        render(&self.findings, &self.sources, false)
    }
}
