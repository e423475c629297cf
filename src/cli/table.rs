//! Tables for the terminal: columns as wide as their widest entry, two spaces apart.

/// A table with a head; each row has as many entries as the head.
pub struct Table {
    rows: Vec<Vec<String>>,
    /// Whether a column stands flush right.
    flush_right: Vec<bool>,
}

impl Table {
    /// A table with these column heads; those that begin with `>` stand flush right.
    pub fn new(heads: &[&str]) -> Self {
        let flush_right = heads.iter().map(|head| head.starts_with('>')).collect();
        Self { rows: vec![heads.iter().map(|head| head.trim_start_matches('>').to_owned()).collect()], flush_right }
    }
    /// A table without heads, of so many columns, all flush left but the third, which holds numbers.
    pub fn bare(columns: usize) -> Self {
        const NUMBERS: usize = 2;
        Self { rows: Vec::new(), flush_right: (0..columns).map(|column| column == NUMBERS).collect() }
    }
    /// Adds a row.
    pub fn row<const N: usize>(&mut self, entries: [String; N]) {
        self.rows.push(entries.into());
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
}
