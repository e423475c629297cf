//! The texts that places point into: each file's name as the person gave it, and its content.

/// Identifies one file among [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(usize);

/// Every file that was read, in the order of reading.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<(String, String)>,
}

impl Sources {
    /// Adds a file; `text` is empty for a picture.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> FileId {
        self.files.push((name.into(), text.into()));
        FileId(self.files.len() - 1)
    }
    /// The file's name as the person gave it.
    pub fn name(&self, file: FileId) -> &str {
        self.files.get(file.0).map_or("", |(name, _)| name)
    }
    /// The file's text; empty for a picture.
    pub fn text(&self, file: FileId) -> &str {
        self.files.get(file.0).map_or("", |(_, text)| text)
    }
    /// Every file's name, in the order of reading.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|(name, _)| name.as_str())
    }
    /// Line and column, both from 1, of a byte offset; the column counts characters.
    pub fn line_and_column(&self, file: FileId, offset: usize) -> (usize, usize) {
        let text = self.text(file);
        let mut offset = offset.min(text.len());
        while !text.is_char_boundary(offset) {
            offset -= 1;
        }
        let before = &text[..offset];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
    }
}
