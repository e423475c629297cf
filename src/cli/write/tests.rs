//! Sets of files: whole or not at all, whatever stands in the way, whoever writes beside, and wherever a run was killed.

use super::staged::{FRESH, READY};
use super::*;

fn file(path: PathBuf, text: &str) -> OutputFile {
    OutputFile { path, bytes: text.into(), firmware: false }
}

/// What lies in a folder, by name.
fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder").flatten();
    let mut names: Vec<String> = entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

fn set(folder: &Path, text: &str) -> Vec<OutputFile> {
    ["helm.c", "helm.h", "helm.rs"].map(|name| file(folder.join(name), text)).into()
}

fn require_set(folder: &Path, text: &str) {
    assert_eq!(names(folder), ["helm.c", "helm.h", "helm.rs"]);
    for file in set(folder, text) {
        assert_eq!(std::fs::read(&file.path).expect("written"), file.bytes, "{}", file.path.display());
    }
}

#[test]
fn all_files_are_written_or_none() {
    let folder = tempfile::tempdir().expect("a folder");
    let [one, two] = ["one", "deep/two"].map(|name| folder.path().join(name));
    write_all(&[file(one.clone(), "1"), file(two.clone(), "2")], false).expect("written");
    let blocked = folder.path().join("one/three");
    let refused = write_all(&[file(two.clone(), "changed"), file(blocked, "3")], true).expect_err("no folder");
    assert!(refused.message.contains("three cannot be written"), "{}", refused.message);
    assert_eq!(std::fs::read_to_string(&two).expect("whole"), "2");
    assert!(write_all(&[file(one, "x")], false).is_err());
    let refused = write_all(&[file(folder.path().join("new"), "x"), file(folder.path().join("deep"), "x")], true);
    assert!(refused.expect_err("a folder").message.contains("a folder has that name"));
    assert_eq!(
        (names(folder.path()), names(&folder.path().join("deep"))),
        (vec!["deep".into(), "one".into()], vec!["two".into()])
    );
}

/// A run that is killed while it writes leaves a folder of new files. A run that is killed later has put some files in place.
#[test]
fn a_set_is_completed_or_removed_wherever_a_run_was_killed() {
    for in_place in 0..=3 {
        let folder = tempfile::tempdir().expect("a folder");
        write_all(&set(folder.path(), "old"), true).expect("written");
        let ready = folder.path().join(READY);
        std::fs::create_dir(&ready).expect("made");
        for (number, file) in set(&ready, "new").iter().enumerate() {
            let name = file.path.file_name().expect("a name");
            let to = if number < in_place { folder.path().join(name) } else { file.path.clone() };
            std::fs::write(to, "new").expect("written");
        }
        recover(folder.path()).expect("completed");
        require_set(folder.path(), "new");
    }
    let folder = tempfile::tempdir().expect("a folder");
    write_all(&set(folder.path(), "old"), true).expect("written");
    std::fs::create_dir(folder.path().join(FRESH)).expect("made");
    std::fs::write(folder.path().join(FRESH).join("helm.c"), "half").expect("written");
    recover(folder.path()).expect("removed");
    require_set(folder.path(), "old");
    std::fs::create_dir(folder.path().join(FRESH)).expect("made");
    write_all(&set(folder.path(), "newer"), true).expect("written");
    require_set(folder.path(), "newer");
}

#[test]
fn sets_that_are_written_at_once_do_not_mix() {
    let folder = tempfile::tempdir().expect("a folder");
    let written = |text: String| {
        (0..40).for_each(|_| write_all(&set(folder.path(), &text), true).expect("written"));
    };
    std::thread::scope(|scope| {
        let written = &written;
        (0..6).for_each(|number| drop(scope.spawn(move || written(number.to_string()))));
    });
    let text = std::fs::read_to_string(folder.path().join("helm.c")).expect("written");
    require_set(folder.path(), &text);
}

#[test]
fn a_lock_says_who_has_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let lock = Lock::take(folder.path()).expect("free");
    let words = std::fs::read_to_string(folder.path().join(lock::NAME)).expect("a file");
    assert_eq!(words, std::process::id().to_string());
    drop(lock);
    assert!(names(folder.path()).is_empty());
}

#[test]
fn a_full_disk_is_told_as_such() {
    let words = |kind: ErrorKind| fault(Path::new("helm.c"), &Error::from(kind)).message;
    assert_eq!(words(ErrorKind::StorageFull), "helm.c cannot be written: the disk is full");
    assert!(words(ErrorKind::FileTooLarge).contains("exceeds the largest file that this system allows"));
}
