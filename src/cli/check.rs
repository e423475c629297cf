//! `check`: everything that a build finds and reckons, and no file written.

use super::Session;
use super::made::Made;
use super::production::produce;
use super::summary::{all_figures, summary};
use crate::diag::Checked;
use clap::Args;
use std::path::PathBuf;

/// What is checked.
#[derive(Debug, Args)]
pub struct Check {
    /// The show's script.
    show: PathBuf,
}

impl Check {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let production = produce(&self.show, session)?;
        Some(Made::words(format!("{}\n{}", summary(&production), all_figures(&production).trim_end())))
    }
}
