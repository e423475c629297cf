//! `style: "title"`, or a list of styles: the fields of a named style where a record does not give them itself.

use super::named::Named;
use super::room::ScriptRoom;
use super::{DEEPEST, children, fields, take_field};
use crate::diag::{Finding, Findings, Span};
use crate::source::{FromNode, Node, Placed, Shape, report_wrong};

/// Dresses every record that names a style; of several styles the first that has a field counts. `within` are the styles whose
/// own values are being dressed, the innermost last.
pub fn dress(node: &mut Node, styles: &Named, within: &[&str], room: &mut ScriptRoom, findings: &mut Findings) {
    let named = take_styles(node);
    for child in children(node) {
        dress(child, styles, within, room, findings);
    }
    let Some(named) = named else { return };
    let list = match &named.shape {
        Shape::List(_) => Vec::<Placed<String>>::from_node(&named, findings).unwrap_or_default(),
        _ => Placed::<String>::from_node(&named, findings).into_iter().collect(),
    };
    for name in &list {
        if let Some(style) = sound(name, styles, within, findings) {
            let mut deeper = within.to_vec();
            deeper.push(&name.value);
            add(node, (style, name.span), styles, &deeper, room, findings);
        }
    }
}

/// The names of styles of a record. The style of a chart is a word, and stays.
fn take_styles(node: &mut Node) -> Option<Node> {
    let names = |value: &Node| !matches!(value.shape, Shape::Word(_));
    if fields(node).iter().any(|(name, _, value)| name == "style" && names(value)) {
        take_field(node, "style")
    } else {
        None
    }
}

/// The style of a name, if it does not lead into itself.
fn sound<'a>(name: &Placed<String>, styles: &'a Named, within: &[&str], findings: &mut Findings) -> Option<&'a Node> {
    if within.contains(&name.value.as_str()) {
        let message = format!("the style `{}` includes itself", name.value);
        findings.push(Finding::error(name.span, message).hint("remove this `style`"));
        return None;
    }
    if within.len() >= DEEPEST {
        let message = format!("styles are nested more than {DEEPEST} levels deep");
        findings.push(Finding::error(name.span, message).hint("write the fields of the innermost style directly"));
        return None;
    }
    styles.find(&name.value, name.span, findings)
}

fn add(
    node: &mut Node,
    (style, asker): (&Node, Span),
    styles: &Named,
    within: &[&str],
    room: &mut ScriptRoom,
    findings: &mut Findings,
) {
    if !matches!(style.shape, Shape::Record(..)) {
        report_wrong(style, "fields in ( )", findings);
        return;
    }
    if !room.take(style, asker, findings) {
        return;
    }
    let mut style = style.clone();
    dress(&mut style, styles, within, room, findings);
    if let (Shape::Record(_, own), Shape::Record(_, given)) = (&mut node.shape, style.shape) {
        for entry in given {
            if !own.iter().any(|(known, ..)| *known == entry.0) {
                own.push(entry);
            }
        }
    }
}
