//! `emit sketch` and `emit library`: folders with the shows of a firmware and the player, as environments and managers open them.

use super::build::each;
use super::made::Made;
use super::progress::ProgressLine;
use crate::build::{Session, firmware_in, produce};
use crate::diag::{Checked, Finding, Place};
use crate::emit::{Firmware, SKETCH_WRITE_LIMIT, SourceFile, library_name, manifests, sketch, sketch_name};
use clap::Args;
use std::path::{Path, PathBuf};

/// The shows, and where their folder is made.
#[derive(Debug, Args)]
pub struct FirmwareFolder {
    /// Scripts of the shows.
    #[arg(required = true, value_name = "SHOW")]
    shows: Vec<PathBuf>,
    /// Folder in which the new folder is made.
    #[arg(long, value_name = "FOLDER", default_value = "out")]
    out: PathBuf,
}

impl FirmwareFolder {
    /// Makes the folder of a sketch: main loop, shows and player.
    pub fn sketch(&self, session: &mut Session<'_>) -> Checked<Made> {
        let shows = self.firmware(Some(SKETCH_WRITE_LIMIT), session)?;
        let folder = self.out.join(sketch_name(&shows));
        let mut files = in_c(firmware_in(&folder, &shows, session)?);
        files.push(sketch(&shows));
        Some(written(&folder, files))
    }

    /// The folder of a library: manifests, and `src` with the shows and the player.
    pub fn library(&self, session: &mut Session<'_>) -> Checked<Made> {
        let shows = self.firmware(None, session)?;
        let folder = self.out.join(library_name(&shows));
        let mut files = in_c(firmware_in(&folder.join("src"), &shows, session)?);
        files.iter_mut().for_each(|file| file.name.insert_str(0, "src/"));
        files.extend(session.checked(manifests(&shows))?);
        Some(written(&folder, files))
    }

    /// The shows as firmware; a write limit beyond `most` is an error.
    fn firmware(&self, most: Option<u16>, session: &mut Session<'_>) -> Checked<Vec<Firmware>> {
        let progress = ProgressLine::new();
        each(&self.shows, session, |script, session| {
            let production = produce(script, false, &progress, session)?;
            let most = most.filter(|_| !production.show.bus().is_spi());
            let limit = production.show.bus().write_limit;
            if let Some(most) = most.filter(|most| limit > *most) {
                let message = format!(
                    "{} sends up to {limit} bytes after the address; the I²C library of a sketch takes {most}",
                    production.show.name()
                );
                session
                    .findings
                    .push(Finding::error(Place::Nowhere, message).hint(format!("write `write_limit: {most}`")));
                return None;
            }
            Some(production.firmware())
        })
    }
}

/// What C firmware needs of the sources.
fn in_c(mut files: Vec<SourceFile>) -> Vec<SourceFile> {
    files.retain(|file| !file.name.ends_with(".rs"));
    files
}

fn written(folder: &Path, files: Vec<SourceFile>) -> Made {
    let made = files.into_iter().fold(Made::default(), |made, file| made.firmware(folder.join(file.name), file.text));
    made.replacing(true)
}
