//! Changes one field, or one entry of a map, in a RON text. Everything else stays unchanged, including comments.

use crate::diag::{Findings, Sources};
use crate::font::sheet::quoted;
use crate::source::{Node, Shape, parse};
use std::ops::Range;

/// A field that every font description has; new fields are put in front of it.
const BEFORE: &str = "cells";

/// A field of the outermost record, or one entry of a field that is a map of texts. The key is the text without quotes and escapes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct RonPlace {
    pub field: &'static str,
    pub key: Option<String>,
}

impl RonPlace {
    /// A whole field.
    pub fn field(field: &'static str) -> Self {
        Self { field, key: None }
    }
    /// One entry of a map.
    pub fn entry(field: &'static str, key: impl Into<String>) -> Self {
        Self { field, key: Some(key.into()) }
    }

    /// The text of the value; `None` if there is none.
    pub fn value(&self, ron: &str) -> Result<Option<String>, String> {
        let node = tree(ron)?;
        let value = value_of(&node, self.field);
        let value = match &self.key {
            None => value,
            Some(key) => value
                .and_then(|map| entries(map).iter().rfind(|(known, _)| is_text(known, key)))
                .map(|(_, value)| value),
        };
        Ok(value.map(|value| ron[tight(ron, value)].to_owned()))
    }

    /// The text with this value, which is written as given, or without it.
    pub fn with(&self, ron: &str, value: Option<&str>) -> Result<String, String> {
        let node = tree(ron)?;
        match (&self.key, value) {
            (None, Some(value)) => set_field(ron, &node, self.field, value),
            (None, None) => remove_field(ron, &node, self.field),
            (Some(key), Some(value)) => set_entry(ron, &node, (self.field, key), value),
            (Some(key), None) => remove_entry(ron, &node, (self.field, key)),
        }
    }
}

fn set_field(ron: &str, node: &Node, field: &str, value: &str) -> Result<String, String> {
    match value_of(node, field) {
        Some(old) => Ok(replaced(ron, tight(ron, old), value)),
        None => insert_field(ron, node, field, value),
    }
}

/// Takes a field away, up to the next one; the last field of a record stays, since nothing is ever put behind it.
fn remove_field(ron: &str, node: &Node, field: &str) -> Result<String, String> {
    let Shape::Record(_, fields) = &node.shape else { return Err("the RON file holds no fields".into()) };
    let starts: Vec<(&str, usize)> = fields.iter().map(|(name, key, _)| (name.as_str(), key.start)).collect();
    let at = starts.windows(2).find(|pair| pair[0].0 == field);
    Ok(at.map_or(ron.to_owned(), |pair| replaced(ron, pair[0].1..pair[1].1, "")))
}

fn set_entry(ron: &str, node: &Node, (field, key): (&str, &str), value: &str) -> Result<String, String> {
    let written = format!("{}: {value}", quoted(key));
    let Some(map) = value_of(node, field) else {
        return insert_field(ron, node, field, &format!("{{{written}}}"));
    };
    if !matches!(map.shape, Shape::Map(_)) {
        return Err(format!("`{field}` is not a map"));
    }
    let pairs = entries(map);
    if let Some((_, old)) = pairs.iter().rfind(|(known, _)| is_text(known, key)) {
        return Ok(replaced(ron, tight(ron, old), value));
    }
    Ok(match pairs.last() {
        None => replaced(ron, map.span.start + 1..map.span.start + 1, &written),
        Some((_, last)) => {
            let end = tight(ron, last).end;
            replaced(ron, end..end, &format!(", {written}"))
        }
    })
}

/// Takes an entry away, and with the last one the map.
fn remove_entry(ron: &str, node: &Node, (field, key): (&str, &str)) -> Result<String, String> {
    let pairs = value_of(node, field).map_or(&[][..], entries);
    let Some(at) = pairs.iter().position(|(known, _)| is_text(known, key)) else { return Ok(ron.to_owned()) };
    // From the end of the entry before, so that its comma goes too; the first one goes with the comma behind it.
    let range = match (at, pairs.get(at + 1)) {
        (0, None) => return remove_field(ron, node, field),
        (0, Some((next, _))) => pairs[0].0.span.start..next.span.start,
        (at, _) => tight(ron, &pairs[at - 1].1).end..tight(ron, &pairs[at].1).end,
    };
    Ok(replaced(ron, range, ""))
}

fn entries(map: &Node) -> &[(Node, Node)] {
    if let Shape::Map(pairs) = &map.shape { pairs } else { &[] }
}

fn tree(ron: &str) -> Result<Node, String> {
    let file = Sources::default().add("", "");
    parse(ron, file, &mut Findings::default()).ok_or_else(|| "the RON file has a syntax error; fix it first".into())
}

fn value_of<'a>(node: &'a Node, field: &str) -> Option<&'a Node> {
    let Shape::Record(_, fields) = &node.shape else { return None };
    fields.iter().find(|(name, ..)| name == field).map(|(.., value)| value)
}

fn is_text(node: &Node, meaning: &str) -> bool {
    matches!(&node.shape, Shape::Text(text) if text == meaning)
}

/// The stretch of a value without a comment behind it, which a span may take in.
fn tight(ron: &str, node: &Node) -> Range<usize> {
    let Range { start, end } = node.span.start..node.span.end;
    let length = match &node.shape {
        // Bracketed and quoted values end with their own mark; a bare one ends where white space or a comment begins.
        Shape::Number(_) | Shape::Word(_) | Shape::Flag(_) => {
            ron[start..end].find(|letter: char| letter.is_whitespace() || letter == '/').unwrap_or(end - start)
        }
        _ => last_close(&ron[start..end]),
    };
    start..start + length
}

/// The length of a value up to its last closing bracket or quote that stands in no comment.
fn last_close(value: &str) -> usize {
    let (mut at, mut depth, mut bytes) = (0, 0usize, value.as_bytes());
    while let Some(first) = bytes.first() {
        let length = match first {
            b'"' => quoted_length(bytes),
            b'/' if bytes.starts_with(b"//") => bytes.iter().position(|byte| *byte == b'\n').unwrap_or(bytes.len()),
            b'/' if bytes.starts_with(b"/*") => {
                bytes.windows(2).position(|two| two == b"*/").map_or(bytes.len(), |end| end + 2)
            }
            _ => 1,
        };
        match first {
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        (at, bytes) = (at + length, &bytes[length..]);
        if depth == 0 && matches!(first, b'"' | b')' | b']' | b'}') {
            return at;
        }
    }
    value.len()
}

/// The length of a text in quotes.
fn quoted_length(bytes: &[u8]) -> usize {
    let mut at = 1;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'\\' => at += 2,
            b'"' => return at + 1,
            _ => at += 1,
        }
    }
    bytes.len()
}

fn insert_field(ron: &str, node: &Node, field: &str, value: &str) -> Result<String, String> {
    let Shape::Record(_, fields) = &node.shape else { return Err("the RON file holds no fields".into()) };
    let Some((_, key, _)) = fields.iter().find(|(name, ..)| name == BEFORE) else {
        return Err(format!("the RON file has no field `{BEFORE}`"));
    };
    // In the same column, when the field begins its line.
    let line = ron[..key.start].rfind('\n').map_or(0, |end| end + 1);
    let indent = &ron[line..key.start];
    let gap = if indent.trim().is_empty() { format!("\n{indent}") } else { " ".into() };
    Ok(replaced(ron, key.start..key.start, &format!("{field}: {value},{gap}")))
}

fn replaced(ron: &str, range: Range<usize>, by: &str) -> String {
    format!("{}{by}{}", &ron[..range.start], &ron[range.end..])
}
