//! What the builder, the drafter and the server share: the page of the last build, newer pictures for it, and the drawing board.

use super::PATIENCE;
use super::board::Board;
use crate::build::{Draft, DraftMemory, Drawn};
use hyper::body::Bytes;
use std::sync::{Mutex, MutexGuard, PoisonError};
use tokio::sync::watch::Sender;
use tokio::time::timeout;

/// The page and the number of its build.
#[derive(Default)]
struct Bench {
    page: Bytes,
    build: u64,
    /// How many drafts there were since the page was made.
    drafts: u64,
    /// The last of them as JSON; empty when there was none.
    draft: Bytes,
}

/// What is news to a page.
pub enum News {
    /// A whole page.
    Page(Bytes),
    /// A draft for the page, as JSON.
    Draft(Bytes),
}

/// The show as the page has it, and as it was drawn since.
#[derive(Default)]
pub struct Drafts {
    pub built: Option<Drawn>,
    /// `None` while the show has faults.
    pub now: Option<Drawn>,
    /// How often it was drawn.
    pub count: u64,
    memory: DraftMemory,
}

impl Drafts {
    /// What the page is to show instead of what it has; `None` when there is no way to say that by pictures alone.
    pub fn draft(&mut self) -> Option<Draft> {
        self.now.as_ref()?.draft(self.built.as_ref()?, &mut self.memory)
    }
}

/// What all share.
pub struct Shared {
    bench: Sender<Bench>,
    drafts: Mutex<Drafts>,
    pub board: Board,
}

impl Shared {
    /// No page yet. One that an earlier run has served counts as another build's.
    pub fn new(board: Board) -> Self {
        let build = u64::from(std::process::id()) << 32;
        Self { bench: Sender::new(Bench { build, ..Bench::default() }), drafts: Mutex::default(), board }
    }

    /// A panic elsewhere leaves whole shows, since each is replaced at once.
    pub fn drafts(&self) -> MutexGuard<'_, Drafts> {
        self.drafts.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The number of the build that the page is of.
    pub fn build(&self) -> u64 {
        self.bench.borrow().build
    }
    /// The page, with its draft at its end.
    pub fn page(&self) -> Bytes {
        self.bench.borrow().whole()
    }
    /// Puts the page of the next build in place, with newer pictures for it where there are any.
    pub fn put(&self, page: String, draft: Option<&str>) {
        self.bench.send_modify(|bench| {
            *bench = Bench { page: page.into(), build: bench.build + 1, ..Bench::default() };
            draft.into_iter().for_each(|scenes| bench.add(scenes));
        });
    }
    /// Puts newer pictures for the page in place, as a JSON list of scenes.
    pub fn put_draft(&self, scenes: &str) {
        self.bench.send_modify(|bench| bench.add(scenes));
    }

    /// The page of another build than this one, or, for a page that asks for drafts, another draft for it than it has; `None` when
    /// neither comes in time.
    pub async fn after(&self, build: u64, draft: Option<u64>) -> Option<News> {
        let mut bench = self.bench.subscribe();
        let is_news = |bench: &Bench| bench.build != build || draft.is_some_and(|draft| bench.drafts != draft);
        let news = timeout(PATIENCE, bench.wait_for(is_news)).await.ok()?.ok()?;
        Some(if news.build == build { News::Draft(news.draft.clone()) } else { News::Page(news.whole()) })
    }
}

impl Bench {
    fn add(&mut self, scenes: &str) {
        self.drafts += 1;
        self.draft = format!("{{\"draft\":{},\"scenes\":{scenes}}}", self.drafts).into();
    }

    /// Behind the page's end a parser takes the element into its body (the HTML standard, "after after body").
    fn whole(&self) -> Bytes {
        if self.draft.is_empty() {
            return self.page.clone();
        }
        let parts: [&[u8]; 4] =
            [&self.page, b"<script id=\"draft\" type=\"application/json\">", &self.draft, b"</script>"];
        parts.concat().into()
    }
}
