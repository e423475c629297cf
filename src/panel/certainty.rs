//! The source of a figure, and how reliable it is.

/// How a figure is known, the surest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// The named document was read.
    DataSheet,
    /// Only an excerpt of the named document was seen.
    Excerpt,
    /// Read in the source of a general-purpose driver.
    DriverSource,
    /// Worked out from figures of the ranks above.
    Computed,
    /// What most builders do.
    CommonPractice,
    /// From memory, not confirmed: measure before relying on it.
    Memory,
}

impl std::fmt::Display for Certainty {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::DataSheet => "data sheet",
            Self::Excerpt => "excerpt of a data sheet",
            Self::DriverSource => "driver source",
            Self::Computed => "computed",
            Self::CommonPractice => "common practice",
            Self::Memory => "from memory, unconfirmed",
        })
    }
}

/// The document a row was taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// Document, revision and section in words.
    pub text: &'static str,
    /// How the figure is known.
    pub certainty: Certainty,
}

impl Source {
    /// A source known when the project was built.
    pub const fn new(text: &'static str, certainty: Certainty) -> Self {
        Self { text, certainty }
    }
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.text, self.certainty)
    }
}
