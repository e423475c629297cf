//! A RON text as a tree in which every node knows its place; the `ron` crate does all the parsing.

use super::scan::scan;
use crate::diag::{FileId, Finding, Findings, Span, is_hidden};
use ron::value::RawValue;
use serde::de::{Deserialize, Deserializer as _, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// A value of a RON text and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Its place.
    pub span: Span,
    /// What it is.
    pub shape: Shape,
}

/// The shape of a value, without its meaning.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// `true` or `false`.
    Flag(bool),
    /// A number, whole or not.
    Number(f64),
    /// A text in quotes, escapes resolved.
    Text(String),
    /// A character in single quotes.
    Letter(char),
    /// `[a, b]`.
    List(Vec<Node>),
    /// `{a: b}`.
    Map(Vec<(Node, Node)>),
    /// A bare word such as `Centre`.
    Word(String),
    /// `Name(…)` or `(…)` with named fields: the name if there is one, then each field's name, its span and value.
    Record(Option<String>, Vec<(String, Span, Node)>),
    /// `Name(a, b)` or `(a, b)` without field names.
    Tuple(Option<String>, Vec<Node>),
}

impl Node {
    /// The name before the bracket, or the bare word.
    pub fn head(&self) -> Option<&str> {
        match &self.shape {
            Shape::Word(name) | Shape::Record(Some(name), _) | Shape::Tuple(Some(name), _) => Some(name),
            _ => None,
        }
    }
    /// The values of a list, or in a bracket without field names; none for anything else.
    pub fn items(&self) -> &[Node] {
        match &self.shape {
            Shape::List(items) | Shape::Tuple(_, items) => items,
            _ => &[],
        }
    }
    /// The value of a field, in a bracket with field names.
    pub fn field(&self, name: &str) -> Option<&Node> {
        let Shape::Record(_, fields) = &self.shape else { return None };
        fields.iter().find(|(known, ..)| known == name).map(|(.., value)| value)
    }
    /// What the value is called in a message.
    pub fn kind(&self) -> String {
        match &self.shape {
            Shape::Flag(value) => format!("`{value}`"),
            Shape::Number(value) => format!("the number {value}"),
            Shape::Text(_) => "a text in quotes".into(),
            Shape::Letter(_) => "a single character".into(),
            Shape::List(_) => "a list in [ ]".into(),
            Shape::Map(_) => "a map in { }".into(),
            Shape::Word(word) => format!("the word `{word}`"),
            Shape::Record(Some(name), _) | Shape::Tuple(Some(name), _) => format!("`{name}(…)`"),
            Shape::Record(None, _) => "fields in ( )".into(),
            Shape::Tuple(None, _) => "values in ( )".into(),
        }
    }
}

/// Parses a whole RON text; a fault of syntax is reported with its place.
pub fn parse(text: &str, file: FileId, findings: &mut Findings) -> Option<Node> {
    if let Some(((start, end), message, hint)) = scan(text) {
        findings.push(Finding::error(Span { file, start, end }, message).hint(hint));
        return None;
    }
    let whole = Whole { text, file };
    match ron::from_str::<&RawValue>(text) {
        Ok(value) => match whole.node(value.get_ron()) {
            Ok(node) => Some(node),
            Err((span, message, hint)) => {
                findings.push(Finding::error(span, message).hint(hint));
                None
            }
        },
        Err(error) => {
            let span = whole.span_of(&error, 0);
            findings.push(decimal_comma(text, span).unwrap_or_else(|| {
                let finding = Finding::error(span, format!("this is not readable as RON: {}", in_words(&error.code)));
                finding.hint("look here and just before for a missing comma, bracket or quote")
            }));
            None
        }
    }
}

/// Where, what is wrong, and how to fix it.
type ParseFault = (Span, String, &'static str);

const SHAPES: &str = "write a number, a text in quotes, [a list], {a map} or Name(field: value)";

struct Whole<'a> {
    text: &'a str,
    file: FileId,
}

impl<'a> Whole<'a> {
    fn offset(&self, part: &str) -> usize {
        (part.as_ptr() as usize).wrapping_sub(self.text.as_ptr() as usize).min(self.text.len())
    }

    fn span(&self, part: &str) -> Span {
        let start = self.offset(part);
        Span { file: self.file, start, end: (start + part.len()).min(self.text.len()) }
    }

    fn span_of(&self, error: &ron::error::SpannedError, base: usize) -> Span {
        let part = &self.text[base..];
        let at = |position: ron::error::Position| {
            let line: usize = part.split_inclusive('\n').take(position.line.saturating_sub(1)).map(str::len).sum();
            let rest = part.get(line..).unwrap_or("");
            let column: usize = rest.chars().take(position.col.saturating_sub(1)).map(char::len_utf8).sum();
            base + (line + column).min(part.len())
        };
        let (start, end) = (at(error.span.start), at(error.span.end));
        Span { file: self.file, start, end: end.max(start) }
    }

