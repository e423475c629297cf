//! The lock of a folder, by which programs that write into it take turns; it says who writes.

use super::fault;
use crate::diag::{Finding, Place};
use crate::source::{Disk, Files};
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// The file that is locked; it holds the number of the process that writes, and goes away with its lock.
pub const NAME: &str = ".pageloom-lock";
/// Writing takes far less than this.
const PATIENCE: Duration = Duration::from_secs(30);
/// Between two tries.
const PAUSE: Duration = Duration::from_millis(20);

/// A folder that no other `pageloom` writes into; the system gives it free if the program is killed.
pub struct Lock {
    path: PathBuf,
    _file: File,
}

impl Lock {
    /// Waits for a folder that another program writes into; a finding says which, should it not end.
    pub fn take(folder: &Path) -> Result<Self, Finding> {
        let path = folder.join(NAME);
        let until = Instant::now() + PATIENCE;
        loop {
            let mut options = OpenOptions::new();
            let mut file = options.read(true).write(true).create(true).truncate(false).open(&path);
            let file = file.as_mut().map_err(|error| fault(folder, error))?;
            match file.try_lock() {
                // Whoever had it before may have taken the file away meanwhile.
                Ok(()) if is_at(file, &path) => return Self::held(path, file),
                Err(TryLockError::Error(why)) if why.kind() == ErrorKind::Unsupported => return Self::held(path, file),
                Err(TryLockError::Error(why)) => return Err(fault(folder, &why)),
                _ if Instant::now() > until => return Err(taken(folder, &path)),
                _ => std::thread::sleep(PAUSE),
            }
        }
    }

    fn held(path: PathBuf, file: &File) -> Result<Self, Finding> {
        let mut file = file.try_clone().map_err(|error| fault(&path, &error))?;
        // Who it is helps others alone; on a full disk it stays untold.
        let _ = file.set_len(0).and_then(|()| write!(file, "{}", std::process::id()));
        Ok(Self { path, _file: file })
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // A file that stays is taken by the next one.
        let _ = std::fs::remove_file(&self.path);
    }
}

fn taken(folder: &Path, path: &Path) -> Finding {
    /// Digits of any number of a process.
    const MOST_DIGITS: usize = 10;
    let process = Disk.read(path, MOST_DIGITS).unwrap_or_default();
    let process = String::from_utf8_lossy(&process);
    let message =
        format!("another pageloom (process {process}) is writing to {} and does not finish", folder.display());
    Finding::error(Place::Nowhere, message).hint("stop it, or choose another folder with --out")
}

/// Whether a file that was opened is still the one at a path.
#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let same = |one: std::fs::Metadata, other: std::fs::Metadata| one.dev() == other.dev() && one.ino() == other.ino();
    file.metadata().ok().zip(path.metadata().ok()).is_some_and(|(one, other)| same(one, other))
}

#[cfg(not(unix))]
fn is_at(_: &File, path: &Path) -> bool {
    path.exists()
}
