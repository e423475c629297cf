//! Builds the show again whenever one of its files is saved, vanishes or comes back; a fault of ours ends that one build alone.

use super::Shared;
use super::board::WatchedFile;
use super::drafter::Due;
use super::follow::Followed;
use crate::budget::verdict;
use crate::build::{Drawn, Production, Session, Steps, produce, report};
use crate::cli::progress::ProgressLine;
use crate::cli::terminal::columns;
use crate::diag::{Checked, Finding, Place, Severity, number_of, wrapped};
use crate::font::Font;
use crate::report::LivePage;
use std::any::Any;
use std::io::Write;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

/// How long a person who draws must pause until the show is built, and one who saves until it is built in full.
const PAUSE: Duration = Duration::from_millis(400);

/// How a show is produced: [`produce`], but for tests.
type Produce = fn(&Path, bool, &dyn Steps, &mut Session<'_>) -> Checked<Production>;

/// Builds the show again and again.
pub struct Builder {
    watched: WatchedFile,
    quick: bool,
    shared: Arc<Shared>,
    files: Arc<Followed>,
    good: Option<Production>,
    /// The name of a font that is watched alone.
    font: Option<String>,
    /// How many builds there were.
    count: u32,
    produce: Produce,
}

impl Builder {
    /// A builder of what is watched, that puts its pages where they are served from.
    pub fn new(quick: bool, shared: Arc<Shared>, files: Arc<Followed>) -> Self {
        let watched = shared.board.watched().clone();
        Self { watched, quick, shared, files, good: None, font: None, count: 0, produce }
    }

    /// Builds once; what came of it, in a line.
    pub fn build(&mut self) -> String {
        let outcome = self.make(self.quick);
        self.line(&outcome)
    }

    /// Counts a build, and names its outcome by its number.
    fn line(&mut self, outcome: &str) -> String {
        self.count += 1;
        format!("build {}: {outcome}", self.count)
    }

    /// Makes the page; the last good show stays where this one fails. What came of it, in words.
    fn make(&mut self, quickly: bool) -> String {
        // First, so that a page sees its pixels before the show is built with them.
        let refreshed = guarded(|| self.shared.board.refresh(&*self.files));
        let drawn = self.shared.drafts().count;
        let mut session = Session::new(&*self.files);
        let made = match &self.watched {
            WatchedFile::Show(script) => {
                guarded(|| (self.produce)(script, quickly, &ProgressLine::new(), &mut session))
            }
            WatchedFile::Font(path) => {
                let font = guarded(|| Font::load(&mut session.reader, path, Place::Nowhere, &mut session.findings));
                font.map(|font| {
                    self.font = font.map(|font| font.name().to_owned()).or_else(|| self.font.take());
                    None
                })
            }
        };
        match made {
            Ok(made) => self.good = made.or_else(|| self.good.take()),
            Err(fault) => session.findings.push(fault),
        }
        if let Err(fault) = refreshed {
            session.findings.push(fault);
        }
        for fault in self.files.take_faults() {
            session.findings.push(Finding::warning(Place::Nowhere, fault));
        }
        // A show that cannot be put on a page is left out, so that the page can say why and follow the next build.
        let page = self.page(&session, self.good.as_ref()).or_else(|fault| {
            session.findings.push(fault);
            self.page(&session, None)
        });
        self.put(page.unwrap_or_else(|fault| fault.message), drawn);
        self.outcome(&session)
    }

    /// What came of a build: the verdict, or how many errors there are with the first of them and its place.
    fn outcome(&self, session: &Session<'_>) -> String {
        let findings = &session.findings;
        let first = findings.iter().find(|finding| finding.severity == Severity::Error);
        match (first, &self.good) {
            (Some(error), _) if findings.any_fault() => {
                let sources = &session.reader.sources;
                let place = match &error.place {
                    Place::Text(span) => {
                        let (line, column) = sources.line_and_column(span.file, span.start);
                        format!("{}:{line}:{column}: ", sources.name(span.file))
                    }
                    _ => String::new(),
                };
                let more = match findings.count(Severity::Error) {
                    1 => String::new(),
                    count => format!(" ({count} errors)"),
                };
                format!("failed: {place}{}{more}", error.message)
            }
            (_, Some(good)) => verdict(&good.choice.fitted.fit, findings),
            (_, None) => match &self.font {
                Some(name) => format!("{name}: {}", number_of(findings.count(Severity::Warning), "warning")),
                None => "nothing was built".to_owned(),
            },
        }
    }

    fn page(&self, session: &Session<'_>, good: Option<&Production>) -> Result<String, Finding> {
        let script = self.watched.path().display().to_string();
        let known = (&session.findings, &session.reader.sources);
        let (build, token) = (self.shared.build() + 1, self.shared.board.token());
        let live = LivePage { build, token, font: self.font.as_deref() };
        let page = guarded(|| report(good, &script, known, Some(live)))?;
        page.map_err(|why| Finding::error(Place::Nowhere, why))
    }

    /// Puts a page in place; what was drawn since the show was read stays on it.
    fn put(&self, page: String, drawn: u64) {
        let built = self.good.as_ref().map(|good| Drawn { show: good.show.clone(), frames: good.frames.clone() });
        let mut drafts = self.shared.drafts();
        drafts.built = built;
        let newer = (drafts.count != drawn).then(|| drafts.draft()).flatten();
        let scenes = newer.map(|draft| draft.data());
        self.shared.put(page, scenes.as_deref());
    }

    /// Builds whenever that is due, and never returns: at first quickly, so that the page soon has what was saved, and in full once nothing is
    /// saved for a while.
    pub fn follow(&mut self, dues: &Receiver<Due>) {
        let mut next = dues.recv().ok();
        while let Some(due) = next {
            if !gathered(due, dues) {
                return;
            }
            let in_full = !self.quick && matches!(self.watched, WatchedFile::Show(_));
            let mut outcome = self.make(in_full || self.quick);
            next = if in_full { dues.recv_timeout(PAUSE).ok() } else { None };
            if in_full && next.is_none() {
                outcome = self.make(false);
            }
            let line = self.line(&outcome);
            tell(&line);
            next = next.or_else(|| dues.recv().ok());
        }
    }
}

/// Waits until nothing more is due at once, or until a person who draws pauses; false when nothing can come any more.
fn gathered(mut due: Due, dues: &Receiver<Due>) -> bool {
    loop {
        let wait = if due == Due::Now { Duration::ZERO } else { PAUSE };
        match dues.recv_timeout(wait) {
            Ok(Due::Now) => due = Due::Now,
            Ok(Due::AfterPause) => {}
            Err(RecvTimeoutError::Timeout) => return true,
            Err(RecvTimeoutError::Disconnected) => return false,
        }
    }
}

/// Indentation of continued lines.
const HANG: usize = 2;

/// Tells a line on the standard output.
pub fn tell(line: &str) {
    // A person who closed the stream wants to hear nothing more.
    let _ = writeln!(std::io::stdout().lock(), "{}", wrapped(line, columns(), HANG));
}

/// The result of a part of a build. A panic is reported as our bug, and its changes are dropped.
pub fn guarded<T>(part: impl FnOnce() -> T) -> Result<T, Finding> {
    catch_unwind(AssertUnwindSafe(part)).map_err(|why| {
        Finding::error(Place::Nowhere, format!("the build crashed: {}", panic_words(&*why)))
            .hint("this is a bug in pageloom, not in your show: please report it")
            .hint("save again to rebuild")
    })
}

fn panic_words(why: &(dyn Any + Send)) -> &str {
    let words = why.downcast_ref::<&str>().copied();
    words.or_else(|| why.downcast_ref::<String>().map(String::as_str)).unwrap_or("without a word")
}

#[cfg(test)]
mod tests {
    use super::super::board::Board;
    use super::*;

    fn page(builder: &Builder) -> String {
        String::from_utf8(builder.shared.page().to_vec()).expect("a page is text")
    }

    #[test]
    fn a_panic_is_told_as_ours_on_a_page_that_follows_the_next_build() {
        let board = Board::new(WatchedFile::Show("scenes/helm.ron".into()), true).expect("random numbers");
        let (files, _) = Followed::new().expect("files can be followed");
        let mut builder = Builder::new(true, Arc::new(Shared::new(board)), files);
        let line = builder.build();
        assert!(line.starts_with("build 1: Fits and keeps time: flash "), "{line}");
        let good = page(&builder);
        builder.produce = |_, _, _, _| panic!("index out of bounds");
        let line = builder.build();
        assert!(line.starts_with("build 2: failed: the build crashed: index out of bounds"), "{line}");
        let broken = page(&builder);
        for words in ["the build crashed: index out of bounds", "a bug in pageloom", "The last good picture stays"] {
            assert!(broken.contains(words) && !good.contains(words), "{words}");
        }
        assert!(broken.contains(&format!("data-build=\"{}\"", builder.shared.build())));
        builder.produce = produce;
        builder.build();
        assert!(!page(&builder).contains("the build crashed"));
        builder.watched = WatchedFile::Show("scenes/absent.ron".into());
        let line = builder.build();
        assert!(line.starts_with("build 4: failed: there is no file"), "{line}");
    }
}
