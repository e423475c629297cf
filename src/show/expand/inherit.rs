//! `Scene(like: "other", …)`: a scene takes the fields that it does not set from another scene. Its layers are above the other's,
//! and its triggers override the other's. `bases` has scenes that are only used in this way.

use super::room::ScriptRoom;
use super::{DEEPEST, field, fields, take_field};
use crate::diag::{Finding, Findings, nearest};
use crate::source::{Node, Shape, report_wrong};

/// Completes every scene that is like another.
pub fn inherit(script: &mut Node, room: &mut ScriptRoom, findings: &mut Findings) {
    let bases = take_field(script, "bases");
    let list = |node: Option<&Node>| node.map_or(Vec::new(), |node| node.items().to_vec());
    let mut known = list(bases.as_ref());
    known.extend(list(field(script, "scenes")));
    let Shape::Record(_, entries) = &mut script.shape else { return };
    let Some((.., scenes)) = entries.iter_mut().find(|(name, ..)| name == "scenes") else { return };
    let Shape::List(items) = &mut scenes.shape else { return };
    for scene in items {
        complete(scene, &known, room, findings);
    }
}

fn complete(scene: &mut Node, known: &[Node], room: &mut ScriptRoom, findings: &mut Findings) {
    let mut followed: Vec<String> = field(scene, "name").and_then(text).map(str::to_owned).into_iter().collect();
    while let Some(like) = take_field(scene, "like") {
        let Shape::Text(name) = &like.shape else {
            report_wrong(&like, "the name of a scene, in quotes", findings);
            return;
        };
        let named =
            |scene: &&Node| matches!(field(scene, "name"), Some(Node { shape: Shape::Text(own), .. }) if own == name);
        let Some(other) = known.iter().find(named) else {
            let names: Vec<&str> = known.iter().filter_map(|scene| text(field(scene, "name")?)).collect();
            let finding = Finding::error(like.span, format!("`like` names the scene `{name}`, which does not exist"));
            findings.push(match nearest(name, names.iter().copied()) {
                Some(near) => finding.hint(format!("did you mean `{near}`?")),
                None => finding.hint("name a scene of the show, or one of its `bases`"),
            });
            return;
        };
        if followed.contains(name) {
            let message = format!("`like` leads from the scene `{name}` back to itself");
            findings.push(Finding::error(like.span, message).hint("remove one of these `like`"));
            return;
        }
        if followed.len() > DEEPEST {
            let message = format!("`like` is nested more than {DEEPEST} levels deep");
            findings.push(Finding::error(like.span, message).hint("use the fields of the innermost scene directly"));
            return;
        }
        followed.push(name.clone());
        if !room.take(other, like.span, findings) {
            return;
        }
        take_over(scene, other);
    }
}

fn text(node: &Node) -> Option<&str> {
    if let Shape::Text(text) = &node.shape { Some(text) } else { None }
}

fn take_over(scene: &mut Node, other: &Node) {
    let Shape::Record(_, own) = &mut scene.shape else { return };
    for (name, span, value) in fields(other).iter().filter(|(name, ..)| name != "name") {
        match own.iter_mut().find(|(known, ..)| known == name) {
            None => own.push((name.clone(), *span, value.clone())),
            Some((.., mine)) if name == "layers" => {
                if let (Shape::List(mine), Shape::List(below)) = (&mut mine.shape, &value.shape) {
                    mine.splice(0..0, below.iter().cloned());
                }
            }
            Some((.., mine)) if name == "triggers" => {
                if let (Shape::Map(mine), Shape::Map(below)) = (&mut mine.shape, &value.shape) {
                    for (key, reaction) in below {
                        if !mine.iter().any(|(known, _)| known.shape == key.shape) {
                            mine.push((key.clone(), reaction.clone()));
                        }
                    }
                }
            }
            Some(_) => {}
        }
    }
}
