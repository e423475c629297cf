//! `check`: everything that a build finds and computes, without writing a file.

use super::explain::{cheaper, explained};
use super::made::Made;
use super::progress::ProgressLine;
use super::summary::{all_figures, summary};
use super::terminal::columns;
use crate::build::{Session, Steps, produce};
use crate::diag::Checked;
use crate::reel::cheaper_places;
use clap::Args;
use std::path::PathBuf;

/// What is checked.
#[derive(Debug, Args)]
pub struct Check {
    /// Script of the show.
    show: PathBuf,
    /// Also list what uses the flash of the reel: by scene, layer and kind of instruction, largest first, with lines of the script; and which layers would take less flash if you moved them by a few pixels.
    #[arg(long)]
    explain: bool,
}

impl Check {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let progress = ProgressLine::new();
        let production = produce(&self.show, false, &progress, session)?;
        let columns = columns();
        let figures = all_figures(&production, columns);
        let mut words = format!("{}\n{}", summary(&production, &session.findings, columns), figures.trim_end());
        if self.explain {
            let sources = &session.reader.sources;
            progress.stage("trying other places");
            let done = |all| progress.done(all);
            let places = cheaper_places(&production.show, &production.frames, production.reel(), &done);
            for table in [explained(&production, sources, columns), cheaper(&production, &places, sources, columns)] {
                words = format!("{words}\n\n{}", table.trim_end());
            }
        }
        Some(Made::words(words))
    }
}
