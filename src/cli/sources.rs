//! Sources of rows, numbered, so that tables stay narrow and name each source once.

/// The sources of all rows, numbered in the order in which they are first named.
#[derive(Default)]
pub struct Sources {
    texts: Vec<String>,
}

impl Sources {
    /// The number of a source in brackets.
    pub fn number(&mut self, source: impl ToString) -> String {
        let text = source.to_string();
        let place = self.texts.iter().position(|known| *known == text).unwrap_or_else(|| {
            self.texts.push(text);
            self.texts.len() - 1
        });
        format!("[{}]", place + 1)
    }
    /// The sources, one a line.
    pub fn list(&self) -> String {
        (1..).zip(&self.texts).map(|(number, text)| format!("{:>4} {text}\n", format!("[{number}]"))).collect()
    }
}
