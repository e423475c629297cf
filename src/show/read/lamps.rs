//! Reading lamps: `lamps: {"beacon": Lamp(level: Keys([…]), starts: [Scene("leak"), Cue("klaxon")])}`.

use super::{Axis, Context, Numeric};
use crate::diag::{Finding, Findings};
use crate::show::{CueId, Lamp, SceneId};
use crate::source::{Fields, FromNode, Node, Placed, Shape, report_wrong};

/// What to do in place of a live value.
const BY_FIRMWARE: &str =
    "the firmware that sets the value can set the lamp from it too, as examples/atmega328p-level does";
/// The most lamps of a show.
const MOST_LAMPS: usize = 64;
/// The level of a lamp that is full on.
const FULL: f64 = 255.0;

/// Reads the show's lamps.
pub fn read_lamps(node: Option<&Node>, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Vec<Lamp>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::Map(pairs) = &node.shape else {
        report_wrong(node, "a map {\"name\": Lamp(level: …), …}", findings);
        return None;
    };
    if pairs.len() > MOST_LAMPS {
        let message = format!("there are {} lamps; the limit is {MOST_LAMPS}", pairs.len());
        findings.push(Finding::error(node.span, message).hint("drive several lamps with the same pattern"));
        return None;
    }
    let mut lamps: Vec<Option<Lamp>> = Vec::new();
    for (key, value) in pairs {
        let lamp =
            Placed::<String>::from_node(key, findings).and_then(|name| read_lamp(name, value, context, findings));
        if let Some(lamp) = &lamp
            && let Some(first) = lamps.iter().flatten().find(|known| known.name == lamp.name)
        {
            let finding = Finding::error(key.span, format!("there are two lamps named `{}`", lamp.name));
            findings.push(finding.also(first.span, "first named here").hint("give one of them another name"));
        }
        lamps.push(lamp);
    }
    lamps.into_iter().collect()
}

fn read_lamp(
    name: Placed<String>,
    node: &Node,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Lamp> {
    if node.head() != Some("Lamp") {
        report_wrong(node, "Lamp(level: …)", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Lamp", findings)?;
    let numeric = Numeric { axis: Some(Axis::Level), ..Numeric::plain("level", 0.0, FULL) };
    let level = match fields.node("level") {
        Some(node) => numeric.own_track(node, BY_FIRMWARE, context, findings),
        None => {
            fields.report_lack("level", findings);
            None
        }
    };
    let (mut scenes, mut cues) = (Vec::new(), Vec::new());
    if let Some(node) = fields.node("starts") {
        read_starts(node, (&mut scenes, &mut cues), context, findings);
    }
    fields.close(findings);
    Some(Lamp { name: name.value, span: name.span, level: level?, scenes, cues })
}

/// Reads `[Scene("leak"), Cue("klaxon")]`; a scene means its copies in every mode.
fn read_starts(
    node: &Node,
    (scenes, cues): (&mut Vec<SceneId>, &mut Vec<CueId>),
    context: &Context<'_, '_>,
    findings: &mut Findings,
) {
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list [Scene(\"…\"), Cue(\"…\"), …]", findings);
        return;
    };
    for item in items {
        let (head, [name]) = (item.head(), item.items()) else {
            report_wrong(item, "Scene(\"…\") or Cue(\"…\")", findings);
            continue;
        };
        let Some(name) = Placed::<String>::from_node(name, findings) else { continue };
        match head {
            Some("Scene") => scenes.extend(context.scenes_of(&name, findings)),
            Some("Cue") => cues.extend(context.cues.find(&name, findings).map(CueId)),
            _ => report_wrong(item, "Scene(\"…\") or Cue(\"…\")", findings),
        }
    }
}
