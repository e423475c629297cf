//! `watch`: serves the report to this machine alone, and builds anew whenever a file of the show is saved.

mod builder;
mod follow;
mod serve;

use super::Session;
use super::made::Made;
use crate::diag::{Checked, Finding, Place};
use builder::Builder;
use clap::Args;
use std::io::ErrorKind;
use std::net::Ipv4Addr;
use std::path::PathBuf;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tiny_http::Server;

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
    /// Take less time at each save: look for no dense reel.
    #[arg(long)]
    quick: bool,
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
        let mut builder = Builder::new(&self.show, self.quick, Arc::clone(&shared))
            .map_err(|why| Finding::error(Place::Nowhere, format!("the show's files cannot be watched: {why}")))?;
        builder.build();
        println!("http://127.0.0.1:{port}/ shows {}; Control-C ends", self.show.display());
        std::thread::spawn(move || builder.follow());
        for request in server.incoming_requests() {
            let shared = Arc::clone(&shared);
            std::thread::spawn(move || serve::answer(request, port, &shared));
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
