//! `Include("file.ron")`: another file's value in its place; in a list, a list's items one by one.

use super::room::ScriptRoom;
use super::{DEEPEST, children, splice};
use crate::diag::{Finding, Findings};
use crate::source::{FromNode, Node, Placed, Reader, Shape, beside, parse};
use std::path::PathBuf;

/// Takes in every file named in a node; `within` are the files around it, the innermost last.
pub fn take_in(
    node: &mut Node,
    (reader, room): (&mut Reader<'_>, &mut ScriptRoom),
    within: &[PathBuf],
    findings: &mut Findings,
) {
    if let Shape::Tuple(Some(head), items) = &node.shape
        && head == "Include"
        && let [named] = items.as_slice()
    {
        let named = Placed::<String>::from_node(named, findings).filter(|_| !room.spent);
        let read = named.and_then(|named| read(&named, (reader, room), within, findings));
        // What could not be read is reported; an empty list harms nothing else where lists stand.
        *node = read.unwrap_or(Node { span: node.span, shape: Shape::List(Vec::new()) });
        return;
    }
    let included: Vec<bool> = node.items().iter().map(|item| item.head() == Some("Include")).collect();
    for child in children(node) {
        take_in(child, (reader, room), within, findings);
    }
    splice(node, &included);
}

fn read(
    named: &Placed<String>,
    (reader, room): (&mut Reader<'_>, &mut ScriptRoom),
    within: &[PathBuf],
    findings: &mut Findings,
) -> Option<Node> {
    let path = beside(within.last()?, &named.value);
    if within.contains(&path) {
        let message = format!("{} includes itself", named.value);
        findings.push(Finding::error(named.span, message).hint("remove this Include"));
        return None;
    }
    if within.len() > DEEPEST {
        let finding = Finding::error(named.span, format!("includes are nested more than {DEEPEST} levels deep"));
        findings.push(finding.hint("include this file directly from the show or from a file near it"));
        return None;
    }
    let (file, text) = reader.text(&path, named.span.into(), findings)?;
    let mut node = parse(&text, file, findings)?;
    if !room.take(&node, named.span, findings) {
        return None;
    }
    let mut around = within.to_vec();
    around.push(path);
    take_in(&mut node, (reader, room), &around, findings);
    Some(node)
}
