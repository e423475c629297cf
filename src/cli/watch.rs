//! `watch`: serves the report to this machine alone, and builds anew whenever a file of the show is saved.

use super::Session;
use super::made::Made;
use super::production::{Production, produce};
use super::report::report;
use crate::diag::{Checked, Finding, Findings, Place};
use crate::source::{Disk, Reader};
use clap::Args;
use notify::{RecursiveMode, Watcher};
use std::collections::BTreeSet;
use std::io::ErrorKind;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tiny_http::{Header, Method, Request, Response, Server};

/// Saves that follow one another within this time are one.
const QUIET: Duration = Duration::from_millis(15);
/// How long a page is kept waiting for a build before it asks again.
const PATIENCE: Duration = Duration::from_secs(20);

/// What is watched, and where it is served.
#[derive(Debug, Args)]
pub struct Watch {
    /// The show's script.
    show: PathBuf,
    /// The port at 127.0.0.1; 0 takes any that is free.
    #[arg(long, value_name = "PORT", default_value_t = 8733)]
    port: u16,
}

/// The page and the number of its build.
#[derive(Default)]
struct Bench {
    page: String,
    build: u64,
}

#[derive(Default)]
struct Shared {
    bench: Mutex<Bench>,
    built: Condvar,
}

impl Shared {
    /// The bench; a builder that failed half-way leaves the last page whole, so a poisoned lock is as good as any.
    fn lock(&self) -> MutexGuard<'_, Bench> {
        self.bench.lock().unwrap_or_else(PoisonError::into_inner)
    }
    fn put(&self, page: String) {
        let mut bench = self.lock();
        bench.page = page;
        bench.build += 1;
        self.built.notify_all();
    }
    /// The page of another build than this one; `None` when none comes in time.
    fn after(&self, build: u64) -> Option<String> {
        let waited = self.built.wait_timeout_while(self.lock(), PATIENCE, |bench| bench.build == build);
        let bench = waited.unwrap_or_else(PoisonError::into_inner).0;
        (bench.build != build).then(|| bench.page.clone())
    }
}

impl Watch {
    /// Runs the command until it is interrupted; it comes back only when it cannot begin.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        match self.serve() {
            Ok(()) => Some(Made::default()),
            Err(finding) => {
                session.findings.push(finding);
                None
            }
        }
    }

    fn serve(&self) -> Result<(), Finding> {
        let server = Server::http((Ipv4Addr::LOCALHOST, self.port)).map_err(|why| self.refused(&*why))?;
        let port = server.server_addr().to_ip().map_or(self.port, |address| address.port());
        let shared = Arc::new(Shared::default());
        // A page that an earlier run has served counts as another one's.
        shared.lock().build = u64::from(std::process::id()) << 32;
        let mut builder = Builder::new(&self.show, Arc::clone(&shared))
            .map_err(|why| Finding::error(Place::Nowhere, format!("the show's files cannot be watched: {why}")))?;
        builder.build();
        println!("http://127.0.0.1:{port}/ shows {}; Control-C ends", self.show.display());
        std::thread::spawn(move || builder.follow());
        for request in server.incoming_requests() {
            let shared = Arc::clone(&shared);
            std::thread::spawn(move || answer(request, port, &shared));
        }
        Ok(())
    }

    fn refused(&self, why: &(dyn std::error::Error + Send + Sync + 'static)) -> Finding {
        let taken = why.downcast_ref::<std::io::Error>().is_some_and(|why| why.kind() == ErrorKind::AddrInUse);
        if taken {
            let message = format!("port {} at 127.0.0.1 is taken, perhaps by another `watch`", self.port);
            return Finding::error(Place::Nowhere, message).hint("give another with --port, or 0 for any that is free");
        }
        Finding::error(Place::Nowhere, format!("port {} at 127.0.0.1 cannot be served: {why}", self.port))
    }
}

