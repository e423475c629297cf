//! `check`: everything that a build finds and reckons, and no file written.

use super::explain::explained;
use super::made::Made;
use super::progress::Progress;
use super::summary::{all_figures, summary};
use crate::build::{Session, produce};
use crate::diag::Checked;
use clap::Args;
use std::path::PathBuf;

/// What is checked.
#[derive(Debug, Args)]
pub struct Check {
    /// The show's script.
    show: PathBuf,
    /// List too where the reel's flash goes: by scene, layer and kind of instruction, the largest first, with lines of the script.
    #[arg(long)]
    explain: bool,
}

impl Check {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let production = produce(&self.show, false, &Progress::new(), session)?;
        let mut words = format!("{}\n{}", summary(&production, &session.findings), all_figures(&production).trim_end());
        if self.explain {
            words = format!("{words}\n\n{}", explained(&production, &session.reader.sources).trim_end());
        }
        Some(Made::words(words))
    }
}
