//! Tables for the terminal: columns as wide as their widest entry, two spaces apart.

/// A table with a head; each row has as many entries as the head.
pub struct Table {
    rows: Vec<Vec<String>>,
    /// Whether a column stands flush right.
    flush_right: Vec<bool>,
    /// Letters that an entry of the first column may have on a line; a longer one goes on in the next line.
    widest_first: usize,
}

impl Table {
    /// A table with these column heads; those that begin with `>` stand flush right.
    pub fn new(heads: &[&str]) -> Self {
        let flush_right = heads.iter().map(|head| head.starts_with('>')).collect();
        Self {
            rows: vec![heads.iter().map(|head| head.trim_start_matches('>').to_owned()).collect()],
            flush_right,
            widest_first: usize::MAX,
        }
    }
    /// A table without heads, of a name of at most so many letters a line, a number, and so many further columns.
    pub fn named(widest_first: usize, further: usize) -> Self {
        const NUMBER: usize = 1;
        let flush_right = (0..=NUMBER + further).map(|column| column == NUMBER).collect();
        Self { rows: Vec::new(), flush_right, widest_first }
    }
    /// Adds a row.
    pub fn row<const N: usize>(&mut self, entries: [String; N]) {
        let mut entries = Vec::from(entries);
        let mut lines = self.lines(std::mem::take(&mut entries[0])).into_iter();
        entries[0] = lines.next().unwrap_or_default();
        self.rows.push(entries);
        self.rows.extend(lines.map(|line| vec![line]));
    }
    /// A name in lines, broken between words; the indent of the first is kept.
    fn lines(&self, name: String) -> Vec<String> {
        if name.chars().count() <= self.widest_first {
            return vec![name];
        }
        let indent = " ".repeat(name.len() - name.trim_start().len());
        let mut lines = vec![indent.clone()];
        for word in name.split_whitespace() {
            let last = lines.len() - 1;
            let begun = lines[last].trim_start().is_empty();
            if !begun && lines[last].chars().count() + 1 + word.chars().count() > self.widest_first {
                lines.push(format!("{indent}  {word}"));
            } else {
                lines[last].push_str(if begun { "" } else { " " });
                lines[last].push_str(word);
            }
        }
        lines
    }
}

impl std::fmt::Display for Table {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let wide = |column: usize| {
            self.rows.iter().filter_map(|row| row.get(column)).map(|entry| entry.chars().count()).max().unwrap_or(0)
        };
        for row in &self.rows {
            let mut line = String::new();
            for (column, entry) in row.iter().enumerate() {
                let width = wide(column);
                let padded =
                    if self.flush_right[column] { format!("{entry:>width$}") } else { format!("{entry:<width$}") };
                line.push_str(&padded);
                line.push_str("  ");
            }
            writeln!(f, "{}", line.trim_end())?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_as_wide_as_their_widest_entry() {
        let mut table = Table::new(&["part", ">bytes"]);
        table.row(["µ".into(), "1024".into()]);
        assert_eq!(table.to_string(), "part  bytes\nµ      1024\n");
    }

    #[test]
    fn a_long_name_goes_on_in_the_next_line() {
        let mut table = Table::named(14, 0);
        table.row(["  a pixel of the panel".into(), "5.77 px".into()]);
        assert_eq!(table.to_string(), "  a pixel of   5.77 px\n    the panel\n");
    }
}
