//! Where files come from (disk, or memory in tests), with stated limits on their size; the only part that reads.

use super::Picture;
use crate::diag::{FileId, Finding, Findings, Place, Sources, Span};
use std::collections::BTreeMap;
use std::path::{Component, Path, PathBuf};

/// Limits on what is read, so that a broken or hostile file is refused and not swallowed.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Bytes of one text.
    pub text_bytes: usize,
    /// Bytes of one picture file.
    pub picture_bytes: usize,
    /// Width and height of one picture in pixels.
    pub picture_side: u32,
}

/// The limits in force: far above any sheet or show for a glass of 128×64.
pub const LIMITS: Limits = Limits { text_bytes: 4 << 20, picture_bytes: 16 << 20, picture_side: 4096 };

/// Why a file could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadError {
    /// There is no such file.
    Absent,
    /// The system says why not.
    Refused(String),
}

/// A place that files come from.
pub trait Files {
    /// The whole content of a file.
    fn read(&self, path: &Path) -> Result<Vec<u8>, ReadError>;
}

/// Files on disk.
#[derive(Clone, Copy, Debug, Default)]
pub struct Disk;

impl Files for Disk {
    fn read(&self, path: &Path) -> Result<Vec<u8>, ReadError> {
        std::fs::read(path).map_err(|error| match error.kind() {
            std::io::ErrorKind::NotFound => ReadError::Absent,
            _ => ReadError::Refused(error.to_string()),
        })
    }
}

/// Files in memory, for tests.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    files: BTreeMap<PathBuf, Vec<u8>>,
}

impl Memory {
    /// Adds or replaces a file.
    pub fn with(mut self, path: impl Into<PathBuf>, content: impl Into<Vec<u8>>) -> Self {
        self.files.insert(tidy(&path.into()), content.into());
        self
    }
}

impl Files for Memory {
    fn read(&self, path: &Path) -> Result<Vec<u8>, ReadError> {
        self.files.get(&tidy(path)).cloned().ok_or(ReadError::Absent)
    }
}

/// Reads files, remembers each text for quoting, and reports what cannot be read at the place that asked for it.
pub struct Reader<'a> {
    files: &'a dyn Files,
    /// Every text and picture read so far.
    pub sources: Sources,
}

impl<'a> Reader<'a> {
    /// A reader that has read nothing yet.
    pub fn new(files: &'a dyn Files) -> Self {
        Self { files, sources: Sources::default() }
    }

    /// The path of a file named at a place of a text: taken from the folder of that text.
    pub fn beside(&self, place: Span, named: &str) -> PathBuf {
        beside(Path::new(self.sources.name(place.file)), named)
    }

    /// Reads a text; faults are reported at `asker`.
    pub fn text(&mut self, path: &Path, asker: Place, findings: &mut Findings) -> Option<(FileId, String)> {
        let bytes = self.bytes(path, LIMITS.text_bytes, asker.clone(), findings)?;
        match String::from_utf8(bytes) {
            Ok(text) => Some((self.sources.add(name(path), text.clone()), text)),
            Err(error) => {
                let at = error.utf8_error().valid_up_to();
                let message = format!("{} is not UTF-8 text (first strange byte at {at})", name(path));
                findings.push(Finding::error(asker, message).hint("save it as UTF-8"));
                None
            }
        }
    }

    /// Reads a PNG picture or an animated GIF, whose pictures stand side by side; faults are reported at `asker`.
    pub fn animation(&mut self, path: &Path, asker: Place, findings: &mut Findings) -> Option<Picture> {
        let bytes = self.bytes(path, LIMITS.picture_bytes, asker.clone(), findings)?;
        let gif = Picture::is_gif(&bytes);
        let read = if gif { Picture::from_gif } else { Picture::from_png };
        match read(&bytes, LIMITS.picture_side) {
            Ok(picture) => {
                self.sources.add(name(path), "");
                Some(picture)
            }
            Err(why) => {
                let kind = if gif { "GIF" } else { "PNG" };
                let finding = Finding::error(asker, format!("{} is not a usable {kind}: {why}", name(path)));
                findings.push(finding.hint("open the picture in an editor and save it anew, as PNG or as GIF"));
                None
            }
        }
    }

    /// Reads a PNG picture; faults are reported at `asker`.
    pub fn picture(&mut self, path: &Path, asker: Place, findings: &mut Findings) -> Option<(FileId, Picture)> {
        let bytes = self.bytes(path, LIMITS.picture_bytes, asker.clone(), findings)?;
        match Picture::from_png(&bytes, LIMITS.picture_side) {
            Ok(picture) => Some((self.sources.add(name(path), ""), picture)),
            Err(why) => {
                let finding = Finding::error(asker, format!("{} is not a usable PNG: {why}", name(path)));
                findings.push(finding.hint("open the picture in an editor and save it anew, as PNG"));
                None
            }
        }
    }

    /// Reads the bytes of any file of at most `limit` bytes; faults are reported at `asker`.
    pub fn bytes(&mut self, path: &Path, limit: usize, asker: Place, findings: &mut Findings) -> Option<Vec<u8>> {
        let finding = match self.files.read(path) {
            Ok(bytes) if bytes.len() <= limit => return Some(bytes),
            Ok(bytes) => {
                Finding::error(asker, format!("{} has {} bytes; the limit is {limit}", name(path), bytes.len()))
                    .hint("make the file smaller, or name another")
            }
            Err(ReadError::Absent) => Finding::error(asker, format!("there is no file {}", name(path)))
                .hint("paths are taken from the folder of the file that names them"),
            Err(ReadError::Refused(why)) => Finding::error(asker, format!("{} cannot be read: {why}", name(path)))
                .hint("name a file that you may read"),
        };
        findings.push(finding);
        None
    }
}

/// The path of a file that another file names: taken from the folder of the file that names it.
pub fn beside(asker: &Path, named: &str) -> PathBuf {
    tidy(&asker.parent().unwrap_or(Path::new("")).join(named))
}

fn name(path: &Path) -> String {
    path.to_string_lossy().replace('\\', "/")
}

/// The path without `.` and with each `name/..` folded.
fn tidy(path: &Path) -> PathBuf {
    let mut tidied = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(tidied.components().next_back(), Some(Component::Normal(_))) => {
                tidied.pop();
            }
            other => tidied.push(other),
        }
    }
    tidied
}
