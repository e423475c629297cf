//! Builds the show again whenever one of its files is saved, vanishes or comes back; a fault of ours ends that one build alone.

use super::Shared;
use super::follow::Followed;
use crate::build::{Production, Session, Steps, produce, report};
use crate::cli::progress::Progress;
use crate::diag::{Checked, Finding, Place};
use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// How a show is produced: [`produce`], but for tests.
type Produce = fn(&Path, bool, &dyn Steps, &mut Session<'_>) -> Checked<Production>;

/// Builds the show again and again.
pub struct Builder {
    script: PathBuf,
    quick: bool,
    shared: Arc<Shared>,
    files: Followed,
    good: Option<Production>,
    produce: Produce,
}

impl Builder {
    /// A builder of a script, that puts its pages where they are served from.
    pub fn new(script: &Path, quick: bool, shared: Arc<Shared>) -> notify::Result<Self> {
        Ok(Self { script: script.to_owned(), quick, shared, files: Followed::new()?, good: None, produce })
    }

    /// Builds once; the last good show stays where this one fails.
    pub fn build(&mut self) {
        let mut session = Session::new(&self.files);
        let made = guarded(|| (self.produce)(&self.script, self.quick, &Progress::new(), &mut session));
        match made {
            Ok(made) => self.good = made.or_else(|| self.good.take()),
            Err(fault) => session.findings.push(fault),
        }
        for fault in self.files.take_faults() {
            session.findings.push(Finding::warning(Place::Nowhere, fault));
        }
        // A show that cannot be put on a page is left out, so that the page can say why and follow the next build.
        let page = self.page(&session, self.good.as_ref()).or_else(|fault| {
            session.findings.push(fault);
            self.page(&session, None)
        });
        self.shared.put(page.unwrap_or_else(|fault| fault.message));
    }

    fn page(&self, session: &Session<'_>, good: Option<&Production>) -> Result<String, Finding> {
        let script = self.script.display().to_string();
        let known = (&session.findings, &session.reader.sources);
        let page = guarded(|| report(good, &script, known, Some(self.shared.build() + 1)))?;
        page.map_err(|why| Finding::error(Place::Nowhere, why))
    }

    /// Builds at each change, for ever.
    pub fn follow(&mut self) {
        while self.files.wait() {
            self.build();
        }
    }
}

/// What a part of a build comes to; a panic in it is told as ours, and what it was about to change is thrown away.
fn guarded<T>(part: impl FnOnce() -> T) -> Result<T, Finding> {
    catch_unwind(AssertUnwindSafe(part)).map_err(|why| {
        Finding::error(Place::Nowhere, format!("this build ended half-way: {}", told(&*why)))
            .hint("this is a fault of pageloom, not of the show: please report it")
            .hint("the next save builds again")
    })
}

fn told(why: &(dyn Any + Send)) -> &str {
    let words = why.downcast_ref::<&str>().copied();
    words.or_else(|| why.downcast_ref::<String>().map(String::as_str)).unwrap_or("without a word")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn page(builder: &Builder) -> String {
        String::from_utf8(builder.shared.page().to_vec()).expect("a page is text")
    }

    #[test]
    fn a_panic_is_told_as_ours_on_a_page_that_follows_the_next_build() {
        let script = Path::new("scenes/helm.ron");
        let mut builder = Builder::new(script, true, Arc::new(Shared::new())).expect("files can be followed");
        builder.build();
        let good = page(&builder);
        builder.produce = |_, _, _, _| panic!("index out of bounds");
        builder.build();
        let broken = page(&builder);
        for words in
            ["this build ended half-way: index out of bounds", "a fault of pageloom", "The last good picture stays"]
        {
            assert!(broken.contains(words) && !good.contains(words), "{words}");
        }
        assert!(broken.contains(&format!("data-build=\"{}\"", builder.shared.build())));
        builder.produce = produce;
        builder.build();
        assert!(!page(&builder).contains("this build ended"));
    }
}
