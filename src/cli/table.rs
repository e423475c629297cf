//! Tables for the terminal: columns as wide as their widest entry, two spaces apart, fitted to the terminal's width.

use crate::diag::wrapped;

/// Spaces between columns.
const APART: usize = 2;
/// Characters that the first column keeps in a narrow terminal; with fewer, each row becomes lines of its own.
const NARROWEST_NAME: usize = 20;
/// How far a note, or an entry on a line of its own, stands in.
const NOTE_INDENT: usize = 4;

/// A table; each row has as many entries as the head.
pub struct TerminalTable {
    heads: Option<Vec<String>>,
    lines: Vec<TableLine>,
    /// Whether a column stands flush right.
    flush_right: Vec<bool>,
    /// Characters of a line of the terminal.
    columns: usize,
}

enum TableLine {
    Row(Vec<String>),
    /// A sentence about the rows above it.
    Note(String),
}

impl TerminalTable {
    /// A table with these heads, at most `columns` wide. A head that begins with `>` makes its column right-aligned.
    pub fn new(heads: &[&str], columns: usize) -> Self {
        let flush_right = heads.iter().map(|head| head.starts_with('>')).collect();
        let heads = heads.iter().map(|head| head.trim_start_matches('>').to_owned()).collect();
        Self { heads: Some(heads), lines: Vec::new(), flush_right, columns }
    }
    /// A table without heads: a name, a number, and `further` columns.
    pub fn named(further: usize, columns: usize) -> Self {
        const NUMBER: usize = 1;
        let flush_right = (0..=NUMBER + further).map(|column| column == NUMBER).collect();
        Self { heads: None, lines: Vec::new(), flush_right, columns }
    }
    /// Adds a row.
    pub fn row<const N: usize>(&mut self, entries: [String; N]) {
        self.lines.push(TableLine::Row(entries.into()));
    }
    /// Adds a sentence below the rows above, as wide as the terminal.
    pub fn note(&mut self, text: String) {
        self.lines.push(TableLine::Note(text));
    }

    /// Each column's width; `None` where the rows do not fit the terminal even with the narrowest first column.
    fn widths(&self) -> Option<Vec<usize>> {
        let rows = self.lines.iter().filter_map(|line| match line {
            TableLine::Row(row) => Some(row),
            TableLine::Note(_) => None,
        });
        let mut widths = vec![0; self.flush_right.len()];
        for row in self.heads.iter().chain(rows) {
            for (width, entry) in widths.iter_mut().zip(row) {
                *width = (*width).max(entry.chars().count());
            }
        }
        let others: usize = widths[1..].iter().map(|width| width + APART).sum();
        let room = self.columns.saturating_sub(others);
        if widths[0] > room {
            widths[0] = room;
        }
        (room >= NARROWEST_NAME || widths[0] < room).then_some(widths)
    }

    /// A row in columns. A name that is too long continues in the next line.
    fn in_columns(&self, row: &[String], widths: &[usize]) -> String {
        let mut names = name(&row[0], widths[0]).into_iter();
        let mut line = format!("{:<width$}", names.next().unwrap_or_default(), width = widths[0]);
        for ((entry, width), flush_right) in row.iter().zip(widths).zip(&self.flush_right).skip(1) {
            line.push_str(&" ".repeat(APART));
            line.push_str(&if *flush_right { format!("{entry:>width$}") } else { format!("{entry:<width$}") });
        }
        let rest: String = names.map(|name| format!("{name}\n")).collect();
        format!("{}\n{rest}", line.trim_end())
    }

    /// A row as lines of its own: the name, and below it each entry behind its head.
    fn in_lines(&self, row: &[String]) -> String {
        let heads = self.heads.iter().flatten().map(String::as_str).chain(std::iter::repeat(""));
        let entries = row.iter().zip(heads).skip(1).filter(|(entry, _)| !entry.trim().is_empty());
        let entries: Vec<String> = entries.map(|(entry, head)| format!("{head} {entry}").trim().to_owned()).collect();
        format!("{}\n{}", name(&row[0], self.columns).join("\n"), self.noted(&entries.join(", ")))
    }

    fn noted(&self, text: &str) -> String {
        let indent = " ".repeat(NOTE_INDENT);
        format!("{}\n", wrapped(&format!("{indent}{text}"), self.columns, NOTE_INDENT))
    }
}

/// A name in lines of at most `width` characters, broken between words. Following lines are indented by two more than the first.
fn name(text: &str, letters: usize) -> Vec<String> {
    let indent = text.len() - text.trim_start().len();
    wrapped(text, letters, indent + 2).split('\n').map(str::to_owned).collect()
}

impl std::fmt::Display for TerminalTable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let widths = self.widths();
        if let (Some(heads), Some(widths)) = (&self.heads, &widths) {
            f.write_str(&self.in_columns(heads, widths))?;
        } else if let Some(head) = self.heads.iter().flatten().next() {
            writeln!(f, "{}", head.trim_end())?;
        }
        for line in &self.lines {
            match (line, &widths) {
                (TableLine::Row(row), Some(widths)) => f.write_str(&self.in_columns(row, widths))?,
                (TableLine::Row(row), None) => f.write_str(&self.in_lines(row))?,
                (TableLine::Note(text), _) => f.write_str(&self.noted(text))?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_as_wide_as_their_widest_entry() {
        let mut table = TerminalTable::new(&["part", ">bytes"], usize::MAX);
        table.row(["µ".into(), "1024".into()]);
        assert_eq!(table.to_string(), "part  bytes\nµ      1024\n");
    }

    #[test]
    fn a_long_name_goes_on_in_the_next_line() {
        let mut table = TerminalTable::named(0, 29);
        table.row(["  a pixel of the panel".into(), "5.77 px".into()]);
        table.note("a note longer than a line of it".into());
        assert_eq!(
            table.to_string(),
            "  a pixel of the      5.77 px\n    panel\n    a note longer than a line\n    of it\n"
        );
    }

    #[test]
    fn rows_that_do_not_fit_become_lines_with_their_heads() {
        let mut table = TerminalTable::new(&["  name", ">bytes", "verdict"], 24);
        table.row(["  lean".into(), "1024".into(), "keeps time".into()]);
        assert_eq!(table.to_string(), "  name\n  lean\n    bytes 1024, verdict\n    keeps time\n");
    }
}
