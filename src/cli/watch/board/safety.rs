//! Decides which files can be written: those that a show names, where it names them, and not through a link to another place.

use std::path::{Component, Path, PathBuf};

/// The real path of a file of a show whose script is in `folder`; `Err` says in words why it must not be written. A link is
/// followed only to a place inside that folder.
pub fn real(folder: &Path, path: &Path) -> Result<PathBuf, String> {
    let name = path.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
    let here = |path: &Path| if path == Path::new("") { PathBuf::from(".") } else { path.to_owned() };
    let fault = |why: std::io::Error| format!("{name} cannot be changed: {why}");
    let real = path.canonicalize().map_err(fault)?;
    let data = std::fs::metadata(&real).map_err(fault)?;
    if !data.is_file() {
        return Err(format!("{name} is not a regular file"));
    }
    if data.permissions().readonly() {
        return Err(format!("{name} is write-protected"));
    }
    let inside = here(folder).canonicalize().map_err(fault)?;
    if real.starts_with(&inside) {
        return Ok(real);
    }
    // The way from the folder to the file, as it is written: what both share may hold links, the rest must not.
    let [folder, file] = [here(folder), path.to_owned()].map(|path| std::path::absolute(path).map(|path| tidy(&path)));
    let (folder, file) = (folder.map_err(fault)?, file.map_err(fault)?);
    let shared: PathBuf =
        folder.components().zip(file.components()).take_while(|(a, b)| a == b).map(|(a, _)| a).collect();
    let rest = file.strip_prefix(&shared).unwrap_or(&file);
    if shared.canonicalize().map_err(fault)?.join(rest) == real {
        return Ok(real);
    }
    Err(format!("{name} is reached through a link that leads out of the show's folder"))
}

/// The path with each `name/..` folded.
fn tidy(path: &Path) -> PathBuf {
    let mut tidied = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => {
                tidied.pop();
            }
            other => tidied.push(other),
        }
    }
    tidied
}
