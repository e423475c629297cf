//! Where files come from (disk, or memory in tests), with stated limits on their size; the only part that reads.

use super::SourcePicture;
use super::guard::guarded;
use crate::diag::{FileId, Finding, Findings, Place, Sources, Span};
use std::collections::BTreeMap;
use std::io::Read;
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
    /// Pixels of one picture, or of all pictures of an animation together.
    pub picture_pixels: u64,
    /// Files that one reader opens, and bytes and pixels that it takes in, all together.
    pub all_files: u32,
    pub all_bytes: u64,
    pub all_pixels: u64,
}

/// The limits in force: far above any sheet or show for a display of 128×64.
pub const LIMITS: Limits = Limits {
    text_bytes: 2 << 20,
    picture_bytes: 16 << 20,
    picture_side: 4096,
    picture_pixels: 16 << 20,
    all_files: 2000,
    all_bytes: 64 << 20,
    all_pixels: 24 << 20,
};

/// The character that some editors put at the start of a text (Unicode 15.0 §23.8, byte order mark).
const BYTE_ORDER_MARK: char = '\u{FEFF}';

/// Why a file could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadError {
    /// There is no such file.
    Absent,
    /// It is a folder, a device, a pipe or a socket.
    Irregular,
    /// It has more bytes than may be read.
    TooLong,
    /// The system says why not.
    Refused(String),
}

/// A place that files come from.
pub trait Files {
    /// The whole content of a regular file of at most `limit` bytes; no more than one byte beyond them is read.
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError>;
}

/// Files on disk.
#[derive(Clone, Copy, Debug, Default)]
pub struct Disk;

impl Files for Disk {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        // Asked before it is opened: opening a pipe waits for its other end.
        if !std::fs::metadata(path).map_err(refused)?.is_file() {
            return Err(ReadError::Irregular);
        }
        let mut bytes = Vec::new();
        let file = std::fs::File::open(path).map_err(refused)?;
        file.take(limit as u64 + 1).read_to_end(&mut bytes).map_err(refused)?;
        if bytes.len() > limit { Err(ReadError::TooLong) } else { Ok(bytes) }
    }
}

fn refused(error: std::io::Error) -> ReadError {
    match error.kind() {
        std::io::ErrorKind::NotFound | std::io::ErrorKind::InvalidInput => ReadError::Absent,
        _ => ReadError::Refused(error.to_string()),
    }
}

/// Files in memory, for tests.
#[derive(Clone, Debug, Default)]
pub struct FilesInMemory {
    files: BTreeMap<PathBuf, Vec<u8>>,
}

impl FilesInMemory {
    /// Adds or replaces a file.
    pub fn with(mut self, path: impl Into<PathBuf>, content: impl Into<Vec<u8>>) -> Self {
        self.files.insert(tidy(&path.into()), content.into());
        self
    }
}

impl Files for FilesInMemory {
    fn read(&self, path: &Path, limit: usize) -> Result<Vec<u8>, ReadError> {
        let bytes = self.files.get(&tidy(path)).ok_or(ReadError::Absent)?;
        if bytes.len() > limit { Err(ReadError::TooLong) } else { Ok(bytes.clone()) }
    }
}

/// Makes a picture of a file's bytes within limits; `Err` says why not.
type Decode = fn(&[u8], Limits) -> Result<SourcePicture, String>;
const PNG: (&str, Decode) = ("PNG", SourcePicture::from_png);
const GIF: (&str, Decode) = ("GIF", SourcePicture::from_gif);

/// Reads files, remembers each text for quoting, and reports what cannot be read at the place that asked for it.
pub struct Reader<'a> {
    files: &'a dyn Files,
    /// Every text and picture read so far.
    pub sources: Sources,
    files_read: u32,
    bytes_read: u64,
    pixels_read: u64,
    /// Whether it was reported that there are too many files.
    refused: bool,
}

impl<'a> Reader<'a> {
    /// A reader that has read nothing yet.
    pub fn new(files: &'a dyn Files) -> Self {
        Self { files, sources: Sources::default(), files_read: 0, bytes_read: 0, pixels_read: 0, refused: false }
    }