    fn node(&self, raw: &'a str) -> Result<Node, ParseFault> {
        let text = trim(raw);
        let span = self.span(text);
        let shape = match text.chars().next() {
            Some('"' | 'r') if is_text(text) => Shape::Text(self.text(text)?),
            Some('\'') => Shape::Letter(self.leaf(text)?),
            Some('[' | '{' | '(') => self.group(None, text)?,
            Some(first) if first.is_alphabetic() || first == '_' => self.word(text)?,
            _ => Shape::Number(self.number(text)?),
        };
        Ok(Node { span, shape })
    }

    /// A text; characters that would hide or reorder what is read are refused.
    fn text(&self, text: &'a str) -> Result<String, ParseFault> {
        let value: String = self.leaf(text)?;
        // The cells of a font file may well be for such characters.
        let in_font = trim(self.text).starts_with("Font(");
        match value.chars().find(|letter| !in_font && is_hidden(*letter)) {
            Some(hidden) => {
                let code = u32::from(hidden);
                Err((
                    self.span(text),
                    format!("this text holds the character U+{code:04X}, which cannot be seen"),
                    "remove it",
                ))
            }
            None => Ok(value),
        }
    }

    /// A number, whole ones also in hexadecimal, octal or binary.
    fn number(&self, text: &'a str) -> Result<f64, ParseFault> {
        let digits = text.trim_start_matches(['+', '-']);
        if ["0x", "0o", "0b"].iter().any(|prefix| digits.starts_with(prefix)) {
            return self.leaf::<i32>(text).map(f64::from);
        }
        self.leaf(text)
    }

    fn leaf<T: Deserialize<'a>>(&self, text: &'a str) -> Result<T, ParseFault> {
        ron::from_str(text).map_err(|error| {
            (
                self.span_of(&error, self.offset(text)),
                format!("this is not readable as RON: {}", in_words(&error.code)),
                SHAPES,
            )
        })
    }

    fn word(&self, text: &'a str) -> Result<Shape, ParseFault> {
        let end = text.find(|letter: char| !letter.is_alphanumeric() && letter != '_').unwrap_or(text.len());
        let (word, rest) = text.split_at(end);
        let rest = trim(rest);
        match word {
            "true" => Ok(Shape::Flag(true)),
            "false" => Ok(Shape::Flag(false)),
            "inf" | "NaN" => Err((self.span(text), format!("`{word}` is not a number that can be used here"), SHAPES)),
            _ if rest.is_empty() => Ok(Shape::Word(word.to_owned())),
            _ => self.group(Some(word.to_owned()), rest),
        }
    }

    fn group(&self, name: Option<String>, text: &'a str) -> Result<Shape, ParseFault> {
        let fault = |error: ron::error::SpannedError| {
            (
                self.span_of(&error, self.offset(text)),
                format!("this is not readable as RON: {}", in_words(&error.code)),
                SHAPES,
            )
        };
        let mut deserializer = ron::Deserializer::from_str(text).map_err(fault)?;
        let parts = deserializer
            .deserialize_any(PartsVisitor { map: text.starts_with('{') })
            .map_err(|error| (self.span(text), format!("this is not readable as RON: {}", in_words(&error)), SHAPES))?;
        Ok(match parts {
            Parts::Seq(items) => {
                let nodes = items.into_iter().map(|item| self.node(item)).collect::<Result<_, _>>()?;
                if text.starts_with('[') { Shape::List(nodes) } else { Shape::Tuple(name, nodes) }
            }
            Parts::Fields(fields) => {
                let field = |(key, value): (&'a str, &'a str)| Ok((key.to_owned(), self.span(key), self.node(value)?));
                Shape::Record(name, fields.into_iter().map(field).collect::<Result<_, ParseFault>>()?)
            }
            Parts::Map(pairs) => {
                let pair = |(key, value): (&'a str, &'a str)| Ok((self.node(key)?, self.node(value)?));
                Shape::Map(pairs.into_iter().map(pair).collect::<Result<_, ParseFault>>()?)
            }
        })
    }
}

/// A comma within a number, where a fault of syntax lies behind it.
fn decimal_comma(text: &str, fault: Span) -> Option<Finding> {
    let digit = |letter: char| letter.is_ascii_digit();
    let comma = text.get(..fault.start)?.trim_end_matches(digit).strip_suffix(',')?.len();
    let start = text[..comma].trim_end_matches(|letter| digit(letter) || letter == '_' || letter == '.').len();
    let length = text[comma + 1..].find(|letter| !digit(letter)).unwrap_or(text.len() - comma - 1);
    let (whole, part) = (&text[start..comma], &text[comma + 1..comma + 1 + length]);
    if whole.is_empty() || part.is_empty() || !whole.chars().all(digit) {
        return None;
    }
    let span = Span { file: fault.file, start, end: comma + 1 + length };
    Some(Finding::error(span, "a number has a decimal point, not a comma").hint(format!("write {whole}.{part}")))
}

