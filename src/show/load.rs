//! Reading a whole show from its script: hardware first, then names, then scenes, then whole show.

use super::check::{check_graph, check_panel};
use super::expand::{Variant, expand};
use super::history::histories;
use super::read::{
    Context, Numeric, Usual, View, check_wires, read_bus, read_cue_names, read_day, read_fonts, read_lamps,
    read_microcontroller, read_mounting, read_panel, read_photos, read_pictures, read_power, read_scene,
    read_scene_names, read_thresholds, read_trigger, read_trigger_names, word,
};
use super::{Profile, Reaction, Scene, SceneId, Show, ShowSpans, threshold_table};
use crate::diag::{Finding, Findings, Place, Span};
use crate::panel::{Mounting, Panel};
use crate::source::{Fields, FromNode, Node, Placed, Reader, parse, report_wrong};
use crate::units::FrameRate;
use crate::whole::rounded;
use std::path::Path;

/// Viewing distance in millimetres when the script gives none: arm's length at a bench (common practice).
const USUAL_DISTANCE: f64 = 300.0;
const DISTANCES: (f64, f64) = (20.0, 10_000.0);
/// Frames of the whole show, so that a slip of the pen does not fill the memory.
const MOST_FRAMES: u32 = 60_000;
/// The view that layers are read against when the panel cannot be read.
const ANY_VIEW: View = View { width: 128, height: 64, pitch: (0.17, 0.17) };

/// Loads and checks a show; `None` when a finding is an error.
pub fn load(reader: &mut Reader<'_>, path: &Path, findings: &mut Findings) -> Option<Show> {
    load_at(None, reader, path, findings)
}

/// The same at another frame rate than the script's.
pub fn load_at(rate: Option<FrameRate>, reader: &mut Reader<'_>, path: &Path, findings: &mut Findings) -> Option<Show> {
    let node = script_tree(reader, path, findings)?;
    let show = read_show(&node, rate, reader, findings);
    show.filter(|_| !findings.any_error())
}

/// The tree of a script, with files taken in and styles, templates and modes put in their place; its fields are not checked yet.
pub fn script_tree(reader: &mut Reader<'_>, path: &Path, findings: &mut Findings) -> Option<Node> {
    let (file, text) = reader.text(path, Place::Nowhere, findings)?;
    let node = parse(&text, file, findings)?;
    if node.head() != Some("Show") {
        report_wrong(&node, "Show(…)", findings);
        return None;
    }
    expand(node, reader, path, findings)
}

/// The nodes of the hardware, for reading and for the places of later findings.
struct Nodes<'a> {
    panel: Option<&'a Node>,
    bus: Option<&'a Node>,
    part: Option<&'a Node>,
    rate: Option<&'a Node>,
}

impl<'a> Nodes<'a> {
    /// Those of a show; what lacks is reported.
    fn of(fields: &mut Fields<'a>, findings: &mut Findings) -> Self {
        let mut wanted = |field| {
            let node = fields.node(field);
            if node.is_none() {
                fields.report_lack(field, findings);
            }
            node
        };
        Self { panel: wanted("panel"), bus: wanted("bus"), part: wanted("microcontroller"), rate: wanted("frame_rate") }
    }

    fn spans(&self, whole: Span) -> ShowSpans {
        let span = |node: Option<&Node>| node.map_or(whole, |node| node.span);
        ShowSpans {
            whole,
            panel: span(self.panel),
            bus: span(self.bus),
            microcontroller: span(self.part),
            frame_rate: span(self.rate),
        }
    }
}

fn read_show(node: &Node, rate: Option<FrameRate>, reader: &mut Reader<'_>, findings: &mut Findings) -> Option<Show> {
    let whole = !findings.any_error();
    let mut fields = Fields::open(node, "Show", findings)?;
    let name = fields.required::<Placed<String>>("name", findings).and_then(|name| file_stem(name, findings));
    let nodes = Nodes::of(&mut fields, findings);
    let panel = nodes.panel.and_then(|node| read_panel(node, findings));
    let mounting = read_mounting(fields.node("mounting"), findings);
    let frame_rate = nodes.rate.and_then(|node| read_frame_rate(node, findings)).map(|own| rate.unwrap_or(own));
    let view = panel.as_ref().zip(mounting.as_ref()).map_or(ANY_VIEW, |(panel, mounting)| view(panel, mounting));
    let (mut context, reactions, scene_nodes) = read_names(&mut fields, reader, (view, frame_rate), findings);
    context.whole = whole;
    let bus = nodes.bus.and_then(|node| read_bus(node, &context, findings));
    let part = nodes.part.and_then(|node| read_microcontroller(node, &context, findings));
    let distance = Numeric::plain("viewing_distance", DISTANCES.0, DISTANCES.1);
    let distance = distance.take(&mut fields, Some(USUAL_DISTANCE), &context, findings);
    let profile =
        fields.node("profile").map_or(Some(None), |node| word(node, "profile", Profile::WORDS, findings).map(Some));
    let contrast = fields.or("contrast", panel.as_ref().map_or(0, |panel| panel.drive.contrast), findings);
    let reaction = |node| read_trigger(node, &mut context, findings).unwrap_or((Reaction::Ignore, 0));
    let usual = Usual { contrast: contrast.unwrap_or(0), reactions: reactions.into_iter().map(reaction).collect() };
    let scenes = read_scenes(&scene_nodes, &usual, &mut context, findings);
    let start = fields.required::<Placed<String>>("start", findings);
    let start = start.and_then(|start| context.scenes.find(&start, findings)).map(SceneId);
    let power = read_power(fields.node("power"), &mut context, findings);
    let day = read_day(fields.node("day"), &mut context, findings);
    let photos = read_photos(fields.node("photos"), &context, findings);
    let thresholds = read_thresholds(fields.node("thresholds"), &context, findings);
    let lamps = read_lamps(fields.node("lamps"), &mut context, findings);
    fields.also_known(&["styles", "templates", "modes", "bases"]);
    fields.close(findings);
    context.report_lacking(findings);
    let (mut scenes, start, (microcontroller, room), (bus, devices)) = (scenes?, start?, part?, bus?);
    let histories = histories(&mut scenes, &context.lives.borrow(), frame_rate.unwrap_or_default(), findings);
    let triggers: Vec<Placed<String>> = context.triggers.iter().cloned().collect();
    if let (Some(node), Some(panel)) = (nodes.bus, &panel) {
        check_wires(node.span, &bus, panel, &microcontroller, findings);
    }
    if let (Some(node), Some(panel), Some(rate)) = (nodes.panel, &panel, frame_rate) {
        check_panel(node.span, panel, &scenes, rate, findings);
    }
    // What cannot be reached may only follow from what could not be read.
    if !findings.any_error() {
        check_graph(&scenes, start, &triggers, findings);
    }
    Some(Show {
        name: name?,
        panel: panel?,
        mounting: mounting?,
        bus,
        devices,
        microcontroller,
        room,
        frame_rate: frame_rate?,
        fonts: context.loaded_fonts.into_iter().collect::<Option<_>>()?,
        pictures: context.loaded_pictures.into_iter().collect::<Option<_>>()?,
        triggers: context.triggers.into_values(),
        cues: context.cues.into_values(),
        scenes,
        live: context.lives.into_inner(),
        histories,
        live_texts: context.live_texts,
        threshold_table: threshold_table(&thresholds?),
        lamps: lamps?,
        start,
        viewing_distance_millimetres: distance?,
        photos: photos?,
        profile: profile?,
        power: power?,
        day: day?,
        spans: nodes.spans(node.span),
    })
}

