//! Reading a tree into values: wrong types, unknown, missing and doubled fields are all reported, each at its own place.

use super::tried::meant;
use super::{Node, Shape};
use crate::diag::{Finding, Findings, Span, nearest};
use std::cell::Cell;

/// A type that can be read from a node; `None` means that a finding says why not.
pub trait FromNode: Sized {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self>;
}

/// A value with named fields whose fields are taken one by one.
pub trait ReadRecord: Sized {
    /// The name before the bracket, also used in messages.
    const NAME: &'static str;
    /// Takes every field; called only on `NAME(…)` or `(…)` with named fields.
    fn from_fields(fields: &mut Fields<'_>, findings: &mut Findings) -> Option<Self>;
}

/// The fields of one record, each taken at most once.
pub struct Fields<'a> {
    owner: String,
    span: Span,
    fields: Vec<(&'a str, Span, &'a Node, bool)>,
    known: Vec<&'static str>,
    /// Whether a finding about a lack has named the explanation, which is enough once.
    has_explained: Cell<bool>,
}

/// Fields of one record; none of ours has half as many.
const MOST_FIELDS: usize = 100;

impl<'a> Fields<'a> {
    /// Opens a record, or reports that the node is not one. `Name` alone and `Name()` have no fields. Entries with a space in
    /// their name, which no script can write, are notes of the expansion and no fields.
    pub fn open(node: &'a Node, owner: &str, findings: &mut Findings) -> Option<Self> {
        let entries: &[(String, Span, Node)] = match &node.shape {
            Shape::Record(_, entries) => entries,
            Shape::Word(_) => &[],
            Shape::Tuple(_, items) if items.is_empty() => &[],
            _ => {
                let message = format!("{owner} needs named fields in ( ), not {}", node.kind());
                let finding = Finding::error(node.span, message).hint(format!("write {owner}(name: value, …)"));
                findings.push(finding.hint(explained(owner)));
                return None;
            }
        };
        if findings.full() {
            return None;
        }
        if entries.len() > MOST_FIELDS {
            let message = format!("{owner} has {} fields here; the limit is {MOST_FIELDS}", entries.len());
            findings.push(
                Finding::error(node.span.opening(), message)
                    .hint(format!("remove the fields that {owner} does not have")),
            );
            return None;
        }
        let mut fields: Vec<(&str, Span, &Node, bool)> = Vec::new();
        for (name, span, value) in entries.iter().filter(|(name, ..)| !name.contains(' ')) {
            if let Some((_, first, ..)) = fields.iter().find(|(known, ..)| known == name) {
                let message = format!("the field `{name}` of {owner} is given twice");
                findings
                    .push(Finding::error(*span, message).also(*first, "first given here").hint("remove one of them"));
            } else {
                fields.push((name, *span, value, false));
            }
        }
        Some(Self {
            owner: owner.to_owned(),
            span: node.span,
            fields,
            known: Vec::new(),
            has_explained: Cell::new(false),
        })
    }

    /// The place of the whole record.
    pub fn span(&self) -> Span {
        self.span
    }

