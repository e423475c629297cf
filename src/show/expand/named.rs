//! The named parts of a script that are inserted elsewhere: styles and templates.

use super::take_field;
use crate::diag::{Finding, Findings, Span, nearest};
use crate::source::{FromNode, Node, Placed, Shape, report_wrong};

/// Parts of one kind by name.
pub struct Named {
    kind: &'static str,
    parts: Vec<(Placed<String>, Node)>,
}

/// Takes the map of a field out of the script.
pub fn take(script: &mut Node, field: &'static str, findings: &mut Findings) -> Named {
    let kind = field.trim_end_matches('s');
    let mut named = Named { kind, parts: Vec::new() };
    let Some(node) = take_field(script, field) else { return named };
    let Shape::Map(pairs) = node.shape else {
        report_wrong(&node, "a map {\"name\": …}", findings);
        return named;
    };
    for (key, value) in pairs {
        let Some(name) = Placed::<String>::from_node(&key, findings) else { continue };
        if let Some((first, _)) = named.parts.iter().find(|(known, _)| known.value == name.value) {
            let message = format!("there are two {kind}s named `{}`", name.value);
            findings.push(
                Finding::error(name.span, message)
                    .also(first.span, "first named here")
                    .hint("give one of them another name"),
            );
        }
        named.parts.push((name, value));
    }
    named
}

impl Named {
    /// The part of this name; an unknown name is reported with the nearest.
    pub fn find(&self, name: &str, span: Span, findings: &mut Findings) -> Option<&Node> {
        let found = self.parts.iter().find(|(known, _)| known.value == name);
        if found.is_none() && !findings.full() {
            let kind = self.kind;
            let finding = Finding::error(span, format!("there is no {kind} named `{name}`"));
            let names = self.parts.iter().map(|(known, _)| known.value.as_str());
            findings.push(match nearest(name, names) {
                Some(near) => finding.hint(format!("did you mean `{near}`?")),
                None => finding.hint(format!("add it to `{kind}s` of the show")),
            });
        }
        found.map(|(_, node)| node)
    }
}
