//! `style: "title"`, or a list of styles: the fields of a named style where a record does not give them itself.

use super::named::Named;
use super::{children, fields, take_field};
use crate::diag::Findings;
use crate::source::{FromNode, Node, Placed, Shape, report_wrong};

/// Dresses every record that names a style; of several styles the first that has a field counts.
pub fn dress(node: &mut Node, styles: &Named, findings: &mut Findings) {
    // The style of a chart is a word; a style of the show is a name in quotes, or several.
    let names = |value: &Node| matches!(value.shape, Shape::Text(_) | Shape::List(_));
    let wanted = fields(node).iter().any(|(name, _, value)| name == "style" && names(value));
    if wanted && let Some(named) = take_field(node, "style") {
        let list = match &named.shape {
            Shape::List(_) => Vec::<Placed<String>>::from_node(&named, findings).unwrap_or_default(),
            _ => Placed::<String>::from_node(&named, findings).into_iter().collect(),
        };
        for name in list {
            if let Some(style) = styles.find(&name.value, name.span, findings) {
                add(node, style, findings);
            }
        }
    }
    for child in children(node) {
        dress(child, styles, findings);
    }
}

fn add(node: &mut Node, style: &Node, findings: &mut Findings) {
    let Shape::Record(_, given) = &style.shape else {
        report_wrong(style, "fields in ( )", findings);
        return;
    };
    if let Shape::Record(_, own) = &mut node.shape {
        for (name, span, value) in given {
            if !own.iter().any(|(known, ..)| known == name) {
                own.push((name.clone(), *span, value.clone()));
            }
        }
    }
}
