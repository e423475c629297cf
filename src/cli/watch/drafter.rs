//! Shows the pictures of each save at once; the whole build follows it.

use super::Shared;
use super::board::WatchedFile;
use super::builder::guarded;
use super::follow::{Followed, Saves};
use crate::build::{Drawn, Session};
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::Sender;

/// Why a build is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Due {
    /// A file was saved, and the page waits for it.
    Now,
    /// A person draws on the page, which shows the pictures already.
    AfterPause,
}

/// Draws the show after each save.
pub struct Drafter {
    shared: Arc<Shared>,
    files: Arc<Followed>,
    /// Threads of its own, so that it never waits for a build.
    threads: ThreadPool,
    /// Changes by pages so far.
    drawn: u64,
}

impl Drafter {
    /// A drafter for what is watched; `Err` when the system has no threads to give.
    pub fn new(shared: Arc<Shared>, files: Arc<Followed>) -> Result<Self, String> {
        let threads = ThreadPoolBuilder::new().build().map_err(|why| why.to_string())?;
        Ok(Self { shared, files, threads, drawn: 0 })
    }

    /// Answers each save with new pictures, and requests a build. Never returns.
    pub fn follow(&mut self, saves: &Saves, builds: &Sender<Due>) {
        while saves.wait() {
            // A panic is one of the build that follows, too, which reports it.
            let due = guarded(|| self.answer()).unwrap_or(Due::Now);
            if builds.send(due).is_err() {
                return;
            }
        }
    }

    fn answer(&mut self) -> Due {
        // First, so that a page sees its pixels before anything is drawn with them.
        self.shared.board.refresh(&*self.files);
        let drawn = self.shared.board.changes();
        let by_page = std::mem::replace(&mut self.drawn, drawn) != drawn;
        let shown = match self.shared.board.watched() {
            WatchedFile::Show(script) => self.draft(script),
            WatchedFile::Font(_) => false,
        };
        if by_page && shown { Due::AfterPause } else { Due::Now }
    }

    /// Puts the pictures of the current show on the page. Returns whether this was possible.
    fn draft(&self, script: &Path) -> bool {
        let files = &*self.files;
        let now = self.threads.install(|| Drawn::read(script, &mut Session::new(files)));
        let mut drafts = self.shared.drafts();
        drafts.count += 1;
        drafts.now = now;
        let all = &mut *drafts;
        let draft = self.threads.install(|| all.draft());
        let Some(draft) = draft else { return false };
        self.shared.put_draft(&draft.data());
        true
    }
}
