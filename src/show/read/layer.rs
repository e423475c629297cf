//! Reading a layer: the fields that all layers share, then those of its kind.

use super::apart::apart;
use super::words::word;
use super::{Context, FieldSlot, Numeric, ReadField};
use crate::diag::{Finding, Findings, Span, nearest, visible};
use crate::show::natural::{self, LayerEnd};
use crate::show::{Anchor, Blink, Clip, KINDS, Layer, Mode, Position, Size, Track};
use crate::source::{Fields, FromNode, Label, Node, Placed, ReadRecord, Shape, out_of_range, report_wrong};

/// The fields that every layer has: name, what is written, meaning, usual value.
pub const COMMON: &[(&str, &str, &str, &str)] = &[
    ("name", "a text in quotes", "Its name in messages.", "its kind and number"),
    (
        "from",
        "a number, or `After(\"layer\")`, `After(\"layer\", 0.5)`",
        "When it appears: seconds from the start of the scene, or when an earlier layer has ended.",
        "0",
    ),
    ("until", "a number, or `After(…)`", "When it disappears.", "the scene's end"),
    ("mode", Mode::FORM, "What its ink does: light pixels, darken them, or invert them.", "Paint"),
    (
        "clip",
        "`Window(at: Centre, size: (w, h))` or `Disc(at: Centre, radius: r)`",
        "The part of the view in which it is drawn.",
        "the whole view",
    ),
    (
        "shown",
        "a number that may move",
        "The layer is shown while this is 0.5 or more. With `Live(…)` the firmware shows and hides it.",
        "1",
    ),
    ("blink", "`Blink(on: seconds, off: seconds)`", "Shown and hidden in turn, starting with shown.", "none"),
    (
        "style",
        "the name of a style in quotes, or a list of them",
        "Sets of fields from the show's `styles`. They apply where the layer sets none. In `Chart` this name has another meaning.",
        "none",
    ),
];

/// The most layers of one scene or group.
const MOST_LAYERS: usize = 500;

/// Reads a list of layers; none when there is no list.
pub fn read_layers(node: Option<&Node>, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Vec<Layer>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of layers [Text(…), …]", findings);
        return None;
    };
    if items.len() > MOST_LAYERS {
        let message = format!("there are {} layers here; the limit is {MOST_LAYERS}", items.len());
        findings.push(Finding::error(node.span, message).hint("draw the still parts as one picture"));
        return None;
    }
    let around = std::mem::take(&mut context.ends);
    let numbered = items.iter().enumerate();
    let read: Vec<Option<Layer>> = numbered
        .map(|(index, item)| {
            let (layer, called) = read_layer(item, index + 1, context, findings)?;
            let end = natural::end(&layer, context);
            let layer = Layer { still: layer.still && end == LayerEnd::Still, ..layer };
            context.ends.push((called, if end == LayerEnd::Still { LayerEnd::At(layer.from) } else { end }));
            Some(layer)
        })
        .collect();
    // Those of a scene are kept for its cues; a group gives way to the layers around it.
    if context.depth > 0 {
        context.ends = around;
    }
    let read: Option<Vec<Layer>> = read.into_iter().collect();
    Some(read?.into_iter().flat_map(apart).collect())
}

