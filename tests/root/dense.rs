//! Dense reels: every show of the corpus, played by the dense player into the model of the controller, is the frames drawn.

use pageloom::diag::Findings;
use pageloom::preview::check_scenes;
use pageloom::reel::compile_densely;
use pageloom::render::render;
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use std::path::{Path, PathBuf};

/// The scripts of the corpus and all shipped shows without live fields.
fn scripts() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folders = ["scenes/bench", "scenes"].map(|folder| std::fs::read_dir(root.join(folder)).unwrap());
    let files = folders.into_iter().flatten().map(|entry| entry.unwrap().path());
    let mut scripts: Vec<PathBuf> = files.filter(|path| path.extension().is_some_and(|kind| kind == "ron")).collect();
    scripts.sort();
    scripts
}

#[test]
fn every_show_of_the_corpus_is_drawn_densely_as_it_was_rendered() {
    let mut dense = 0;
    for script in scripts() {
        let (disk, mut findings) = (Disk, Findings::default());
        let Some(show) = load(&mut Reader::new(&disk), &script, &mut findings) else { continue };
        let frames = render(&show);
        let Some(reel) = compile_densely(&show, &frames, &mut findings) else { continue };
        assert!(check_scenes(&show, &reel, &frames, &mut findings), "{}", script.display());
        dense += 1;
    }
    assert!(dense >= 18, "only {dense} shows");
}
