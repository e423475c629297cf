//! Findings on the page: what is wrong, where, the quoted line, how to fix it.

use crate::diag::{FileId, Finding, Findings, Place, Severity, Sources, Span};
use maud::{Markup, html};

/// All findings, errors first.
pub fn findings(findings: &Findings, sources: &Sources) -> Markup {
    let mut ordered: Vec<&Finding> = findings.iter().collect();
    ordered.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    html! {
        section #findings aria-labelledby="findings-title" {
            h2 #findings-title { "Findings" }
            @if ordered.is_empty() { p { "No findings." } }
            @for finding in ordered { (one(finding, sources)) }
        }
    }
}

fn one(finding: &Finding, sources: &Sources) -> Markup {
    let (word, class) = match finding.severity {
        Severity::Error => ("error", "error"),
        Severity::Warning => ("warning", "warning"),
        Severity::Note => ("note", "note"),
    };
    html! {
        article .finding .(class) {
            p { strong { (word) } " " (worded(&finding.message)) }
            @match &finding.place {
                Place::Text(span) => (quoted(*span, "", sources)),
                Place::Picture { file, cell, pixel } => p .place {
                    (file_name(sources, *file))
                    @if let Some((column, row)) = cell { ", cell column " (column) " row " (row) }
                    @if let Some((x, y)) = pixel { ", pixel " (x) "," (y) }
                },
                Place::Nowhere => {},
            }
            @for (span, said) in &finding.also { (quoted(*span, said, sources)) }
            @if !finding.hints.is_empty() {
                ul { @for hint in &finding.hints { li { (worded(hint)) } } }
            }
        }
    }
}

/// A sentence. Text between backticks is set as code.
pub fn worded(sentence: &str) -> Markup {
    let parts: Vec<&str> = sentence.split('`').collect();
    if parts.len().is_multiple_of(2) {
        return html! { (sentence) };
    }
    html! {
        @for (number, part) in parts.iter().enumerate() {
            @if number % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

/// The place and the line with its part marked.
fn quoted(span: Span, said: &str, sources: &Sources) -> Markup {
    let (line, column) = sources.line_and_column(span.file, span.start);
    let text = sources.text(span.file);
    let start = floor(text, span.start);
    let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
    let end = floor(text, span.end).max(start);
    let line_end = |from: usize| text[from..].find('\n').map_or(text.len(), |at| from + at);
    // What goes over several lines is quoted in part.
    let last = (1..MOST_LINES).fold(line_end(start), |last, _| if last < end { line_end(last + 1) } else { last });
    let marked = end.min(last);
    let indent =
        text[line_start..last].lines().filter(|line| !line.trim().is_empty()).map(indentation).min().unwrap_or(0);
    let part = |from: usize, to: usize| moved_left(&text[from..to], indent);
    let first = (line_start + indent).min(start);
    html! {
        p .place { (file_name(sources, span.file)) ":" (line) ":" (column) @if !said.is_empty() { ": " (said) } }
        pre { code {
            (&text[first..start]) mark { (part(start, marked)) } (part(marked, last)) @if last < end { "\n…" }
        } }
    }
}

/// Blanks before a line's first letter.
fn indentation(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// A text with some blanks removed from the start of each line except the first.
fn moved_left(text: &str, blanks: usize) -> String {
    text.replace(&format!("\n{}", " ".repeat(blanks)), "\n")
}

/// Lines quoted of one place.
const MOST_LINES: usize = 4;

/// The file without its folders, so that the page is the same on every machine.
fn file_name(sources: &Sources, file: FileId) -> &str {
    let name = sources.name(file);
    name.rsplit('/').next().unwrap_or(name)
}

/// The nearest place at or before an offset where a character begins.
fn floor(text: &str, offset: usize) -> usize {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    offset
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_is_quoted_with_its_part_marked_and_nothing_becomes_markup() {
        let mut sources = Sources::default();
        let file = sources.add("a.ron", "one\n<two> ü three\n");
        let span = Span { file, start: 10, end: 12 };
        let html = quoted(span, "here", &sources).into_string();
        assert!(html.contains("a.ron:2:7: here"), "{html}");
        assert!(html.contains("&lt;two&gt; <mark>ü</mark> three"), "{html}");
        let over = quoted(Span { file, start: 4, end: 999 }, "", &sources).into_string();
        assert!(over.contains("<mark>&lt;two&gt; ü three\n</mark>"), "{over}");
        let file = sources.add("b.ron", "a\n[1,\n2,\n3,\n4,\n5]\n");
        let long = quoted(Span { file, start: 2, end: 15 }, "", &sources).into_string();
        assert!(long.contains("<mark>[1,\n2,\n3,\n4,</mark>\n…"), "{long}");
        let file = sources.add("c.ron", "    a: [\n      1,\n    ],\n");
        let inner = quoted(Span { file, start: 7, end: 23 }, "", &sources).into_string();
        assert!(inner.contains("<code>a: <mark>[\n  1,\n]</mark>,</code>"), "{inner}");
    }

    #[test]
    fn what_stands_between_backticks_is_code() {
        assert_eq!(worded("no `a<b` here, or `c`").into_string(), "no <code>a&lt;b</code> here, or <code>c</code>");
        assert_eq!(worded("an odd ` stays").into_string(), "an odd ` stays");
    }
}
