//! What a build leaves in its folder when it is not let to write: the set of the build before, and nothing else.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

const PROGRAM: &str = env!("CARGO_BIN_EXE_pageloom");
const SHOW: &str = "scenes/bringup.ron";

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(folder).expect("a folder").flatten();
    entries
        .map(|entry| {
            (entry.file_name().to_string_lossy().into_owned(), std::fs::read(entry.path()).expect("a file, no folder"))
        })
        .collect()
}

/// Runs a build whose files may have so many blocks of 512 bytes at most, as POSIX has it for `ulimit -f`; the signal of the limit
/// (SIGXFSZ) is ignored, so that writing fails.
fn limited(folder: &Path, blocks: u32) -> Output {
    let line = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" build {SHOW} --out \"$1\"");
    Command::new("sh").args(["-c", &line, PROGRAM]).arg(folder).output().expect("a shell")
}

#[test]
fn a_build_that_may_not_write_enough_leaves_the_set_before_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let whole = limited(folder.path(), 1 << 20);
    assert!(whole.status.success(), "{}", String::from_utf8_lossy(&whole.stderr));
    let before = files(folder.path());
    assert!(before.keys().all(|name| !name.starts_with('.')) && before.len() > 5, "{:?}", before.keys());
    std::fs::write(folder.path().join("bringup.h"), "from before").expect("written");
    let before = files(folder.path());
    let refused = limited(folder.path(), 4);
    let told = String::from_utf8_lossy(&refused.stderr);
    assert_eq!(refused.status.code(), Some(1), "{told}");
    assert!(told.contains("cannot be written: it exceeds the largest file that this system allows"), "{told}");
    assert!(files(folder.path()) == before, "{:?}", files(folder.path()).keys());
}
