//! Writes all files of a command or none: first into a new folder next to their places, then into place, while the folder is
//! locked. If a run was killed, the next run completes or removes what it left.

mod lock;
mod staged;

use crate::build::OutputFile;
use crate::diag::{Finding, Place};
use lock::Lock;
use staged::{Staged, recover};
use std::collections::BTreeMap;
use std::io::{Error, ErrorKind};
use std::path::{Path, PathBuf};

/// The files of one folder.
type FileSet<'a> = Vec<&'a OutputFile>;

/// Writes all files or none. Without `replace`, a file that is there already is an error.
pub fn write_all(files: &[OutputFile], replace: bool) -> Result<(), Finding> {
    let sets = by_folder(files)?;
    // In the order of their paths, so that no two programs wait for each other.
    let _locks: Vec<Lock> = sets.keys().map(|folder| Lock::take(folder)).collect::<Result<_, _>>()?;
    for folder in sets.keys() {
        recover(folder)?;
    }
    files.iter().try_for_each(|file| free(file, replace))?;
    let mut staged = sets.iter().map(|(folder, set)| Staged::of(folder, set)).collect::<Result<Vec<_>, _>>()?;
    staged.iter_mut().try_for_each(Staged::make_ready)?;
    staged.into_iter().try_for_each(Staged::put_in_place)
}

/// The files by their folders, which are made where there are none.
fn by_folder(files: &[OutputFile]) -> Result<BTreeMap<PathBuf, FileSet<'_>>, Finding> {
    let mut sets = BTreeMap::<PathBuf, FileSet<'_>>::new();
    for file in files {
        let folder = match file.path.parent() {
            Some(parent) if parent != Path::new("") => parent,
            _ => Path::new("."),
        };
        let whole = std::fs::create_dir_all(folder).and_then(|()| folder.canonicalize());
        sets.entry(whole.map_err(|error| fault(&file.path, &error))?).or_default().push(file);
    }
    Ok(sets)
}

/// Whether a file may be put in its place.
fn free(file: &OutputFile, replace: bool) -> Result<(), Finding> {
    let path = file.path.display();
    if file.path.is_dir() {
        let message = format!("{path} cannot be written: a folder has that name");
        return Err(Finding::error(Place::Nowhere, message).hint("choose another path, or move the folder"));
    }
    if !replace && file.path.exists() {
        let message = format!("{path} already exists");
        return Err(Finding::error(Place::Nowhere, message).hint("use --replace to overwrite it"));
    }
    Ok(())
}

/// Why a file or folder cannot be written.
fn fault(path: &Path, error: &Error) -> Finding {
    let (why, hint) = match error.kind() {
        ErrorKind::StorageFull => {
            ("the disk is full".to_owned(), "free some space, or choose a folder on another disk with --out")
        }
        ErrorKind::QuotaExceeded => {
            ("your disk quota is used up".to_owned(), "free some space, or choose a folder on another disk with --out")
        }
        ErrorKind::FileTooLarge => {
            ("it exceeds the largest file that this system allows".to_owned(), "raise the limit; `ulimit -f` shows it")
        }
        _ => (error.to_string(), "choose a folder that you can write to, with --out or in the file's path"),
    };
    let message = format!("{} cannot be written: {why}", path.display());
    Finding::error(Place::Nowhere, message).hint(hint)
}

#[cfg(test)]
mod tests;
