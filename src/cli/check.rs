//! `check`: everything that a build finds and reckons, and no file written.

use super::Session;
use super::made::Made;
use super::production::{Production, produce};
use super::summary::{all_figures, summary};
use super::table::Table;
use crate::diag::Checked;
use crate::reel::explain;
use clap::Args;
use std::path::PathBuf;

/// What is checked.
#[derive(Debug, Args)]
pub struct Check {
    /// The show's script.
    show: PathBuf,
    /// List too where each byte of the reel's flash goes: by scene and kind of instruction, the largest first.
    #[arg(long)]
    explain: bool,
}

impl Check {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let production = produce(&self.show, session)?;
        let mut words = format!("{}\n{}", summary(&production), all_figures(&production).trim_end());
        if self.explain {
            words = format!("{words}\n\n{}", explained(&production).trim_end());
        }
        Some(Made::words(words))
    }
}

/// Where the reel's bytes go, a row for each share.
fn explained(production: &Production) -> String {
    let mut table = Table::new(&["scene", "flash goes to", ">count", ">bytes", ">share"]);
    let (reel, scenes) = (&production.reel, production.show.scenes());
    for share in explain(&reel.bytes, &reel.layout) {
        let scene = share.scene.and_then(|number| scenes.get(number)).map_or("-", |scene| &scene.name);
        let percent = 100.0 * share.bytes as f64 / reel.bytes.len() as f64;
        let (count, bytes) = (share.count.to_string(), share.bytes.to_string());
        table.row([scene.to_owned(), share.kind.to_owned(), count, bytes, format!("{percent:.1} %")]);
    }
    table.to_string()
}
