//! The one renderer of findings: file, line, column, the quoted line, what is wrong, how to fix it.

use super::hidden::visible;
use super::{FileId, Finding, Findings, Place, Severity, Sources, Span};
use codespan_reporting::diagnostic::{Diagnostic, Label, LabelStyle, Severity as Level};
use codespan_reporting::files::SimpleFiles;
use codespan_reporting::term;

/// Writes all findings as text, errors last so that they stand nearest to the prompt; with terminal colours when asked.
pub fn render(findings: &Findings, sources: &Sources, colours: bool) -> String {
    let mut files = SimpleFiles::new();
    let mut numbers: Vec<(FileId, usize)> = Vec::new();
    let mut ordered: Vec<&Finding> = findings.iter().collect();
    ordered.sort_by_key(|finding| finding.severity);
    let mut text = String::new();
    for finding in ordered {
        let mut number = |file: FileId| match numbers.iter().find(|(known, _)| *known == file) {
            Some((_, number)) => *number,
            None => {
                let number = files.add(visible(sources.name(file)), visible(sources.text(file)));
                numbers.push((file, number));
                number
            }
        };
        let diagnostic = diagnostic(finding, sources, &mut number);
        emit(&mut text, &files, &diagnostic, colours);
    }
    for (severity, what) in [(Severity::Note, "notes"), (Severity::Warning, "warnings"), (Severity::Error, "errors")] {
        let count = findings.left_out(severity);
        if count > 0 {
            text.push_str(&format!("and {count} more {what}, not listed\n\n"));
        }
    }
    text
}

fn emit(text: &mut String, files: &SimpleFiles<String, String>, diagnostic: &Diagnostic<usize>, colours: bool) {
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

fn diagnostic(finding: &Finding, sources: &Sources, number: &mut impl FnMut(FileId) -> usize) -> Diagnostic<usize> {
    let level = match finding.severity {
        Severity::Error => Level::Error,
        Severity::Warning => Level::Warning,
        Severity::Note => Level::Note,
    };
    let mut labels = Vec::new();
    let mut message = finding.message.clone();
    match &finding.place {
        Place::Text(span) if fits(*span, sources) => labels.push(label(LabelStyle::Primary, *span, number)),
        Place::Text(span) => {
            let (line, column) = sources.line_and_column(span.file, span.start);
            message = format!("{}:{line}:{column}: {message}", sources.name(span.file));
        }
        Place::Picture { file, cell, pixel } => {
            message = format!("{}: {message}", picture_place(sources.name(*file), *cell, *pixel));
        }
        Place::Nowhere => {}
    }
    for (span, word) in finding.also.iter().filter(|(span, _)| fits(*span, sources)) {
        labels.push(label(LabelStyle::Secondary, *span, number).with_message(visible(word)));
    }
    let notes = finding.hints.iter().map(|hint| format!("help: {}", visible(hint))).collect();
    Diagnostic::new(level).with_message(visible(&message)).with_labels(labels).with_notes(notes)
}

/// Whether the lines of a place are short enough to be quoted.
fn fits(span: Span, sources: &Sources) -> bool {
    const LONGEST_LINE: usize = 1000;
    let text = sources.text(span.file).as_bytes();
    let (start, end) = (span.start.min(text.len()), span.end.min(text.len()));
    let before = text[..start].iter().rev().take_while(|byte| **byte != b'\n').count();
    let after = text[end..].iter().take_while(|byte| **byte != b'\n').count();
    let longest = text[start - before..end + after].split(|byte| *byte == b'\n').map(<[u8]>::len).max();
    longest.unwrap_or(0) <= LONGEST_LINE
}

fn label(style: LabelStyle, span: Span, number: &mut impl FnMut(FileId) -> usize) -> Label<usize> {
    Label::new(style, number(span.file), span.start..span.end)
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
