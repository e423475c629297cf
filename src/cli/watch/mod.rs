//! `watch`: serves the report and the drawing board to this machine alone, and builds anew whenever a file of the show is saved.

mod board;
mod builder;
mod follow;
mod listen;
mod serve;

use super::made::Made;
use crate::build::Session;
use crate::diag::{Checked, Finding, Findings, Place, Sources};
use crate::source::{Disk, Files, LIMITS, parse};
use board::{Board, Watched};
use builder::{Builder, tell};
use clap::Args;
use hyper::body::Bytes;
use listen::listen;
use std::io::ErrorKind;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::runtime::Builder as Runtime;
use tokio::sync::watch::Sender;
use tokio::time::timeout;

/// How long a page is kept waiting for a build before it asks again.
const PATIENCE: Duration = Duration::from_secs(20);

/// What is watched, and where it is served.
#[derive(Debug, Args)]
pub struct Watch {
    /// Script of the show, or the RON file of a font alone.
    #[arg(value_name = "SHOW|FONT")]
    show: PathBuf,
    /// Port at 127.0.0.1; 0 takes any free port.
    #[arg(long, value_name = "PORT", default_value_t = 8733)]
    port: u16,
    /// Build faster at each save: no search for a dense reel.
    #[arg(long)]
    quick: bool,
    /// Let no page change a font or a picture.
    #[arg(long)]
    read_only: bool,
}

/// The page and the number of its build.
#[derive(Default)]
struct Bench {
    page: Bytes,
    build: u64,
}

/// What the builder and the server share.
struct Shared {
    bench: Sender<Bench>,
    board: Board,
}

impl Shared {
    /// No page yet. One that an earlier run has served counts as another build's.
    fn new(board: Board) -> Self {
        let build = u64::from(std::process::id()) << 32;
        Self { bench: Sender::new(Bench { page: Bytes::new(), build }), board }
    }
    fn build(&self) -> u64 {
        self.bench.borrow().build
    }
    fn page(&self) -> Bytes {
        self.bench.borrow().page.clone()
    }
    fn put(&self, page: String) {
        self.bench.send_modify(|bench| *bench = Bench { page: page.into(), build: bench.build + 1 });
    }
    /// The page of another build than this one; `None` when none comes in time.
    async fn after(&self, build: u64) -> Option<Bytes> {
        let mut bench = self.bench.subscribe();
        let other = timeout(PATIENCE, bench.wait_for(|bench| bench.build != build)).await.ok()?.ok()?;
        Some(other.page.clone())
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
        let runtime = Runtime::new_current_thread().enable_all().build().map_err(|why| self.refused(&why))?;
        let listener = runtime.block_on(TcpListener::bind((Ipv4Addr::LOCALHOST, self.port)));
        let listener = listener.map_err(|why| self.refused(&why))?;
        let port = listener.local_addr().map_or(self.port, |address| address.port());
        let watched = if is_font(&self.show) { Watched::Font } else { Watched::Show }(self.show.clone());
        let board = Board::new(watched, self.read_only).map_err(|why| Finding::error(Place::Nowhere, why))?;
        let shared = Arc::new(Shared::new(board));
        let mut builder = Builder::new(self.quick, Arc::clone(&shared))
            .map_err(|why| Finding::error(Place::Nowhere, format!("the show's files cannot be watched: {why}")))?;
        let line = builder.build();
        tell(&format!("http://127.0.0.1:{port}/ shows {}; Control-C ends", self.show.display()));
        tell(&line);
        std::thread::spawn(move || builder.follow());
        runtime.block_on(listen(listener, port, shared));
        Ok(())
    }

    fn refused(&self, why: &std::io::Error) -> Finding {
        if why.kind() == ErrorKind::AddrInUse {
            let message = format!("port {} at 127.0.0.1 is in use, perhaps by another `watch`", self.port);
            return Finding::error(Place::Nowhere, message).hint("choose another with --port; 0 takes any free port");
        }
        Finding::error(Place::Nowhere, format!("port {} at 127.0.0.1 cannot be served: {why}", self.port))
    }
}

/// Whether a file describes a font; one that cannot be read counts as a script.
fn is_font(path: &Path) -> bool {
    let text = Disk.read(path, LIMITS.text_bytes).ok().and_then(|bytes| String::from_utf8(bytes).ok());
    let tree = text.and_then(|text| parse(&text, Sources::default().add("", ""), &mut Findings::default()));
    tree.is_some_and(|tree| tree.head() == Some("Font"))
}