    /// The raw node of a field, if the field is there.
    pub fn node(&mut self, name: &'static str) -> Option<&'a Node> {
        self.also_known(&[name]);
        let field = self.fields.iter_mut().find(|(known, ..)| *known == name)?;
        field.3 = true;
        Some(field.2)
    }

    /// A field that must be there.
    pub fn required<T: FromNode>(&mut self, name: &'static str, findings: &mut Findings) -> Option<T> {
        match self.node(name) {
            Some(node) => T::from_node(node, findings),
            None => {
                self.report_lack(name, findings);
                None
            }
        }
    }

    /// Reports that a field which must be there is not.
    pub fn report_lack(&self, name: &str, findings: &mut Findings) {
        let message = format!("the field `{name}` of {} is required", self.owner);
        let finding = Finding::error(self.span, message).hint(format!("add `{name}: …`"));
        let is_first = !self.has_explained.replace(true);
        findings.push(if is_first { finding.hint(explained(&self.owner)) } else { finding });
    }

    /// A field that can be absent. The outer `None` means a fault, the inner `None` means absence.
    pub fn optional<T: FromNode>(&mut self, name: &'static str, findings: &mut Findings) -> Option<Option<T>> {
        match self.node(name) {
            Some(node) => T::from_node(node, findings).map(Some),
            None => Some(None),
        }
    }

    /// A field that has a usual value.
    pub fn or<T: FromNode>(&mut self, name: &'static str, usual: T, findings: &mut Findings) -> Option<T> {
        self.optional(name, findings).map(|value| value.unwrap_or(usual))
    }

    /// Names fields that were read before the record was, so that they are listed with other devices.
    pub fn also_known(&mut self, names: &[&'static str]) {
        for name in names {
            // A layer can have a field that all layers have, and say more of it.
            if !self.known.contains(name) {
                self.known.push(name);
            }
        }
    }

    /// Reports each field that nobody took; call it last.
    pub fn close(self, findings: &mut Findings) {
        for (name, span, ..) in self.fields.iter().filter(|field| !field.3) {
            let message = format!("{} has no field `{name}`", self.owner);
            let mut finding = Finding::error(*span, message);
            let near = nearest(name, self.known.iter().copied()).filter(|near| near != name);
            if let Some(field) = meant(name, &self.known).or(near) {
                finding = finding.hint(format!("did you mean `{field}`?"));
            } else {
                finding = finding.hint(format!("the fields are: {}", self.known.join(", ")));
            }
            findings.push(finding.hint(explained(&self.owner)));
        }
    }
}

/// Where the fields of a construct are explained.
fn explained(owner: &str) -> String {
    format!("`pageloom help-on {owner}` explains the fields")
}

impl<T: ReadRecord> FromNode for T {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        if let Shape::Record(Some(name), _) | Shape::Tuple(Some(name), _) | Shape::Word(name) = &node.shape
            && name != T::NAME
        {
            let message = format!("this should be {}(…), not `{name}`", T::NAME);
            let finding = Finding::error(node.span, message).hint(format!("write {}(…) here", T::NAME));
            findings.push(finding.hint(explained(T::NAME)));
            return None;
        }
        let mut fields = Fields::open(node, T::NAME, findings)?;
        let value = T::from_fields(&mut fields, findings);
        fields.close(findings);
        value
    }
}

/// A name or label: a text in one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label(pub String);

impl FromNode for Label {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        let text = String::from_node(node, findings)?;
        if text.contains(char::is_control) {
            let finding = Finding::error(node.span, "a name cannot contain line breaks or tabs");
            findings.push(finding.hint("write it in one line"));
            return None;
        }
        Some(Label(text))
    }
}

/// The finding about a number that is out of its range; `unit` begins with a space, or is empty.
pub fn out_of_range(place: Span, name: &str, value: f64, (lowest, highest): (f64, f64), unit: &str) -> Finding {
    let message = format!("`{name}` must be from {lowest} to {highest}{unit}, not {value}");
    Finding::error(place, message).hint(format!("use a value from {lowest} to {highest}"))
}

/// What is wanted where any list can be.
const LIST: &str = "a list in [ ]";

/// Reports that a node is not what is wanted here.
pub fn report_wrong(node: &Node, wanted: &str, findings: &mut Findings) {
    let finding = Finding::error(node.span, format!("this should be {wanted}, not {}", node.kind()));
    findings.push(finding.hint(instead(node, wanted)));
}

