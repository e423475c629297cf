//! What the benches share: a show, read from disk and drawn.

use pageloom::diag::Findings;
use pageloom::render::{Bitmap, render};
use pageloom::show::{Show, load};
use pageloom::source::{Disk, Reader};
use std::path::Path;

/// A show with its drawn frames, one list a scene.
pub struct Drawn {
    pub name: String,
    pub show: Show,
    pub frames: Vec<Vec<Bitmap>>,
}

/// Reads and draws one show; panics on a script with faults.
pub fn drawn(script: &Path) -> Drawn {
    let (disk, mut findings) = (Disk, Findings::default());
    let show = load(&mut Reader::new(&disk), script, &mut findings);
    let show = show.unwrap_or_else(|| panic!("{} has faults", script.display()));
    let frames = render(&show);
    Drawn { name: show.name().to_owned(), show, frames }
}