/// Builds the show again and again.
struct Builder {
    script: PathBuf,
    shared: Arc<Shared>,
    watcher: notify::RecommendedWatcher,
    events: Receiver<notify::Result<notify::Event>>,
    /// Every file that the show has read, and the folders that are watched for them.
    files: BTreeSet<PathBuf>,
    folders: BTreeSet<PathBuf>,
    good: Option<Production>,
}

impl Builder {
    fn new(script: &Path, shared: Arc<Shared>) -> notify::Result<Self> {
        let (sender, events) = channel();
        let watcher = notify::recommended_watcher(sender)?;
        let files = BTreeSet::from([script.to_owned()]);
        Ok(Self { script: script.to_owned(), shared, watcher, events, files, folders: BTreeSet::new(), good: None })
    }

    fn build(&mut self) {
        let mut session = Session { reader: Reader::new(&Disk), findings: Findings::default() };
        if let Some(production) = produce(&self.script, &mut session) {
            self.good = Some(production);
        }
        self.files.extend(session.reader.sources.names().map(PathBuf::from));
        self.watch_folders(&mut session.findings);
        let script = self.script.display().to_string();
        let next = self.shared.lock().build + 1;
        let known = (&session.findings, &session.reader.sources);
        let page = report(self.good.as_ref(), &script, known, Some(next));
        self.shared.put(page.unwrap_or_else(|why| why));
    }

    /// Watches folders and not files, since many editors save by putting a new file in the old one's place.
    fn watch_folders(&mut self, findings: &mut Findings) {
        let folder = |file: &PathBuf| match file.parent() {
            Some(parent) if parent != Path::new("") => parent.to_owned(),
            _ => PathBuf::from("."),
        };
        let new: Vec<PathBuf> = self.files.iter().map(folder).filter(|folder| !self.folders.contains(folder)).collect();
        for folder in new {
            match self.watcher.watch(&folder, RecursiveMode::NonRecursive) {
                Ok(()) => {
                    self.folders.insert(folder);
                }
                Err(why) => {
                    let message = format!("{} cannot be watched: {why}", folder.display());
                    findings.push(Finding::warning(Place::Nowhere, message));
                }
            }
        }
    }

    fn follow(&mut self) {
        while let Ok(event) = self.events.recv() {
            let mut due = self.concerns(&event);
            while let Ok(event) = self.events.recv_timeout(QUIET) {
                due |= self.concerns(&event);
            }
            if due {
                self.build();
            }
        }
    }

    /// Whether an event is a change of one of the show's files.
    fn concerns(&self, event: &notify::Result<notify::Event>) -> bool {
        let Ok(event) = event else { return true };
        let known = |path: &PathBuf| self.files.iter().any(|file| file.file_name() == path.file_name());
        !event.kind.is_access() && event.paths.iter().any(known)
    }
}

/// Serves the page and the waiting for the next one, and nothing else.
fn answer(request: Request, port: u16, shared: &Shared) {
    let named = |request: &Request| {
        let host = request.headers().iter().find(|header| header.field.equiv("Host"));
        let host = host.map(|header| header.value.as_str().to_owned()).unwrap_or_default();
        [format!("127.0.0.1:{port}"), format!("localhost:{port}")].contains(&host)
    };
    // A name of another site that was made to lead here is refused.
    const PAGE: &str = "text/html; charset=utf-8";
    let (status, kind, body) = if !named(&request) || *request.method() != Method::Get {
        (403, "text/plain", "only this machine's own browser is served".to_owned())
    } else if request.url() == "/" {
        (200, PAGE, shared.lock().page.clone())
    } else if let Some(build) = request.url().strip_prefix("/next?after=").and_then(|build| build.parse().ok()) {
        shared.after(build).map_or((204, PAGE, String::new()), |page| (200, PAGE, page))
    } else {
        (404, "text/plain", "only the report is served here".to_owned())
    };
    let headers = [("Content-Type", kind), ("Cache-Control", "no-store")];
    let headers = headers.into_iter().filter_map(|(field, value)| Header::from_bytes(field, value).ok());
    let response = headers.fold(Response::from_string(body).with_status_code(status), Response::with_header);
    // A browser that has gone away needs no answer.
    let _ = request.respond(response);
}
