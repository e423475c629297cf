//! Files from disk that are followed: before a file is read, its folder is watched, or the nearest one above that is there.

use crate::source::{Disk, Files, ReadError};
use notify::event::{EventKind, ModifyKind};
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// Saves that follow one another within this time count as one, up to a limit.
const QUIET: Duration = Duration::from_millis(8);
const LONGEST_SAVE: Duration = Duration::from_millis(40);

/// The disk, and what was asked of it; paths are whole ones.
pub struct Followed {
    watcher: Mutex<RecommendedWatcher>,
    files: Mutex<BTreeSet<PathBuf>>,
    folders: Mutex<BTreeSet<PathBuf>>,
    /// Folders that cannot be watched, and why.
    faults: Mutex<Vec<String>>,
}

/// The saves of the files that are followed.
pub struct Saves {
    followed: Arc<Followed>,
    events: Receiver<notify::Result<Event>>,
}

/// A panic elsewhere leaves whole entries, since each is put in at once.
fn lock<T>(held: &Mutex<T>) -> MutexGuard<'_, T> {
    held.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Files for Followed {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        // Watched first, so that no save falls between; folders are watched and not files, since many editors save by
        // putting a new file in the old one's place.
        self.follow(path);
        Disk.read(path, limit)
    }
}

impl Followed {
    /// Nothing is followed yet; what is, and its saves.
    pub fn new() -> notify::Result<(Arc<Self>, Saves)> {
        let (sender, events) = channel();
        let watcher = Mutex::new(notify::recommended_watcher(sender)?);
        let (files, folders, faults) = (Mutex::default(), Mutex::default(), Mutex::default());
        let followed = Arc::new(Self { watcher, files, folders, faults });
        Ok((Arc::clone(&followed), Saves { followed, events }))
    }

    fn follow(&self, file: &Path) {
        let Ok(file) = std::path::absolute(file) else { return };
        let there = file.ancestors().skip(1).find(|folder| folder.is_dir());
        let is_new = |folder: &&Path| !lock(&self.folders).contains(*folder);
        if let Some(folder) = there.filter(is_new) {
            let watched = lock(&self.watcher).watch(folder, RecursiveMode::NonRecursive);
            match watched {
                Ok(()) => {
                    lock(&self.folders).insert(folder.to_owned());
                }
                Err(why) => {
                    // Without its folders, which a page should not tell.
                    let name = folder.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
                    lock(&self.faults).push(format!("the folder {name} cannot be watched: {why}"));
                }
            }
        }
        lock(&self.files).insert(file);
    }

    /// Why folders that were met since cannot be watched.
    pub fn take_faults(&self) -> Vec<String> {
        std::mem::take(&mut *lock(&self.faults))
    }

    /// Whether an event is of a followed file or of a folder above one; a folder that went away is watched no more.
    fn concerns(&self, event: notify::Result<Event>) -> bool {
        let Ok(event) = event else { return true };
        if matches!(event.kind, EventKind::Remove(_) | EventKind::Modify(ModifyKind::Name(_))) {
            for path in &event.paths {
                if lock(&self.folders).remove(path) {
                    // The system may have forgotten it already.
                    let _ = lock(&self.watcher).unwatch(path);
                }
            }
        }
        let files = lock(&self.files);
        let known = |path: &PathBuf| files.iter().any(|file| file.starts_with(path));
        event.need_rescan() || !event.kind.is_access() && event.paths.iter().any(known)
    }
}

impl Saves {
    /// Waits until a followed file changes, and then until saves pause; false when nothing can come any more.
    pub fn wait(&self) -> bool {
        loop {
            let Ok(event) = self.events.recv() else { return false };
            let begun = Instant::now();
            let mut due = self.followed.concerns(event);
            while begun.elapsed() < LONGEST_SAVE
                && let Ok(event) = self.events.recv_timeout(QUIET)
            {
                due |= self.followed.concerns(event);
            }
            if due {
                return true;
            }
        }
    }
}
