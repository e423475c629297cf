//! The report and the served page in headless Chromium, which is Debian's: opened, stepped, scrubbed, printed, read by what
//! assistive software reads.

mod access;
mod axe;
mod board;
mod driver;
mod report;
mod served;

use driver::Browser;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The show of a script built into a folder; the address of its report.
fn built(folder: &Path, script: &Path) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    let output = program.arg("build").arg(script).arg("--out").arg(folder).output().expect("the program runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut made = std::fs::read_dir(folder).expect("a folder").flatten().map(|entry| entry.path());
    let page = made.find(|path| path.extension().is_some_and(|ending| ending == "html")).expect("a report");
    format!("file://{}", page.display())
}

fn scene(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenes/{name}.ron"))
}

/// A show whose whole display flashes five times a second: a bad one, made for this.
fn flashing() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/flashing/strobe.ron")
}

/// A browser at the helm's report, and the folder that holds it.
fn at_the_helm(width: u32, height: u32) -> (Browser, tempfile::TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let address = built(folder.path(), &scene("helm"));
    let browser = Browser::new(width, height);
    browser.open(&address);
    (browser, folder)
}

/// The picture on the display, as data that can be compared.
const PICTURE: &str = "document.getElementById('display').toDataURL()";
const PLACE: &str = "document.getElementById('place').textContent";
