//! Expands a script before it is read: includes, `like`, styles, templates and modes. It works on the tree of values, so that every
//! value keeps its place in the script.

mod count;
mod include;
mod inherit;
mod modes;
mod named;
mod room;
mod style;
mod template;
mod variant;
mod way_back;

pub use variant::Variant;

use crate::diag::Findings;
use crate::source::{Node, Reader, Shape};
use room::ScriptRoom;
use std::path::Path;

/// How deep includes, templates and likenesses may be nested.
const DEEPEST: usize = 8;

/// Returns the expanded script. What is not possible is reported and left out. `None` if the script would grow without limit, or
/// has too many of something.
pub fn expand(mut script: Node, reader: &mut Reader<'_>, path: &Path, findings: &mut Findings) -> Option<Node> {
    let mut room = ScriptRoom::new();
    include::take_in(&mut script, (reader, &mut room), &[path.to_owned()], findings);
    if !room.holds(&script, findings) || count::too_many(&script, findings) {
        return None;
    }
    let styles = named::take(&mut script, "styles", findings);
    let templates = named::take(&mut script, "templates", findings);
    template::put_in(&mut script, &templates, &[], &mut room, findings);
    if !room.holds(&script, findings) {
        return None;
    }
    style::dress(&mut script, &styles, &[], &mut room, findings);
    if !room.holds(&script, findings) {
        return None;
    }
    inherit::inherit(&mut script, &mut room, findings);
    modes::multiply(&mut script, &mut room, findings);
    room.holds(&script, findings).then_some(script)
}

/// The fields of a record, whatever its name.
fn fields(node: &Node) -> &[(String, crate::diag::Span, Node)] {
    if let Shape::Record(_, fields) = &node.shape { fields } else { &[] }
}

/// The value of a field of a record.
fn field<'a>(node: &'a Node, name: &str) -> Option<&'a Node> {
    fields(node).iter().find(|(known, ..)| known == name).map(|(.., value)| value)
}

/// Removes a field of a record and returns its value.
fn take_field(node: &mut Node, name: &str) -> Option<Node> {
    let Shape::Record(_, fields) = &mut node.shape else { return None };
    let at = fields.iter().position(|(known, ..)| known == name)?;
    Some(fields.remove(at).2)
}

/// The nodes directly within a node.
fn children(node: &mut Node) -> Vec<&mut Node> {
    match &mut node.shape {
        Shape::List(items) | Shape::Tuple(_, items) => items.iter_mut().collect(),
        Shape::Map(pairs) => pairs.iter_mut().flat_map(|(key, value)| [key, value]).collect(),
        Shape::Record(_, fields) => fields.iter_mut().map(|(.., value)| value).collect(),
        Shape::Flag(_) | Shape::Number(_) | Shape::Text(_) | Shape::Letter(_) | Shape::Word(_) => Vec::new(),
    }
}

/// Puts the items of a list in the place of each item that became a list, where `chosen` says that it may.
fn splice(node: &mut Node, chosen: &[bool]) {
    let Shape::List(items) = &mut node.shape else { return };
    let flat = std::mem::take(items).into_iter().zip(chosen).flat_map(|(item, chosen)| match item.shape {
        Shape::List(inner) if *chosen => inner,
        _ => vec![item],
    });
    *items = flat.collect();
}
