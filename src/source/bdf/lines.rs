//! The lines of a BDF file: each is a keyword and the words after it, with their places. Comments and empty lines are left out.

use super::LONGEST_SIDE;
use crate::diag::{FileId, Finding, Findings, Span};

/// One line.
#[derive(Clone, Copy, Debug)]
pub struct BdfLine<'a> {
    pub file: FileId,
    /// The line without the white space around it.
    pub text: &'a str,
    /// Byte of the file at which it begins.
    pub start: usize,
}

impl<'a> BdfLine<'a> {
    /// The place of the whole line.
    pub fn span(self) -> Span {
        Span { file: self.file, start: self.start, end: self.start + self.text.len() }
    }
    /// The first word.
    pub fn keyword(self) -> &'a str {
        self.text.split_whitespace().next().unwrap_or("")
    }
    /// The text after the first word, and its place.
    pub fn rest(self) -> (&'a str, Span) {
        let behind = &self.text[self.keyword().len()..];
        let rest = behind.trim_start();
        let start = self.start + self.text.len() - rest.len();
        (rest, Span { file: self.file, start, end: start + rest.len() })
    }

    /// Reads exactly `N` whole numbers after the keyword. If this fails, reports what is wanted.
    pub fn numbers<const N: usize>(self, wanted: &str, findings: &mut Findings) -> Option<[i32; N]> {
        let words: Vec<&str> = self.text.split_whitespace().skip(1).collect();
        let numbers: Vec<i32> = words.iter().take(N).map_while(|word| word.parse().ok()).collect();
        if let Ok(numbers) = <[i32; N]>::try_from(numbers)
            && words.len() == N
        {
            return Some(numbers);
        }
        let message = format!("{} needs {wanted}, not `{}`", self.keyword(), self.rest().0);
        findings.push(Finding::error(self.span(), message));
        None
    }

    /// As [`BdfLine::numbers`], with numbers within the limits of a glyph.
    pub fn measures<const N: usize>(self, wanted: &str, findings: &mut Findings) -> Option<[i32; N]> {
        let numbers = self.numbers(wanted, findings)?;
        if let Some(far) = numbers.iter().find(|number| number.unsigned_abs() > LONGEST_SIDE) {
            let message = format!("{} of {far} pixels exceeds the limit of {LONGEST_SIDE}", self.keyword());
            findings.push(Finding::error(self.span(), message));
            return None;
        }
        Some(numbers)
    }
}

/// Goes through the lines.
#[derive(Clone, Debug)]
pub struct BdfLines<'a> {
    text: &'a str,
    file: FileId,
    at: usize,
}

impl<'a> BdfLines<'a> {
    /// All lines of a text.
    pub fn new(text: &'a str, file: FileId) -> Self {
        Self { text, file, at: 0 }
    }
    /// The next line, which stays the next one.
    pub fn peek(&self) -> Option<BdfLine<'a>> {
        self.clone().next()
    }
    /// The place after the last line.
    pub fn end(&self) -> Span {
        Span { file: self.file, start: self.text.trim_end().len(), end: self.text.trim_end().len() }
    }
}

impl<'a> Iterator for BdfLines<'a> {
    type Item = BdfLine<'a>;

    fn next(&mut self) -> Option<BdfLine<'a>> {
        while self.at < self.text.len() {
            let rest = &self.text[self.at..];
            let length = rest.find(['\n', '\r']).unwrap_or(rest.len());
            let whole = &rest[..length];
            let text = whole.trim();
            let start = self.at + (whole.len() - whole.trim_start().len());
            self.at += length + 1;
            let line = BdfLine { file: self.file, text, start };
            if !text.is_empty() && line.keyword() != "COMMENT" {
                return Some(line);
            }
        }
        None
    }
}
