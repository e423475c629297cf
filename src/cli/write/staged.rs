//! A set of files of one folder on its way: written whole under another name, made ready by one renaming, then put in place.

use super::fault;
use crate::build::OutputFile;
use crate::diag::Finding;
use std::path::{Path, PathBuf};

/// The folder in which a set is written, and the folder of a complete set. A complete set is put in place, by the next run if
/// necessary.
pub const FRESH: &str = ".pageloom-new";
pub const READY: &str = ".pageloom-ready";

/// A set that is written; it is removed again unless it was made ready.
pub struct Staged {
    folder: PathBuf,
    ready: bool,
}

impl Staged {
    /// Writes a set next to its place. Its folder must be locked and recovered.
    pub fn of(folder: &Path, set: &[&OutputFile]) -> Result<Self, Finding> {
        let staged = Self { folder: folder.to_owned(), ready: false };
        let fresh = folder.join(FRESH);
        std::fs::create_dir(&fresh).map_err(|error| fault(folder, &error))?;
        for file in set {
            let name = file.path.file_name().unwrap_or_default();
            std::fs::write(fresh.join(name), &file.bytes).map_err(|error| fault(&file.path, &error))?;
        }
        Ok(staged)
    }

    /// Marks the set as complete: from now on it replaces the one in place.
    pub fn make_ready(&mut self) -> Result<(), Finding> {
        let renamed = std::fs::rename(self.folder.join(FRESH), self.folder.join(READY));
        renamed.map_err(|error| fault(&self.folder, &error))?;
        self.ready = true;
        Ok(())
    }

    /// Puts each file where it belongs.
    pub fn put_in_place(self) -> Result<(), Finding> {
        put_in_place(&self.folder)
    }
}

impl Drop for Staged {
    fn drop(&mut self) {
        if !self.ready {
            // What stays of it is removed by the next run.
            let _ = std::fs::remove_dir_all(self.folder.join(FRESH));
        }
    }
}

/// Completes what a run that was killed had made ready, and removes what it had not.
pub fn recover(folder: &Path) -> Result<(), Finding> {
    let (fresh, ready) = (folder.join(FRESH), folder.join(READY));
    if fresh.exists() {
        std::fs::remove_dir_all(&fresh).map_err(|error| fault(&fresh, &error))?;
    }
    if ready.exists() { put_in_place(folder) } else { Ok(()) }
}

fn put_in_place(folder: &Path) -> Result<(), Finding> {
    let ready = folder.join(READY);
    let entries = ready.read_dir().and_then(Iterator::collect::<Result<Vec<_>, _>>);
    let mut names: Vec<_> =
        entries.map_err(|error| fault(&ready, &error))?.iter().map(|entry| entry.file_name()).collect();
    names.sort();
    for name in names {
        let path = folder.join(&name);
        std::fs::rename(ready.join(&name), &path).map_err(|error| fault(&path, &error))?;
    }
    std::fs::remove_dir(&ready).map_err(|error| fault(&ready, &error))
}
