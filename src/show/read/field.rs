//! One field of a layer: its row in the table that drives reading, hints and the manual, and how each type is read by it.

use super::Context;
use crate::diag::Findings;
use crate::show::Track;
use crate::show::natural::LayerEnd;
use crate::source::{Fields, FromNode, Node};

/// A row of a layer's table: what the field is called, what it means, which numbers it takes.
#[derive(Clone, Copy, Debug)]
pub struct FieldSlot {
    pub name: &'static str,
    pub meaning: &'static str,
    /// The lowest and the highest number.
    pub range: Option<(f64, f64)>,
    /// The usual value as written in the table.
    pub usual: Option<&'static str>,
}

/// A row as the manual prints it.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldRow {
    /// Its name.
    pub name: &'static str,
    /// What is written there, such as `a number that may move`.
    pub form: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// The lowest and the highest value; `None` if it is not a number.
    pub range: Option<(f64, f64)>,
    /// What counts when the field is left out; `None` when it is required.
    pub usual: Option<String>,
}

/// A type that a field of a layer can have.
pub trait ReadField: Sized {
    /// What is written for it, for the manual and for messages.
    const FORM: &'static str;
    /// How the table writes its usual value.
    type Usual;

    /// Reads it from its node.
    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self>;

    /// The usual value of the table as this type.
    fn usual(value: Self::Usual) -> Self;

    /// Takes it from the fields of a layer; types that are spread over several fields do more than take one.
    fn take(
        fields: &mut Fields<'_>,
        slot: &FieldSlot,
        usual: Option<Self::Usual>,
        context: &mut Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<Self> {
        match (fields.node(slot.name), usual) {
            (Some(node), _) => Self::read(node, slot, context, findings),
            (None, Some(usual)) => Some(Self::usual(usual)),
            (None, None) => {
                fields.report_lack(slot.name, findings);
                None
            }
        }
    }

    /// When it comes to rest.
    fn end(&self) -> LayerEnd {
        LayerEnd::Still
    }

    /// Calls for each of its numbers that may move.
    fn tracks(&mut self, _visit: &mut dyn FnMut(&mut Track)) {}

    /// Adds its rows to the manual.
    fn describe(slot: &FieldSlot, rows: &mut Vec<FieldRow>) {
        rows.push(slot.row(Self::FORM));
    }
}

impl FieldSlot {
    /// A row without a range and without a usual value.
    pub const fn new(name: &'static str, meaning: &'static str) -> Self {
        Self { name, meaning, range: None, usual: None }
    }
    /// The same with a range.
    pub const fn range(self, lowest: f64, highest: f64) -> Self {
        Self { range: Some((lowest, highest)), ..self }
    }
    /// The same with the text of its usual value.
    pub const fn usual(self, usual: &'static str) -> Self {
        Self { usual: Some(usual), ..self }
    }
    /// The row of the manual.
    pub fn row(&self, form: &'static str) -> FieldRow {
        let (name, meaning) = (self.name, self.meaning.trim());
        FieldRow { name, form, meaning, range: self.range, usual: self.usual.map(script_form) }
    }
}

/// The usual value as a script would write it: `Side::Left` becomes `Left`, `12.0` becomes `12`.
fn script_form(code: &str) -> String {
    match code {
        "Vec::new()" => "[]".into(),
        "String::new()" => "\"\"".into(),
        "FULL" => "Full".into(),
        "None" => "none".into(),
        _ => {
            let last = code.rsplit("::").next().unwrap_or(code);
            last.strip_suffix(".0").unwrap_or(last).to_owned()
        }
    }
}

impl ReadField for String {
    const FORM: &'static str = "a text in quotes";
    type Usual = String;

    fn read(node: &Node, _: &FieldSlot, _: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        String::from_node(node, findings)
    }
    fn usual(value: String) -> Self {
        value
    }
}

impl ReadField for bool {
    const FORM: &'static str = "`true` or `false`";
    type Usual = bool;

    fn read(node: &Node, _: &FieldSlot, _: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        bool::from_node(node, findings)
    }
    fn usual(value: bool) -> Self {
        value
    }
}

#[cfg(test)]
mod tests {
    use super::script_form;

    #[test]
    fn usual_values_read_like_a_script() {
        assert_eq!(
            ["Side::Left", "12.0", "0.25", "true", "Vec::new()"].map(script_form),
            ["Left", "12", "0.25", "true", "[]"]
        );
    }
}
