//! A file that was made and is not yet written.

use std::path::PathBuf;

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutputFile {
    pub path: PathBuf,
    pub bytes: Vec<u8>,
    /// Whether it is for a chip: kept back where a limit is broken.
    pub firmware: bool,
}