/// What to write in the place of a node that is not what is wanted.
fn instead(node: &Node, wanted: &str) -> String {
    let names =
        || wanted.split(|letter: char| !letter.is_alphanumeric()).filter(|word| word.starts_with(char::is_uppercase));
    let near = node.head().and_then(|head| nearest(head, names()).filter(|near| *near != head));
    if let Some(near) = near {
        return format!("did you mean `{near}`?");
    }
    match &node.shape {
        Shape::Word(word) if wanted.contains("in quotes") => format!("put it in quotes: {word:?}"),
        Shape::Number(number) if wanted.starts_with("a text in quotes") => format!("put it in quotes: \"{number}\""),
        Shape::Text(text) if wanted.starts_with("a number") || wanted.starts_with("a whole number") => {
            match text.trim().parse::<f64>() {
                Ok(number) => format!("write {number}, without quotes"),
                Err(_) => format!("write {wanted}"),
            }
        }
        Shape::Number(number) if wanted.starts_with("a whole number") => {
            let whole = number.round();
            if whole == *number {
                format!("write {wanted}")
            } else {
                format!("write {wanted}, such as {}", whole.max(1.0))
            }
        }
        Shape::Record(..) | Shape::Tuple(Some(_), _) if wanted.starts_with("a list") => {
            "put [ ] around it, even for a single entry".into()
        }
        Shape::Text(_) if wanted == LIST => "put [ ] around it, even for a single entry".into(),
        Shape::Text(text) if wanted.starts_with(|first: char| first.is_uppercase()) || wanted.contains("such as") => {
            match names().find(|name| name.eq_ignore_ascii_case(text)) {
                Some(name) => format!("write {name}, without quotes"),
                None if wanted.contains("Go(") => format!("write Go({text:?})"),
                None => format!("write {wanted}"),
            }
        }
        Shape::List(_) if wanted.contains("(x, y)") || wanted.contains("(width, height)") => {
            "use ( ) instead of [ ]".into()
        }
        _ => format!("write {wanted}"),
    }
}

impl FromNode for String {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::Text(text) => Some(text.clone()),
            _ => {
                report_wrong(node, "a text in quotes", findings);
                None
            }
        }
    }
}

impl FromNode for bool {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match node.shape {
            Shape::Flag(value) => Some(value),
            _ => {
                report_wrong(node, "true or false", findings);
                None
            }
        }
    }
}

impl FromNode for char {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::Letter(letter) => Some(*letter),
            Shape::Text(text) if text.chars().count() == 1 => text.chars().next(),
            _ => {
                report_wrong(node, "a single character in quotes", findings);
                None
            }
        }
    }
}

impl FromNode for f64 {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match node.shape {
            Shape::Number(value) if value.is_finite() => Some(value),
            _ => {
                report_wrong(node, "a number", findings);
                None
            }
        }
    }
}

/// Whole numbers: each type's own range is the limit, and the message names it.
macro_rules! whole_numbers {
    ($($type:ty),*) => {$(
        impl FromNode for $type {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the guard keeps to the range")]
            fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
                const LOWEST: f64 = <$type>::MIN as f64;
                const HIGHEST: f64 = <$type>::MAX as f64;
                match node.shape {
                    Shape::Number(value) if value.fract() == 0.0 && (LOWEST..=HIGHEST).contains(&value) => Some(value as $type),
                    _ => {
                        report_wrong(node, &format!("a whole number from {LOWEST} to {HIGHEST}"), findings);
                        None
                    }
                }
            }
        }
    )*};
}
whole_numbers!(u8, u16, u32, i16, i32);

impl<T: FromNode> FromNode for Vec<T> {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::List(items) => {
                let read: Vec<Option<T>> = items.iter().map(|item| T::from_node(item, findings)).collect();
                read.into_iter().collect()
            }
            _ => {
                report_wrong(node, LIST, findings);
                None
            }
        }
    }
}

/// A value with its place in the source.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<T> {
    pub value: T,
    pub span: Span,
}

impl<T: FromNode> FromNode for Placed<T> {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        T::from_node(node, findings).map(|value| Placed { value, span: node.span })
    }
}

impl<K: FromNode, V: FromNode> FromNode for Vec<(K, V)> {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::Map(pairs) => {
                let read: Vec<Option<(K, V)>> = pairs
                    .iter()
                    .map(|(key, value)| {
                        let key = K::from_node(key, findings);
                        Option::zip(key, V::from_node(value, findings))
                    })
                    .collect();
                read.into_iter().collect()
            }
            _ => {
                report_wrong(node, "a map in { }", findings);
                None
            }
        }
    }
}

/// Two values in ( ), such as a width and a height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair<A, B>(pub A, pub B);

impl<A: FromNode, B: FromNode> FromNode for Pair<A, B> {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::Tuple(None, items) if items.len() == 2 => {
                let first = A::from_node(&items[0], findings);
                Option::zip(first, B::from_node(&items[1], findings)).map(|(first, second)| Pair(first, second))
            }
            _ => {
                report_wrong(node, "two values in ( )", findings);
                None
            }
        }
    }
}
