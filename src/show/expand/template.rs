//! `Use(template: "gauge", label: "TRIM")`: a template's layers as a group, with what is given in the place of `Given("label")`.

use super::named::Named;
use super::room::ScriptRoom;
use super::{DEEPEST, children, field, fields};
use crate::diag::{Finding, Findings, Span, nearest};
use crate::source::{Node, Shape, report_wrong};

/// The fields of a use that belong to the group; no parameter may be called so.
const OF_GROUP: &[&str] =
    &["name", "from", "until", "mode", "blink", "clip", "x", "y", "stagger_seconds", "repeat_seconds", "mask", "style"];

/// Puts templates in the place of their uses; `within` are the templates around the node, the innermost last.
pub fn put_in(node: &mut Node, templates: &Named, within: &[String], room: &mut ScriptRoom, findings: &mut Findings) {
    if node.head() == Some("Use") && field(node, "template").is_some() {
        let made = if sound(node, within, findings) { made(node, templates, room, findings) } else { None };
        // What could not be made is reported; an empty group harms nothing else.
        let nothing = || group(node.span, Vec::new(), Node { span: node.span, shape: Shape::List(Vec::new()) });
        let mut deeper = within.to_vec();
        deeper.extend(name_of(node).map(str::to_owned));
        let mut made = made.unwrap_or_else(nothing);
        children(&mut made).into_iter().for_each(|child| put_in(child, templates, &deeper, room, findings));
        *node = made;
        return;
    }
    for child in children(node) {
        put_in(child, templates, within, room, findings);
    }
}

/// The name of the template that is used.
fn name_of(node: &Node) -> Option<&str> {
    if let Shape::Text(name) = &field(node, "template")?.shape { Some(name) } else { None }
}

/// Whether a use does not lead into itself and does not stand too deep; else it is reported.
fn sound(node: &Node, within: &[String], findings: &mut Findings) -> bool {
    if let Some(name) = name_of(node)
        && within.iter().any(|around| around == name)
    {
        let message = format!("the template `{name}` includes itself");
        findings.push(Finding::error(node.span, message).hint("remove this Use"));
        return false;
    }
    if within.len() >= DEEPEST {
        let message = format!("templates are nested more than {DEEPEST} levels deep");
        findings.push(Finding::error(node.span, message).hint("write the layers of the innermost template directly"));
        return false;
    }
    true
}

type TemplateEntry = (String, Span, Node);

fn group(span: Span, mut entries: Vec<TemplateEntry>, layers: Node) -> Node {
    entries.push(("layers".to_owned(), span, layers));
    Node { span, shape: Shape::Record(Some("Group".to_owned()), entries) }
}

fn made(node: &Node, templates: &Named, room: &mut ScriptRoom, findings: &mut Findings) -> Option<Node> {
    let Shape::Text(name) = &field(node, "template")?.shape else {
        report_wrong(field(node, "template")?, "the name of a template, in quotes", findings);
        return None;
    };
    let template = templates.find(name, field(node, "template")?.span, findings)?;
    let parameters = parameters(template, findings)?;
    let layers = field(template, "layers").or_else(|| {
        let message = "a template needs `layers: […]`";
        findings.push(Finding::error(template.span, message).hint("add `layers: […]`"));
        None
    })?;
    let mut of_group: Vec<TemplateEntry> = Vec::new();
    let mut given: Vec<(&str, &Node)> = Vec::new();
    for entry @ (field, span, value) in fields(node).iter().filter(|(field, ..)| field != "template") {
        if parameters.iter().any(|(known, _)| known == field) {
            given.push((field, value));
        } else if OF_GROUP.contains(&field.as_str()) {
            of_group.push(entry.clone());
        } else {
            let finding = Finding::error(*span, format!("the template `{name}` has no parameter `{field}`"));
            let known = parameters.iter().map(|(known, _)| known.as_str());
            findings.push(match nearest(field, known.clone()) {
                Some(near) => finding.hint(format!("did you mean `{near}`?")),
                None => finding.hint(format!("its parameters are: {}", known.collect::<Vec<_>>().join(", "))),
            });
        }
    }
    for (parameter, usual) in &parameters {
        match usual {
            _ if given.iter().any(|(known, _)| known == parameter) => {}
            Node { shape: Shape::Word(word), .. } if word == "Needed" => {
                let message = format!("the template `{name}` needs `{parameter}`");
                findings.push(Finding::error(node.span, message).hint(format!("add `{parameter}: …`")));
                return None;
            }
            usual => given.push((parameter, usual)),
        }
    }
    if !room.take(layers, node.span, findings) {
        return None;
    }
    let mut layers = layers.clone();
    fill(&mut layers, &given, room, findings);
    Some(group(node.span, of_group, layers))
}

/// The parameters with what counts when they are not given.
fn parameters(template: &Node, findings: &mut Findings) -> Option<Vec<(String, Node)>> {
    if template.head() != Some("Template") {
        report_wrong(template, "Template(parameters: {…}, layers: […])", findings);
        return None;
    }
    let Some(node) = field(template, "parameters") else { return Some(Vec::new()) };
    let Shape::Map(pairs) = &node.shape else {
        report_wrong(node, "a map {\"parameter\": Needed, \"other\": 3, …}", findings);
        return None;
    };
    let mut parameters = Vec::new();
    for (key, value) in pairs {
        match &key.shape {
            Shape::Text(name) if OF_GROUP.contains(&name.as_str()) => {
                let message =
                    format!("a parameter cannot be named `{name}`, because every layer has a field of this name");
                findings.push(Finding::error(key.span, message).hint("give it another name"));
            }
            Shape::Text(name) => parameters.push((name.clone(), value.clone())),
            _ => report_wrong(key, "a parameter's name in quotes", findings),
        }
    }
    Some(parameters)
}

/// Puts what is given in the place of each `Given("name")`.
fn fill(node: &mut Node, given: &[(&str, &Node)], room: &mut ScriptRoom, findings: &mut Findings) {
    if let Shape::Tuple(Some(head), items) = &node.shape
        && head == "Given"
        && let [Node { shape: Shape::Text(name), span }] = items.as_slice()
    {
        match given.iter().find(|(known, _)| known == name) {
            Some((_, value)) => {
                if room.take(value, *span, findings) {
                    *node = (*value).clone();
                }
            }
            None => {
                let finding = Finding::error(*span, format!("this template has no parameter `{name}`"));
                let known = given.iter().map(|(known, _)| *known);
                let hint = nearest(name, known).map(|near| format!("did you mean `{near}`?"));
                findings.push(finding.hint(hint.unwrap_or_else(|| "add it to `parameters` of the template".into())));
            }
        }
        return;
    }
    for child in children(node) {
        fill(child, given, room, findings);
    }
}