/// Everything that scenes may refer to, the nodes of the triggers' usual reactions, and the scenes' own nodes.
fn read_names<'n, 'r, 'f>(
    fields: &mut Fields<'n>,
    reader: &'r mut Reader<'f>,
    (view, frame_rate): (View, Option<FrameRate>),
    findings: &mut Findings,
) -> (Context<'r, 'f>, Vec<&'n Node>, Vec<&'n Node>) {
    let fonts = read_fonts(fields, reader, findings);
    let (pictures, loaded_pictures) = read_pictures(fields, reader, findings);
    let cues = read_cue_names(fields, findings);
    let (triggers, reactions) = read_trigger_names(fields, findings);
    let (scenes, scene_nodes) = read_scene_names(fields, findings);
    let variants = scene_nodes.iter().map(|node| Variant::of(node)).collect();
    let context = Context {
        reader,
        view,
        frame_rate: frame_rate.unwrap_or_default(),
        fonts: fonts.names,
        loaded_fonts: fonts.fonts,
        font_files: fonts.files,
        lacking: Vec::new(),
        whole: true,
        pictures,
        loaded_pictures,
        scenes,
        variants,
        triggers,
        cues,
        depth: 0,
        ends: Vec::new(),
        lives: Default::default(),
        live_texts: Vec::new(),
    };
    (context, reactions, scene_nodes)
}

fn read_scenes(
    nodes: &[&Node],
    usual: &Usual,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<Scene>> {
    let read: Vec<Option<Scene>> = nodes.iter().map(|node| read_scene(node, usual, context, findings)).collect();
    let scenes: Vec<Scene> = read.into_iter().collect::<Option<_>>()?;
    let frames: u64 = scenes.iter().map(|scene| u64::from(scene.frames.0)).sum();
    if let Some(longest) = scenes.iter().max_by_key(|scene| scene.frames)
        && frames > u64::from(MOST_FRAMES)
    {
        let message = format!("the scenes have {frames} frames together; the limit is {MOST_FRAMES}");
        findings.push(Finding::error(longest.span, message).hint("shorten this scene, or lower the frame rate"));
    }
    Some(scenes)
}

fn view(panel: &Panel, mounting: &Mounting) -> View {
    let (width, height) = mounting.view_size(panel);
    View { width, height, pitch: mounting.view_pitch_millimetres(panel) }
}

/// The show's name, which is also the stem of its files and names in its code.
fn file_stem(name: Placed<String>, findings: &mut Findings) -> Option<String> {
    const LONGEST: usize = 40;
    let fits = |letter: char| letter.is_ascii_alphanumeric() || letter == '_' || letter == '-';
    let first = name.value.chars().next().is_some_and(|letter| letter.is_ascii_alphabetic());
    if first && name.value.len() <= LONGEST && name.value.chars().all(fits) {
        return Some(name.value);
    }
    let message = format!("`{}` is not a valid name for files", name.value);
    let hint = format!("start with a letter; use letters, digits, - and _; at most {LONGEST} characters");
    findings.push(Finding::error(name.span, message).hint(hint));
    None
}

fn read_frame_rate(node: &Node, findings: &mut Findings) -> Option<FrameRate> {
    let rate = f64::from_node(node, findings)?;
    let read = if rate.fract() == 0.0 { FrameRate::new(rounded(rate)) } else { None };
    if read.is_none() {
        let message = format!("`frame_rate` must be a whole number from 1 to {}, not {rate}", FrameRate::HIGHEST);
        findings.push(Finding::error(node.span, message).hint("20 frames per second are enough for most shows"));
    }
    read
}