    /// The path of a file named at a place of a text: taken from the folder of that text.
    pub fn beside(&self, place: Span, named: &str) -> PathBuf {
        beside(Path::new(self.sources.name(place.file)), named)
    }

    /// Reads a text; faults are reported at `asker`.
    pub fn text(&mut self, path: &Path, asker: Place, findings: &mut Findings) -> Option<(FileId, String)> {
        let bytes = self.bytes(path, LIMITS.text_bytes, asker.clone(), findings)?;
        match String::from_utf8(bytes) {
            Ok(text) => {
                let text = text.strip_prefix(BYTE_ORDER_MARK).map(str::to_owned).unwrap_or(text);
                Some((self.sources.add(name(path), text.clone()), text))
            }
            Err(error) => {
                let at = error.utf8_error().valid_up_to();
                let message = format!("{} is not UTF-8 text (first invalid byte at {at})", name(path));
                findings.push(Finding::error(asker, message).hint("save it as UTF-8"));
                None
            }
        }
    }

    /// Reads a PNG picture or an animated GIF, whose pictures are put side by side. Faults are reported at `asker`.
    pub fn animation(&mut self, path: &Path, asker: Place, findings: &mut Findings) -> Option<SourcePicture> {
        let bytes = self.bytes(path, LIMITS.picture_bytes, asker.clone(), findings)?;
        if !SourcePicture::is_gif(&bytes) {
            return self.decoded(path, &bytes, PNG, asker, findings).map(|(_, picture)| picture);
        }
        self.decoded(path, &bytes, GIF, asker, findings).map(|(_, picture)| picture)
    }

    /// Reads a PNG picture; faults are reported at `asker`.
    pub fn picture(&mut self, path: &Path, asker: Place, findings: &mut Findings) -> Option<(FileId, SourcePicture)> {
        let bytes = self.bytes(path, LIMITS.picture_bytes, asker.clone(), findings)?;
        self.decoded(path, &bytes, PNG, asker, findings)
    }

    fn decoded(
        &mut self,
        path: &Path,
        bytes: &[u8],
        (kind, decode): (&str, Decode),
        asker: Place,
        findings: &mut Findings,
    ) -> Option<(FileId, SourcePicture)> {
        let limits = Limits { all_pixels: LIMITS.all_pixels.saturating_sub(self.pixels_read), ..LIMITS };
        match guarded(|| decode(bytes, limits)) {
            Ok(picture) => {
                self.pixels_read += u64::from(picture.width()) * u64::from(picture.height());
                Some((self.sources.add(name(path), ""), picture))
            }
            Err(why) => {
                let finding = Finding::error(asker, format!("{} is not a usable {kind}: {why}", name(path)));
                findings.push(finding.hint(format!("open it in an editor and save it again as {kind}")));
                None
            }
        }
    }

    /// Reads the bytes of any file of at most `limit` bytes; faults are reported at `asker`.
    pub fn bytes(&mut self, path: &Path, limit: usize, asker: Place, findings: &mut Findings) -> Option<Vec<u8>> {
        self.files_read += 1;
        if self.files_read > LIMITS.all_files || self.bytes_read > LIMITS.all_bytes {
            if !std::mem::replace(&mut self.refused, true) {
                let (files, mebibytes) = (LIMITS.all_files, LIMITS.all_bytes >> 20);
                let message = format!("a show reads at most {files} files and {mebibytes} MiB in total");
                findings.push(Finding::error(asker, message).hint("include each file once"));
            }
            return None;
        }
        let finding = match self.files.read(path, limit) {
            Ok(bytes) => {
                self.bytes_read += bytes.len() as u64;
                return Some(bytes);
            }
            Err(ReadError::TooLong) => {
                Finding::error(asker, format!("{} is larger than the limit of {limit} bytes", name(path)))
                    .hint("use a smaller file")
            }
            Err(ReadError::Absent) => Finding::error(asker, format!("there is no file {}", name(path)))
                .hint("paths are relative to the folder of the file that contains them"),
            Err(ReadError::Irregular) => Finding::error(asker, format!("{} is not a regular file", name(path)))
                .hint("use a file, not a folder, a device or a pipe"),
            Err(ReadError::Refused(why)) => Finding::error(asker, format!("{} cannot be read: {why}", name(path)))
                .hint("use a file that you can read"),
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