/// What the parser found, without its own terms.
fn in_words(error: &ron::Error) -> String {
    match error {
        ron::Error::ExceededRecursionLimit => "brackets nest too deep".into(),
        ron::Error::ExpectedIdentifier | ron::Error::InvalidIdentifier(_) | ron::Error::SuggestRawIdentifier(_) => {
            "a field's name is expected here".into()
        }
        ron::Error::Eof => "the file ends before the last bracket or quote is closed".into(),
        other => other.to_string(),
    }
}

/// The parts of a bracketed value, each still as its own stretch of the text.
enum Parts<'a> {
    Seq(Vec<&'a str>),
    Fields(Vec<(&'a str, &'a str)>),
    Map(Vec<(&'a str, &'a str)>),
}

struct PartsVisitor {
    map: bool,
}

impl<'de> Visitor<'de> for PartsVisitor {
    type Value = Parts<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a bracketed value")
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(Parts::Seq(Vec::new()))
    }

    fn visit_newtype_struct<D: serde::Deserializer<'de>>(self, inner: D) -> Result<Self::Value, D::Error> {
        Ok(Parts::Seq(vec![<&RawValue>::deserialize(inner)?.get_ron()]))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = seq.next_element::<&RawValue>()? {
            items.push(item.get_ron());
        }
        Ok(Parts::Seq(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut pairs = Vec::new();
        if self.map {
            while let Some((key, value)) = map.next_entry::<&RawValue, &RawValue>()? {
                pairs.push((key.get_ron(), value.get_ron()));
            }
            return Ok(Parts::Map(pairs));
        }
        while let Some((key, value)) = map.next_entry::<&str, &RawValue>()? {
            pairs.push((key, value.get_ron()));
        }
        Ok(Parts::Fields(pairs))
    }
}

fn is_text(text: &str) -> bool {
    text.starts_with('"') || text.starts_with("r\"") || text.starts_with("r#")
}

/// The value without the white space and comments around it; a raw value's text may include those before it.
fn trim(raw: &str) -> &str {
    let mut text = raw.trim();
    loop {
        if let Some(rest) = text.strip_prefix("//") {
            text = rest.split_once('\n').map_or("", |(_, after)| after).trim_start();
        } else if text.starts_with("/*") {
            text = text.get(block_comment_end(text)..).unwrap_or("").trim_start();
        } else {
            return text;
        }
    }
}

/// Where a block comment at the start of a text ends; block comments nest in RON.
fn block_comment_end(text: &str) -> usize {
    let (mut depth, mut at) = (0usize, 0);
    while at < text.len() {
        let rest = &text.as_bytes()[at..];
        if rest.starts_with(b"/*") {
            depth += 1;
            at += 2;
        } else if rest.starts_with(b"*/") {
            depth -= 1;
            at += 2;
            if depth == 0 {
                return at;
            }
        } else {
            at += 1;
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::{Place, Sources};

    fn tree(text: &str) -> (Option<Node>, Findings) {
        let mut findings = Findings::default();
        let file = Sources::default().add("test.ron", text);
        (parse(text, file, &mut findings), findings)
    }

    #[test]
    fn every_value_knows_its_place_though_comments_and_other_scripts_stand_before_it() {
        let text = r#"// é
            Show(name: /* a /* b */ */ "ü\n", at: Right(-2, 8), list: [Centre, 'x', true], m: {"k": 1_000}, n: (0x1F,), e: Empty())"#;
        let (node, findings) = tree(text);
        assert_eq!(findings.iter().count(), 0, "{findings:?}");
        let Some(Node { shape: Shape::Record(Some(name), fields), .. }) = node else { panic!("{node:?}") };
        assert_eq!(name, "Show");
        let quoted: Vec<(&str, &str)> = fields
            .iter()
            .map(|(_, key, value)| (&text[key.start..key.end], &text[value.span.start..value.span.end]))
            .collect();
        let expected = [
            ("name", r#""ü\n""#),
            ("at", "Right(-2, 8)"),
            ("list", "[Centre, 'x', true]"),
            ("m", r#"{"k": 1_000}"#),
            ("n", "(0x1F,)"),
            ("e", "Empty()"),
        ];
        assert_eq!(quoted, expected);
        assert_eq!(fields[0].2.shape, Shape::Text("ü\n".into()));
        assert!(matches!(&fields[3].2.shape, Shape::Map(pairs) if pairs[0].1.shape == Shape::Number(1000.0)));
        assert!(matches!(&fields[4].2.shape, Shape::Tuple(None, items) if items[0].shape == Shape::Number(31.0)));
        assert!(matches!(&fields[5].2.shape, Shape::Tuple(Some(_), items) if items.is_empty()));
    }

    #[test]
    fn a_fault_of_syntax_has_a_place() {
        let (node, findings) = tree("Show(\n  name: \"a\"\n  at: 3,\n)");
        assert!(node.is_none());
        let places: Vec<_> = findings.iter().map(|finding| finding.place.clone()).collect();
        assert!(matches!(places[..], [Place::Text(Span { start, .. })] if start >= 17), "{places:?}");
    }
}
