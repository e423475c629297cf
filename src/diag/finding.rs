//! A finding (severity, place, message, hints), and the list to which every stage adds its findings.

use super::FileId;

/// How bad it is: `Error` cannot work, `Warning` would make the person unhappy, `Note` is worth knowing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// It works, but would make the person unhappy.
    Warning,
    /// It cannot work.
    Error,
}

/// A range of bytes in one text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// The text.
    pub file: FileId,
    /// Offset of the first byte.
    pub start: usize,
    /// Offset after the last byte.
    pub end: usize,
}

impl Span {
    /// Its first byte, for a finding about something too long to quote.
    pub fn opening(self) -> Self {
        Self { end: (self.start + 1).min(self.end), ..self }
    }
}

/// Where a finding is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// A range of a text.
    Text(Span),
    /// A picture, with the cell (column, row of the grid) and the pixel (x, y) where they are known; all count from 0 at the top left.
    Picture {
        /// The picture.
        file: FileId,
        /// Column and row of the cell.
        cell: Option<(u32, u32)>,
        /// Column and row of the pixel.
        pixel: Option<(u32, u32)>,
    },
    /// No file: the command line, or whole show.
    Nowhere,
}

impl From<Span> for Place {
    fn from(span: Span) -> Self {
        Place::Text(span)
    }
}

/// What is wrong or worth knowing, in the person's terms.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// How bad it is.
    pub severity: Severity,
    /// Where it is.
    pub place: Place,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// Further places, each with a few words such as "first defined here".
    pub also: Vec<(Span, String)>,
    /// How to fix it, one change a line.
    pub hints: Vec<String>,
    /// Whether the result exceeds a limit: previews are made, but it cannot work on a chip.
    pub breaks_limit: bool,
}

impl Finding {
    fn new(severity: Severity, place: impl Into<Place>, message: impl Into<String>) -> Self {
        Self {
            severity,
            place: place.into(),
            message: message.into(),
            also: Vec::new(),
            hints: Vec::new(),
            breaks_limit: false,
        }
    }
    /// Something that cannot work.
    pub fn error(place: impl Into<Place>, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, place, message)
    }
    /// A finding about a limit that the result exceeds: previews are made, but it cannot work on a chip.
    pub fn broken_limit(place: impl Into<Place>, message: impl Into<String>) -> Self {
        Self { breaks_limit: true, ..Self::error(place, message) }
    }
    /// Something the person would be unhappy with.
    pub fn warning(place: impl Into<Place>, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, place, message)
    }
    /// Something worth knowing.
    pub fn note(place: impl Into<Place>, message: impl Into<String>) -> Self {
        Self::new(Severity::Note, place, message)
    }
    /// Adds a change that fixes it.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }
    /// Adds a further place with a word about it.
    pub fn also(mut self, span: Span, word: impl Into<String>) -> Self {
        self.also.push((span, word.into()));
        self
    }
}

/// The findings so far. Every stage adds to one list, so that all faults are reported at once. Equal findings at the same place are
/// kept once, and the number of each severity is limited.
#[derive(Clone, Debug, Default)]
pub struct Findings {
    list: Vec<Finding>,
    /// How many notes, warnings and errors were too many to keep.
    left_out: [usize; 3],
}

/// The most findings of one severity that are kept: nobody reads more of them at once.
const MOST_KEPT: usize = 200;

impl Findings {
    /// Adds a finding, unless it is there already.
    pub fn push(&mut self, finding: Finding) {
        if self.kept(finding.severity) >= MOST_KEPT {
            self.left_out[finding.severity as usize] += 1;
        } else if !self.list.contains(&finding) {
            self.list.push(finding);
        }
    }
    fn kept(&self, severity: Severity) -> usize {
        self.list.iter().filter(|finding| finding.severity == severity).count()
    }
    /// Adds each of some findings.
    pub fn extend(&mut self, findings: impl IntoIterator<Item = Finding>) {
        findings.into_iter().for_each(|finding| self.push(finding));
    }
    /// How many findings have this severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.kept(severity) + self.left_out(severity)
    }
    /// How many of this severity were too many to keep.
    pub fn left_out(&self, severity: Severity) -> usize {
        self.left_out[severity as usize]
    }
    /// Whether one of them is an error.
    pub fn any_error(&self) -> bool {
        self.kept(Severity::Error) > 0
    }
    /// Whether the list of errors is full, so that further errors would be dropped.
    pub fn full(&self) -> bool {
        self.kept(Severity::Error) >= MOST_KEPT
    }
    /// Whether there is an error other than exceeded limits.
    pub fn any_fault(&self) -> bool {
        self.list.iter().any(|finding| finding.severity == Severity::Error && !finding.breaks_limit)
    }
    /// All findings that are kept, in the order they were found.
    pub fn iter(&self) -> impl Iterator<Item = &Finding> {
        self.list.iter()
    }
    /// Takes over all findings of another list.
    pub fn append(&mut self, other: Findings) {
        other.list.into_iter().for_each(|finding| self.push(finding));
        self.left_out.iter_mut().zip(other.left_out).for_each(|(own, more)| *own += more);
    }
}
