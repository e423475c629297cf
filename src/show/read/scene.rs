//! Reading a scene: its length, its layers and cues, what follows, and what each trigger does meanwhile.

use super::layer::read_instant;
use super::live::read_live_fields;
use super::off::read_off;
use super::{Context, Numeric, read_layers};
use crate::diag::{Finding, Findings, Severity, Span, number};
use crate::show::expand::Variant;
use crate::show::{Contrast, CueId, CueMark, Layer, Reaction, Scene, SceneId, Then, Track, TriggerId, natural};
use crate::source::{Fields, FromNode, Node, Placed, Shape, report_wrong};
use crate::units::Frames;

/// The most cues given in one scene.
const MOST_CUES: usize = 250;
/// Seconds that one scene may last.
const LONGEST_SCENE: f64 = 600.0;

/// What a scene takes over from the show when it says nothing.
#[derive(Clone, Debug)]
pub struct Usual {
    pub contrast: u8,
    /// What each trigger does, and its priority; by [`TriggerId`].
    pub reactions: Vec<(Reaction, i32)>,
}

impl Usual {
    /// What each trigger does in a scene of this priority: those of a lower one are ignored.
    fn reactions_at(&self, priority: i32) -> Vec<Reaction> {
        let heard = |(reaction, own): &(Reaction, i32)| if *own < priority { Reaction::Ignore } else { *reaction };
        self.reactions.iter().map(heard).collect()
    }
}

