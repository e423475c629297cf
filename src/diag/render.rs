//! The one renderer of findings: file, line, column, the quoted line, what is wrong, how to fix it.

use super::hidden::visible;
use super::quote::Quotes;
use super::wrap::wrapped;
use super::{Finding, Findings, Place, Severity, Sources};
use codespan_reporting::diagnostic::{Diagnostic, Severity as Level};
use codespan_reporting::term;

/// Characters before a hint.
const BEFORE_HINT: usize = 9;

/// Writes all findings as text, errors last, so that they are next to the prompt. `colours` adds terminal colours.
pub fn render(findings: &Findings, sources: &Sources, colours: bool) -> String {
    render_within(findings, sources, colours, usize::MAX)
}

/// As `render`, at most `columns` wide: lines break between words, and quoted lines are shortened around their places.
pub fn render_within(findings: &Findings, sources: &Sources, colours: bool, columns: usize) -> String {
    let mut ordered: Vec<&Finding> = findings.iter().collect();
    ordered.sort_by_key(|finding| finding.severity);
    let mut text = String::new();
    for finding in ordered {
        let quotes = Quotes::of(finding, sources, columns);
        emit(&mut text, &quotes, &diagnostic(finding, sources, &quotes, columns), colours);
    }
    for (severity, what) in [(Severity::Note, "notes"), (Severity::Warning, "warnings"), (Severity::Error, "errors")] {
        let count = findings.left_out(severity);
        if count > 0 {
            text.push_str(&format!("and {count} more {what}, not listed\n\n"));
        }
    }
    text
}

fn emit(text: &mut String, files: &Quotes, diagnostic: &Diagnostic<usize>, colours: bool) {
    let config = term::Config::default();
    let written = if colours {
        let mut buffer = term::termcolor::Buffer::ansi();
        term::emit_to_write_style(&mut buffer, &config, files, diagnostic)
            .map(|()| text.push_str(&String::from_utf8_lossy(buffer.as_slice())))
    } else {
        term::emit_to_string(text, &config, files, diagnostic)
    };
    if written.is_err() {
        text.push_str(&diagnostic.message);
        text.push('\n');
    }
}

fn diagnostic(finding: &Finding, sources: &Sources, quotes: &Quotes, columns: usize) -> Diagnostic<usize> {
    let (level, name) = match finding.severity {
        Severity::Error => (Level::Error, "error"),
        Severity::Warning => (Level::Warning, "warning"),
        Severity::Note => (Level::Note, "note"),
    };
    let message = match &finding.place {
        Place::Picture { file, cell, pixel } => {
            format!("{}: {}", picture_place(sources.name(*file), *cell, *pixel), finding.message)
        }
        Place::Text(_) | Place::Nowhere => finding.message.clone(),
    };
    let head = wrapped(&format!("{name}: {}", visible(&message)), columns, 2);
    let hint = |hint: &String| wrapped(&format!("help: {}", visible(hint)), columns.saturating_sub(BEFORE_HINT), 2);
    let notes = finding.hints.iter().map(hint).collect();
    let message = head.strip_prefix(&format!("{name}: ")).unwrap_or(&head).to_owned();
    Diagnostic::new(level).with_message(message).with_labels(quotes.labels.clone()).with_notes(notes)
}

fn picture_place(name: &str, cell: Option<(u32, u32)>, pixel: Option<(u32, u32)>) -> String {
    let mut place = name.to_owned();
    if let Some((column, row)) = cell {
        place.push_str(&format!(", cell column {column} row {row}"));
    }
    if let Some((x, y)) = pixel {
        place.push_str(&format!(", pixel {x},{y}"));
    }
    place
}