/// Reads the layer that stands as number `number` (from 1) in its scene, and what the script calls it by.
fn read_layer(
    node: &Node,
    number: usize,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<(Layer, String)> {
    let Some(head) = node.head() else {
        report_wrong(node, "a layer such as Text(…)", findings);
        return None;
    };
    let Some(kind) = KINDS.iter().find(|kind| kind.name == head) else {
        findings.push(unknown_kind(head, node.span));
        return None;
    };
    let mut fields = Fields::open(node, kind.name, findings)?;
    let usual_name = format!("{} {number}", kind.name);
    let called = fields.or("name", Label(usual_name), findings).map(|Label(name)| name);
    let from = seconds(&mut fields, "from", context, findings);
    let until = seconds(&mut fields, "until", context, findings);
    let mode = match fields.node("mode") {
        Some(node) => word(node, "mode", Mode::WORDS, findings),
        None => Some(kind.mode),
    };
    let clip = match fields.node("clip") {
        Some(node) => read_clip(node, context, findings).map(Some),
        None => Some(None),
    };
    let shown = match fields.node("shown") {
        Some(node) => Numeric::plain("shown", 0.0, 1.0).track(node, context, findings).map(Some),
        None => Some(None),
    };
    let blink = fields.optional::<Blink>("blink", findings);
    let drawing = (kind.read)(&mut fields, context, findings);
    fields.also_known(&["style"]);
    fields.close(findings);
    let (from, until) = (from?.map_or(0.0, |(from, _)| from), until?);
    if let Some((until, span)) = until
        && until <= from
    {
        let message = format!("the layer disappears at {until} s, before it appears at {from} s");
        findings.push(Finding::error(span, message).hint("increase `until` or reduce `from`"));
        return None;
    }
    let until = until.map_or(f64::INFINITY, |(until, _)| until);
    let called = called?;
    let beginning = beginning(node);
    let mut layer = Layer {
        name: beginning.map_or_else(|| called.clone(), |text| format!("{called} {text}")),
        span: node.span,
        from,
        until,
        mode: mode?,
        blink: blink?,
        clip: clip?,
        shown: shown?,
        drawing: drawing?,
        follows: Vec::new(),
        still: from == 0.0 && until.is_infinite(),
    };
    let moves = layer.find_followed();
    layer.still &= !moves;
    Some((layer, called))
}

/// The beginning of the text of a layer without a name, in quotes, by which a person knows it.
fn beginning(layer: &Node) -> Option<String> {
    const LETTERS: usize = 16;
    let Shape::Record(_, fields) = &layer.shape else { return None };
    let of = |wanted: &str| fields.iter().find(|(name, ..)| name == wanted).map(|(.., value)| &value.shape);
    let (text, further) = match (of("name"), of("text")) {
        (None, Some(Shape::Text(text))) => (text.lines().next()?, false),
        (None, Some(Shape::List(lines))) => match &lines.first()?.shape {
            Shape::Text(text) => (text.lines().next()?, lines.len() > 1),
            _ => return None,
        },
        _ => return None,
    };
    // Blanks that set columns apart tell nothing here.
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let letters: String = text.chars().take(LETTERS).collect();
    let more = if further || letters.len() < text.len() { "…" } else { "" };
    (!letters.is_empty()).then(|| format!("“{}{more}”", visible(letters.trim_end())))
}

/// Reads `Window(at: …, size: …)` or `Disc(at: …, radius: …)`.
fn read_clip(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Clip> {
    const LONGEST: f64 = 1000.0;
    let slot = |name| FieldSlot::new(name, "").range(0.0, LONGEST);
    match node.head() {
        Some("Window") => {
            let mut fields = Fields::open(node, "Window", findings)?;
            let at = <Position as ReadField>::take(&mut fields, &slot("at"), Some(Anchor::Centre), context, findings);
            let size = <Size as ReadField>::take(&mut fields, &slot("size"), None, context, findings);
            fields.close(findings);
            Some(Clip::Window { at: at?, size: size? })
        }
        Some("Disc") => {
            let mut fields = Fields::open(node, "Disc", findings)?;
            let at = <Position as ReadField>::take(&mut fields, &slot("at"), Some(Anchor::Centre), context, findings);
            let radius = <Track as ReadField>::take(&mut fields, &slot("radius"), None, context, findings);
            fields.close(findings);
            Some(Clip::Disc { at: at?, radius: radius? })
        }
        _ => {
            report_wrong(node, "Window(at: …, size: …) or Disc(at: …, radius: …)", findings);
            None
        }
    }
}

/// Outer `None` is a fault, inner `None` is absence.
fn seconds(
    fields: &mut Fields<'_>,
    name: &'static str,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Option<(f64, Span)>> {
    let Some(node) = fields.node(name) else { return Some(None) };
    read_instant(node, &Numeric::seconds(name), context, findings).map(|value| Some((value, node.span)))
}

/// Reads a time: seconds, or `After("layer")` or `After("layer", seconds)`, when a layer before it is through.
pub fn read_instant(node: &Node, number: &Numeric, context: &Context<'_, '_>, findings: &mut Findings) -> Option<f64> {
    let (name, more) = match (node.head(), node.items()) {
        (Some("After"), [name]) => (name, 0.0),
        (Some("After"), [name, more]) => (name, Numeric::seconds("After").read(more, context, findings)?),
        _ => return number.read(node, context, findings),
    };
    let name = Placed::<String>::from_node(name, findings)?;
    let known = context.ends.iter().rev().find(|(known, _)| *known == name.value);
    match known {
        Some((_, LayerEnd::At(seconds))) => Some(seconds + more),
        Some((_, LayerEnd::Still)) => Some(more),
        Some((_, LayerEnd::Never)) => {
            let message = format!("`{}` never ends, so `After` cannot refer to it", name.value);
            findings.push(Finding::error(name.span, message).hint("add `until` to it, or write seconds here"));
            None
        }
        None => {
            let finding = Finding::error(name.span, format!("no earlier layer is named `{}`", name.value));
            let names = context.ends.iter().map(|(name, _)| name.as_str());
            findings.push(match nearest(&name.value, names) {
                Some(near) => finding.hint(format!("did you mean `{near}`?")),
                None => finding.hint("add this `name` to a layer earlier in the list"),
            });
            None
        }
    }
}

fn unknown_kind(head: &str, span: Span) -> Finding {
    let finding = Finding::error(span, format!("there is no layer `{head}`"));
    let names: Vec<&str> = KINDS.iter().map(|kind| kind.name).collect();
    match nearest(head, names.iter().copied()) {
        Some(near) => finding.hint(format!("did you mean `{near}`?")),
        None => finding.hint(format!("the layers are: {}", names.join(", "))),
    }
}

impl ReadRecord for Blink {
    const NAME: &'static str = "Blink";

    fn from_fields(fields: &mut Fields<'_>, findings: &mut Findings) -> Option<Self> {
        let on = blink_part(fields, "on", findings);
        let off = blink_part(fields, "off", findings);
        Some(Self { on: on?, off: off? })
    }
}

fn blink_part(fields: &mut Fields<'_>, name: &'static str, findings: &mut Findings) -> Option<f64> {
    const RANGE: (f64, f64) = (0.01, 600.0);
    let Some(node) = fields.node(name) else {
        fields.report_lack(name, findings);
        return None;
    };
    let value = f64::from_node(node, findings)?;
    if (RANGE.0..=RANGE.1).contains(&value) {
        return Some(value);
    }
    findings.push(out_of_range(node.span, name, value, RANGE, " seconds"));
    None
}
