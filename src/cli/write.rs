//! Writes files all or none: each goes into a temporary file beside its place, and all are renamed once all are whole.

use super::made::OutputFile;
use crate::diag::{Finding, Place};
use std::io::Write;
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};

/// Writes all files or none. Without `replace`, a file that is there already is an error.
pub fn write_all(files: &[OutputFile], replace: bool) -> Result<(), Finding> {
    if !replace && let Some(file) = files.iter().find(|file| file.path.exists()) {
        let message = format!("{} is there already", file.path.display());
        return Err(Finding::error(Place::Nowhere, message).hint("give --replace to write over it"));
    }
    let whole: Vec<(NamedTempFile, &Path)> =
        files.iter().map(|file| Ok((temporary(file)?, file.path.as_path()))).collect::<Result<_, Finding>>()?;
    for (temporary, path) in whole {
        temporary.persist(path).map_err(|error| fault(path, &error.error))?;
    }
    Ok(())
}

fn temporary(file: &OutputFile) -> Result<NamedTempFile, Finding> {
    if file.path.is_dir() {
        let message = format!("{} cannot be written: there is a folder of that name", file.path.display());
        return Err(Finding::error(Place::Nowhere, message).hint("name another place, or move the folder away"));
    }
    let folder = folder(&file.path);
    let made = std::fs::create_dir_all(&folder).and_then(|()| {
        let mut temporary = usual_permissions(&mut Builder::new()).prefix(".pageloom-").tempfile_in(&folder)?;
        temporary.write_all(&file.bytes)?;
        temporary.flush()?;
        Ok(temporary)
    });
    made.map_err(|error| fault(&file.path, &error))
}

/// Temporary files are private by default; these become the output, so they get what any new file gets.
#[cfg(unix)]
fn usual_permissions<'a, 'b, 'c>(builder: &'a mut Builder<'b, 'c>) -> &'a mut Builder<'b, 'c> {
    use std::os::unix::fs::PermissionsExt;
    const READ_AND_WRITE_BY_ALL: u32 = 0o666;
    builder.permissions(std::fs::Permissions::from_mode(READ_AND_WRITE_BY_ALL))
}

#[cfg(not(unix))]
fn usual_permissions<'a, 'b, 'c>(builder: &'a mut Builder<'b, 'c>) -> &'a mut Builder<'b, 'c> {
    builder
}

fn folder(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn fault(path: &Path, error: &std::io::Error) -> Finding {
    Finding::error(Place::Nowhere, format!("{} cannot be written: {error}", path.display()))
        .hint("name a folder that you may write to, with --out or the file's own path")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(path: PathBuf, text: &str) -> OutputFile {
        OutputFile { path, bytes: text.into() }
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
        assert!(write_all(&[file(one.clone(), "x")], false).is_err());
        let left: Vec<_> =
            std::fs::read_dir(folder.path()).expect("a folder").flatten().map(|e| e.file_name()).collect();
        assert_eq!(left.len(), 2, "{left:?}");
    }
}
