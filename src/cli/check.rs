//! `check`: everything that a build finds and computes, without writing a file.

use super::explain::explained;
use super::made::Made;
use super::progress::Progress;
use super::summary::{all_figures, summary};
use super::terminal::columns;
use crate::build::{Session, produce};
use crate::diag::Checked;
use clap::Args;
use std::path::PathBuf;

/// What is checked.
#[derive(Debug, Args)]
pub struct Check {
    /// Script of the show.
    show: PathBuf,
    /// Also list what uses the flash of the reel: by scene, layer and kind of instruction, largest first, with lines of the script.
    #[arg(long)]
    explain: bool,
}

impl Check {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let production = produce(&self.show, false, &Progress::new(), session)?;
        let columns = columns();
        let figures = all_figures(&production, columns);
        let mut words = format!("{}\n{}", summary(&production, &session.findings, columns), figures.trim_end());
        if self.explain {
            words = format!("{words}\n\n{}", explained(&production, &session.reader.sources, columns).trim_end());
        }
        Some(Made::words(words))
    }
}
