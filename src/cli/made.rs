//! What a command made: files not yet written, and words for the person.

use crate::build::OutputFile;
use std::path::PathBuf;

/// What a command made.
#[derive(Clone, Debug, Default)]
pub struct Made {
    pub files: Vec<OutputFile>,
    /// Text for the standard output, without a line break at the end. It can be empty.
    pub words: String,
    /// Whether existing files can be replaced.
    pub replace: bool,
}

impl Made {
    /// Words and no files.
    pub fn words(words: impl Into<String>) -> Self {
        Self { words: words.into(), ..Self::default() }
    }
    /// Adds a file.
    pub fn file(mut self, path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) -> Self {
        self.files.push(OutputFile { path: path.into(), bytes: bytes.into(), firmware: false });
        self
    }
    /// Adds a file for a chip.
    pub fn firmware(mut self, path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) -> Self {
        self.files.push(OutputFile { path: path.into(), bytes: bytes.into(), firmware: true });
        self
    }
    /// Leaves out what is for a chip.
    pub fn without_firmware(mut self) -> Self {
        self.files.retain(|file| !file.firmware);
        self
    }
    /// Lets files that are there already be replaced.
    pub fn replacing(mut self, replace: bool) -> Self {
        self.replace = replace;
        self
    }
}
