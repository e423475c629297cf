//! `watch`: serves the report and the drawing board to this machine only, and builds again when a file of the show is saved.

mod board;
mod builder;
mod drafter;
mod follow;
mod listen;
mod serve;
mod shared;

use super::made::Made;
use crate::build::Session;
use crate::diag::{Checked, Finding, Findings, Place, Sources};
use crate::source::{Disk, Files, LIMITS, parse};
use board::{Board, WatchedFile};
use builder::{Builder, tell};
use clap::Args;
use drafter::Drafter;
use follow::Followed;
use listen::listen;
use shared::Shared;
use std::io::ErrorKind;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::channel;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::runtime::Builder as Runtime;

/// How long a page is kept waiting for a build before it asks again.
const PATIENCE: Duration = Duration::from_secs(20);

/// What is watched, and where it is served.
#[derive(Debug, Args)]
pub struct Watch {
    /// Script of the show, or the RON file of a font alone.
    #[arg(value_name = "SHOW|FONT")]
    show: PathBuf,
    /// Port on 127.0.0.1; 0 takes any free port.
    #[arg(long, value_name = "PORT", default_value_t = 8733)]
    port: u16,
    /// Make only a quick build at each save, without a search for a dense reel afterwards.
    #[arg(long)]
    quick: bool,
    /// Do not let the page change fonts or pictures.
    #[arg(long)]
    read_only: bool,
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
        let watched = if is_font(&self.show) { WatchedFile::Font } else { WatchedFile::Show }(self.show.clone());
        let board = Board::new(watched, self.read_only).map_err(|why| Finding::error(Place::Nowhere, why))?;
        let shared = Arc::new(Shared::new(board));
        let unwatched =
            |why: String| Finding::error(Place::Nowhere, format!("the show's files cannot be watched: {why}"));
        let (files, saves) = Followed::new().map_err(|why| unwatched(why.to_string()))?;
        let mut drafter = Drafter::new(Arc::clone(&shared), Arc::clone(&files)).map_err(unwatched)?;
        let mut builder = Builder::new(self.quick, Arc::clone(&shared), files);
        let line = builder.build();
        tell(&format!("http://127.0.0.1:{port}/ shows {}; Control-C ends", self.show.display()));
        tell(&line);
        let (due, dues) = channel();
        std::thread::spawn(move || builder.follow(&dues));
        std::thread::spawn(move || drafter.follow(&saves, &due));
        runtime.block_on(listen(listener, port, shared));
        Ok(())
    }

    fn refused(&self, why: &std::io::Error) -> Finding {
        if why.kind() == ErrorKind::AddrInUse {
            let message = format!("port {} on 127.0.0.1 is in use, perhaps by another `watch`", self.port);
            return Finding::error(Place::Nowhere, message).hint("choose another with --port; 0 takes any free port");
        }
        Finding::error(Place::Nowhere, format!("port {} on 127.0.0.1 cannot be used: {why}", self.port))
    }
}

/// Whether a file describes a font; one that cannot be read counts as a script.
fn is_font(path: &Path) -> bool {
    let text = Disk.read(path, LIMITS.text_bytes).ok().and_then(|bytes| String::from_utf8(bytes).ok());
    let tree = text.and_then(|text| parse(&text, Sources::default().add("", ""), &mut Findings::default()));
    tree.is_some_and(|tree| tree.head() == Some("Font"))
}
