//! A file that was made and is not yet written.

use std::path::PathBuf;

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutputFile {
    /// Its place, relative to the folder of the output.
    pub path: PathBuf,
    /// What it contains.
    pub bytes: Vec<u8>,
    /// Whether it is for a chip: kept back where a limit is broken.
    pub firmware: bool,
}
