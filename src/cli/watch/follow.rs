//! Files from disk that are followed: before a file is read, its folder is watched, or the nearest one above that is there.

use crate::source::{Disk, Files, ReadError};
use notify::event::{EventKind, ModifyKind};
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

/// Saves that follow one another within this time are one.
const QUIET: Duration = Duration::from_millis(8);

/// The disk, and what was asked of it; paths are whole ones.
pub struct Followed {
    watcher: RefCell<RecommendedWatcher>,
    events: Receiver<notify::Result<Event>>,
    files: RefCell<BTreeSet<PathBuf>>,
    folders: RefCell<BTreeSet<PathBuf>>,
    /// Folders that cannot be watched, and why.
    faults: RefCell<Vec<String>>,
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
    /// Nothing is followed yet.
    pub fn new() -> notify::Result<Self> {
        let (sender, events) = channel();
        let watcher = RefCell::new(notify::recommended_watcher(sender)?);
        Ok(Self { watcher, events, files: RefCell::default(), folders: RefCell::default(), faults: RefCell::default() })
    }

    fn follow(&self, file: &Path) {
        let Ok(file) = std::path::absolute(file) else { return };
        let there = file.ancestors().skip(1).find(|folder| folder.is_dir());
        if let Some(folder) = there
            && !self.folders.borrow().contains(folder)
        {
            match self.watcher.borrow_mut().watch(folder, RecursiveMode::NonRecursive) {
                Ok(()) => {
                    self.folders.borrow_mut().insert(folder.to_owned());
                }
                Err(why) => {
                    // Without its folders, which a page should not tell.
                    let name = folder.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
                    self.faults.borrow_mut().push(format!("the folder {name} cannot be watched: {why}"));
                }
            }
        }
        self.files.borrow_mut().insert(file);
    }

    /// Why folders that were met since cannot be watched.
    pub fn take_faults(&self) -> Vec<String> {
        std::mem::take(&mut *self.faults.borrow_mut())
    }

    /// Waits until a followed file changes, and then until saves pause; false when nothing can come any more.
    pub fn wait(&self) -> bool {
        loop {
            let Ok(event) = self.events.recv() else { return false };
            let mut due = self.concerns(event);
            while let Ok(event) = self.events.recv_timeout(QUIET) {
                due |= self.concerns(event);
            }
            if due {
                return true;
            }
        }
    }

    /// Whether an event is of a followed file or of a folder above one; a folder that went away is watched no more.
    fn concerns(&self, event: notify::Result<Event>) -> bool {
        let Ok(event) = event else { return true };
        if matches!(event.kind, EventKind::Remove(_) | EventKind::Modify(ModifyKind::Name(_))) {
            for path in &event.paths {
                if self.folders.borrow_mut().remove(path) {
                    // The system may have forgotten it already.
                    let _ = self.watcher.borrow_mut().unwatch(path);
                }
            }
        }
        let files = self.files.borrow();
        let known = |path: &PathBuf| files.iter().any(|file| file.starts_with(path));
        event.need_rescan() || !event.kind.is_access() && event.paths.iter().any(known)
    }
}
