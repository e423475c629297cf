//! Words for the person: findings on standard error, what was made on standard output; colours only on a terminal.

use super::made::Made;
use crate::diag::{Findings, Severity, Sources, render_within, with_unit, wrapped_below};
use std::io::{IsTerminal, Write};

/// Whether a stream takes colours: it is a terminal and the person has not asked for none (`NO_COLOR`, common practice).
fn takes_colours(stream: &impl IsTerminal) -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    stream.is_terminal() && !set("NO_COLOR") && std::env::var_os("TERM").is_none_or(|term| term != "dumb")
}

/// Columns of the terminal that a stream goes to; no limit where it goes elsewhere.
fn columns_of(stream: &impl IsTerminal) -> usize {
    let size = stream.is_terminal().then(|| crossterm::terminal::size().ok()).flatten();
    size.map(|(columns, _)| usize::from(columns)).filter(|columns| *columns > 0).unwrap_or(usize::MAX)
}

/// Columns of the terminal that words are printed on; no limit where they go into a file or a pipe.
pub fn columns() -> usize {
    columns_of(&std::io::stdout())
}

/// Tells all findings, errors last, and then their numbers.
pub fn tell_findings(findings: &Findings, sources: &Sources, strict: bool) {
    let mut stream = std::io::stderr().lock();
    let mut text = render_within(findings, sources, takes_colours(&stream), columns_of(&stream));
    text.push_str(&wrapped_below(&count(findings, strict), columns_of(&stream)));
    // A person who closed the stream wants to hear nothing more.
    let _ = stream.write_all(text.as_bytes());
}

fn count(findings: &Findings, strict: bool) -> String {
    let (errors, warnings) = (findings.count(Severity::Error), findings.count(Severity::Warning));
    let failed = findings.any_fault() || strict && warnings > 0;
    let mut parts = Vec::new();
    for (number, word) in [(errors, "error"), (warnings, "warning")] {
        match number {
            0 => {}
            1 => parts.push(format!("1 {word}")),
            _ => parts.push(format!("{number} {word}s")),
        }
    }
    match (parts.is_empty(), failed) {
        (true, _) => String::new(),
        (false, false) if errors > 0 => format!("{}: no firmware was written\n", parts.join(", ")),
        (false, false) => format!("{}\n", parts.join(", ")),
        (false, true) if errors == 0 => format!("{} with --strict: nothing was written\n", parts.join(", ")),
        (false, true) => format!("{}: nothing was written\n", parts.join(", ")),
    }
}

/// Tells what a command came to, in its own words.
pub fn tell_words(made: &Made) {
    if !made.words.is_empty() {
        // A person who closed the stream wants to hear nothing more.
        let _ = writeln!(std::io::stdout().lock(), "{}", wrapped_below(&made.words, columns()));
    }
}

/// Tells each file that was written with its size.
pub fn tell_files(made: &Made) {
    let mut text = String::new();
    let names: Vec<String> = made.files.iter().map(|file| file.path.display().to_string()).collect();
    let widest = names.iter().map(|name| name.chars().count()).max().unwrap_or(0);
    for (file, name) in made.files.iter().zip(&names) {
        text.push_str(&format!("wrote {name:<widest$}  {:>9}\n", size(file.bytes.len())));
    }
    // A person who closed the stream wants to hear nothing more.
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

/// A number of bytes for the eye: bytes below 10,000, else kibibytes with a tenth.
fn size(bytes: usize) -> String {
    const EXACT_BELOW: usize = 10_000;
    if bytes < EXACT_BELOW { with_unit(bytes as f64, "B") } else { with_unit(bytes as f64 / 1024.0, "KiB") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::{Finding, Place};

    #[test]
    fn the_count_says_whether_anything_was_written() {
        let mut findings = Findings::default();
        assert_eq!(count(&findings, true), "");
        findings.push(Finding::warning(Place::Nowhere, "w"));
        assert_eq!(count(&findings, false), "1 warning\n");
        assert!(count(&findings, true).ends_with("nothing was written\n"));
        findings.push(Finding::broken_limit(Place::Nowhere, "l"));
        assert_eq!(count(&findings, false), "1 error, 1 warning: no firmware was written\n");
        findings.push(Finding::error(Place::Nowhere, "e"));
        assert_eq!(count(&findings, false), "2 errors, 1 warning: nothing was written\n");
        assert_eq!((size(9_999).as_str(), size(10_240).as_str()), ("9,999 B", "10 KiB"));
    }
}
