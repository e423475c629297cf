//! The lines that a message quotes, cut to the width of the terminal, with the numbers that lines and columns have in the whole file.

use super::excerpt::Excerpt;
use super::hidden::visible;
use super::{FileId, Finding, Place, Sources, Span};
use codespan_reporting::diagnostic::{Label, LabelStyle};
use codespan_reporting::files::{Error, Files, column_index, line_starts};
use std::ops::Range;

/// Characters of a quoted line where the terminal does not say.
const LONGEST_QUOTE: usize = 200;
/// Characters before a quoted line but its number: blanks, the rule, and the bracket of a place over several lines.
const BEFORE_QUOTE: usize = 6;

/// A place with the word that is said of it.
type Marked<'a> = (LabelStyle, Span, &'a str);

/// What a finding quotes: a part of each of its files, and a label for each of its places.
#[derive(Default)]
pub struct Quotes {
    files: Vec<Quote>,
    pub labels: Vec<Label<usize>>,
}

/// The quoted lines of a file.
struct Quote {
    name: String,
    text: String,
    line_starts: Vec<usize>,
    /// Number of the first line in the file.
    first_line: usize,
    /// Columns in the file of the places: where each begins in the text, and its column.
    columns: Vec<(usize, usize)>,
}

impl Quotes {
    /// The quoted lines of a finding, at most `columns` wide.
    pub fn of(finding: &Finding, sources: &Sources, columns: usize) -> Self {
        let main = match finding.place {
            Place::Text(span) => Some((LabelStyle::Primary, span, "")),
            Place::Picture { .. } | Place::Nowhere => None,
        };
        let also = finding.also.iter().map(|(span, word)| (LabelStyle::Secondary, *span, word.as_str()));
        let marked: Vec<Marked<'_>> = main.into_iter().chain(also).collect();
        let mut seen: Vec<FileId> = Vec::new();
        let mut quotes = Self::default();
        for (_, Span { file, .. }, _) in &marked {
            if !seen.contains(file) {
                seen.push(*file);
                let of_file: Vec<&Marked<'_>> = marked.iter().filter(|(_, span, _)| span.file == *file).collect();
                quotes.add(*file, &of_file, sources, columns);
            }
        }
        quotes
    }

    /// Adds the lines of a file from the first place to the last, and the labels of its places.
    fn add(&mut self, file: FileId, marked: &[&Marked<'_>], sources: &Sources, columns: usize) {
        let text = sources.text(file);
        let places: Vec<Range<usize>> = marked.iter().map(|(_, span, _)| within(text, *span)).collect();
        let first = places.iter().map(|place| place.start).min().unwrap_or(0);
        let last = places.iter().map(|place| place.end).max().unwrap_or(0);
        let begin = text[..first].rfind('\n').map_or(0, |at| at + 1);
        let end = text[last..].find('\n').map_or(text.len(), |at| last + at + 1);
        let digits = sources.line_and_column(file, last).0.to_string().len();
        let longest = if columns == usize::MAX { LONGEST_QUOTE } else { columns.saturating_sub(digits + BEFORE_QUOTE) };
        let moved: Vec<Range<usize>> = places.iter().map(|place| place.start - begin..place.end - begin).collect();
        let excerpt = Excerpt::new(&visible(&text[begin..end]), &moved, longest);
        let label = |(place, (style, _, word)): (&Range<usize>, &&Marked<'_>)| {
            Label::new(*style, self.files.len(), place.clone()).with_message(visible(word))
        };
        self.labels.extend(excerpt.places.iter().zip(marked).map(label));
        let column =
            |(now, place): (&Range<usize>, &Range<usize>)| (now.start, sources.line_and_column(file, place.start).1);
        self.files.push(Quote {
            name: visible(sources.name(file)),
            line_starts: line_starts(&excerpt.text).collect(),
            first_line: sources.line_and_column(file, begin).0,
            columns: excerpt.places.iter().zip(&places).map(column).collect(),
            text: excerpt.text,
        });
    }

    fn quote(&self, number: usize) -> Result<&Quote, Error> {
        self.files.get(number).ok_or(Error::FileMissing)
    }
}

/// A place as a range of bytes of its text, at boundaries of characters.
fn within(text: &str, span: Span) -> Range<usize> {
    let floor = |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let start = floor(span.start);
    start..floor(span.end).max(start)
}

impl<'a> Files<'a> for Quotes {
    type FileId = usize;
    type Name = &'a str;
    type Source = &'a str;

    fn name(&'a self, number: usize) -> Result<&'a str, Error> {
        Ok(&self.quote(number)?.name)
    }
    fn source(&'a self, number: usize) -> Result<&'a str, Error> {
        Ok(&self.quote(number)?.text)
    }
    fn line_index(&'a self, number: usize, byte: usize) -> Result<usize, Error> {
        // The first line begins at 0, so the count is never 0.
        Ok(self.quote(number)?.line_starts.partition_point(|start| *start <= byte) - 1)
    }
    fn line_number(&'a self, number: usize, line: usize) -> Result<usize, Error> {
        Ok(self.quote(number)?.first_line + line)
    }
    fn column_number(&'a self, number: usize, line: usize, byte: usize) -> Result<usize, Error> {
        let quote = self.quote(number)?;
        let known = quote.columns.iter().find(|(place, _)| *place == byte).map(|(_, column)| *column);
        Ok(known.unwrap_or(column_index(&quote.text, self.line_range(number, line)?, byte) + 1))
    }
    fn line_range(&'a self, number: usize, line: usize) -> Result<Range<usize>, Error> {
        let quote = self.quote(number)?;
        let max = quote.line_starts.len();
        let start = quote.line_starts.get(line).ok_or(Error::LineTooLarge { given: line, max })?;
        Ok(*start..quote.line_starts.get(line + 1).copied().unwrap_or(quote.text.len()))
    }
}