/// Reads one scene of the script.
pub fn read_scene(node: &Node, usual: &Usual, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Scene> {
    if node.head().is_some_and(|head| head != "Scene") {
        report_wrong(node, "Scene(…)", findings);
        return None;
    }
    let before = findings.count(Severity::Error);
    let mut fields = Fields::open(node, "Scene", findings)?;
    let name = fields.required::<Placed<String>>("name", findings);
    let given = match fields.node("seconds") {
        Some(node) => {
            let read = Numeric::plain("seconds", 0.0, LONGEST_SCENE).read(node, context, findings);
            read.map(|seconds| Some(Placed { value: seconds, span: node.span }))
        }
        None => Some(None),
    };
    let contrast = match fields.node("contrast") {
        Some(node) => read_contrast(node, context, findings),
        None => Some(Contrast::Moving(Track::still(f64::from(usual.contrast)))),
    };
    let priority = fields.or("priority", 0, findings);
    let then = match fields.node("then") {
        Some(node) => read_then(node, context, findings),
        None => Some(Then::Hold),
    };
    let ordinary = usual.reactions_at(priority.unwrap_or(0));
    let reactions = read_reactions(fields.node("triggers"), &ordinary, context, findings);
    let dark = fields.or("dark", false, findings);
    let layers = read_layers(fields.node("layers"), context, findings);
    let live = read_live_fields(fields.node("fields"), context, findings);
    let cues = read_cues(fields.node("cues"), context, findings);
    let off = read_off(fields.node("off"), context, findings);
    fields.also_known(&["like", "style"]);
    fields.close(findings);
    priority?;
    let (name, layers, cues, then, contrast, live, off) = (name?, layers?, cues?, then?, contrast?, live?, off?);
    let empty = layers.is_empty() && live.is_empty() && cues.is_empty() && off.is_empty() && !dark?;
    // What it holds may be what could not be read.
    if empty && context.whole && findings.count(Severity::Error) == before {
        let finding = Finding::error(node.span, format!("the scene `{}` is empty", name.value));
        findings.push(finding.hint("add layers, or `dark: true` if the display is meant to be dark"));
    }
    let frames = match given? {
        Some(seconds) => length_given(&name.value, seconds, context, findings)?,
        None => length_of_content(&name, (&layers, &contrast, &off), &cues, then, context, findings)?,
    };
    check_times(&layers, &cues, frames, context, findings);
    let cues = cue_marks(cues, context);
    let Variant { scene, state } = Variant::of(node);
    Some(Scene {
        script_name: scene.unwrap_or_else(|| name.value.clone()),
        state,
        name: name.value,
        span: name.span,
        frames,
        layers,
        fields: live,
        cues,
        then,
        contrast,
        off,
        reactions: reactions?,
    })
}

/// A contrast that may move, by itself or by a live value.
fn read_contrast(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Contrast> {
    let track = Numeric::plain("contrast", 0.0, 255.0).track(node, context, findings)?;
    let live =
        track.live.and_then(|following| Some((following, context.lives.borrow().get(following.value.0)?.clone())));
    Some(live.map_or_else(|| Contrast::Moving(track), |(following, live)| Contrast::Live(following, live)))
}

type Cue = Placed<(f64, CueId)>;

fn read_cues(node: Option<&Node>, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Vec<Cue>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of cues [Cue(at: 0.5, name: \"…\"), …]", findings);
        return None;
    };
    if items.len() > MOST_CUES {
        let message = format!("this scene has {} cues; the limit is {MOST_CUES}", items.len());
        findings.push(Finding::error(node.span, message).hint("split the scene in two, or use `then: Repeat`"));
        return None;
    }
    let read: Vec<Option<Cue>> = items.iter().map(|item| read_cue(item, context, findings)).collect();
    read.into_iter().collect()
}

fn read_cue(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Cue> {
    if node.head().is_some_and(|head| head != "Cue") {
        report_wrong(node, "Cue(at: …, name: \"…\")", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Cue", findings)?;
    let at = match fields.node("at") {
        Some(node) => read_instant(node, &Numeric::plain("at", 0.0, LONGEST_SCENE), context, findings),
        None => Some(0.0),
    };
    let name = fields.required::<Placed<String>>("name", findings);
    let cue = name.and_then(|name| context.cues.find(&name, findings)).map(CueId);
    fields.close(findings);
    Some(Placed { value: (at?, cue?), span: node.span })
}

fn cue_marks(cues: Vec<Cue>, context: &Context<'_, '_>) -> Vec<CueMark> {
    let mark = |cue: Cue| CueMark { frame: context.frame_rate.frames_in(cue.value.0).0, cue: cue.value.1 };
    let mut marks: Vec<CueMark> = cues.into_iter().map(mark).collect();
    marks.sort_by_key(|mark| mark.frame);
    marks
}

fn read_then(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Then> {
    match node.head() {
        Some("Hold") => Some(Then::Hold),
        Some("Repeat") => Some(Then::Repeat),
        Some("Back") => Some(Then::Back),
        Some("Go") => target(node, context, findings).map(Then::Scene),
        _ => {
            report_wrong(node, "Hold, Repeat, Back or Go(\"…\")", findings);
            None
        }
    }
}

/// Reads what a trigger usually does: a reaction, or `Trigger(does: Go("…"), priority: 1)`.
pub fn read_trigger(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<(Reaction, i32)> {
    if node.head() != Some("Trigger") {
        return read_reaction(node, context, findings).map(|reaction| (reaction, 0));
    }
    let mut fields = Fields::open(node, "Trigger", findings)?;
    let reaction = match fields.node("does") {
        Some(node) => read_reaction(node, context, findings),
        None => {
            fields.report_lack("does", findings);
            None
        }
    };
    let priority = fields.or("priority", 0, findings);
    fields.close(findings);
    Some((reaction?, priority?))
}

/// Reads what a trigger does.
pub fn read_reaction(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Reaction> {
    match node.head() {
        Some("Ignore") => Some(Reaction::Ignore),
        Some("Back") => Some(Reaction::Back),
        Some("Go") => target(node, context, findings).map(Reaction::Go),
        _ => {
            report_wrong(node, "Go(\"…\"), Back or Ignore", findings);
            None
        }
    }
}

/// The scene of `Go("…")`.
fn target(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<SceneId> {
    let [name] = node.items() else {
        report_wrong(node, "Go(\"…\") with the name of a scene", findings);
        return None;
    };
    let name = Placed::<String>::from_node(name, findings)?;
    context.scenes.find(&name, findings).map(SceneId)
}

fn read_reactions(
    node: Option<&Node>,
    usual: &[Reaction],
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<Reaction>> {
    let mut reactions = usual.to_vec();
    let Some(node) = node else { return Some(reactions) };
    let Shape::Map(pairs) = &node.shape else {
        report_wrong(node, "a map {\"trigger\": Go(\"scene\"), …}", findings);
        return None;
    };
    let mut seen: Vec<(TriggerId, Span)> = Vec::new();
    for (key, value) in pairs {
        let name = Placed::<String>::from_node(key, findings);
        let trigger = name.and_then(|name| context.triggers.find(&name, findings)).map(TriggerId);
        let reaction = read_reaction(value, context, findings);
        let (Some(trigger), Some(reaction)) = (trigger, reaction) else { continue };
        if let Some((_, first)) = seen.iter().find(|(known, _)| *known == trigger) {
            let message = "this trigger is given twice in one scene";
            findings
                .push(Finding::error(key.span, message).also(*first, "first given here").hint("remove one of them"));
        }
        seen.push((trigger, key.span));
        if let Some(slot) = reactions.get_mut(trigger.0) {
            *slot = reaction;
        }
    }
    Some(reactions)
}

fn length_given(
    name: &str,
    seconds: Placed<f64>,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Frames> {
    let frames = context.frame_rate.frames_in(seconds.value);
    if frames.0 > 0 {
        return Some(frames);
    }
    let period = context.frame_rate.period().milliseconds();
    let message =
        format!("the scene `{name}` is shorter than one frame ({} ms) and would never be seen", number(period));
    findings.push(Finding::error(seconds.span, message).hint(format!("use {} s or more", period / 1000.0)));
    None
}

/// The length of a scene that gives none: until all layers have ended, and one frame more for the last picture.
fn length_of_content(
    name: &Placed<String>,
    (layers, contrast, off): (&[Layer], &Contrast, &[(f64, f64)]),
    cues: &[Cue],
    then: Then,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Frames> {
    let ends = layers.iter().map(|layer| natural::end(layer, context));
    let ends: Vec<natural::LayerEnd> = ends
        .chain(match contrast {
            Contrast::Moving(track) => Some(natural::track_end(track)),
            Contrast::Live(..) => None,
        })
        .chain(cues.iter().map(|cue| natural::LayerEnd::At(cue.value.0)))
        .chain(off.iter().map(|(from, until)| natural::LayerEnd::At(if until.is_finite() { *until } else { *from })))
        .collect();
    if ends.contains(&natural::LayerEnd::Never) {
        let message = format!("the scene `{}` needs `seconds`, because one of its layers never ends", name.value);
        findings.push(Finding::error(name.span, message).hint("add `seconds: …`"));
        return None;
    }
    let latest = ends
        .iter()
        .map(|end| if let natural::LayerEnd::At(seconds) = end { *seconds } else { 0.0 })
        .fold(0.0, f64::max);
    if latest <= 0.0 && then != Then::Hold {
        let message = format!("the scene `{}` needs `seconds`, because nothing in it moves", name.value);
        findings.push(Finding::error(name.span, message).hint("add `seconds: …`, or `then: Hold`"));
        return None;
    }
    if latest > LONGEST_SCENE {
        let message = format!(
            "the content of the scene `{}` lasts {} s; the limit is {LONGEST_SCENE} s",
            name.value,
            number(latest.round())
        );
        findings.push(Finding::error(name.span, message).hint("make its texts faster, or add `seconds`"));
        return None;
    }
    Some(context.frame_rate.frames_in(latest) + Frames(1))
}

/// Layers and cues that come after the scene's end.
fn check_times(layers: &[Layer], cues: &[Cue], frames: Frames, context: &Context<'_, '_>, findings: &mut Findings) {
    let seconds = context.frame_rate.seconds_at(frames.0);
    for layer in layers.iter().filter(|layer| layer.from >= seconds) {
        let message = format!("`{}` appears at {} s, but the scene lasts {seconds} s", layer.name, layer.from);
        findings.push(Finding::warning(layer.span, message).hint("reduce `from`, or make the scene longer"));
    }
    for cue in cues.iter().filter(|cue| context.frame_rate.frames_in(cue.value.0) >= frames) {
        let last = context.frame_rate.seconds_at(frames.0 - 1);
        let message = format!("this cue is at {} s, but the last frame of the scene is at {last} s", cue.value.0);
        findings.push(Finding::error(cue.span, message).hint("reduce `at`, or make the scene longer"));
    }
}
