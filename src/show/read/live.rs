//! Reading the live fields of a scene.

use super::words::word;
use super::{Context, FieldSlot, Names, Numeric, ReadField};
use crate::diag::{Finding, Findings, Span};
use crate::show::{Align, FontId, LiveField, Position};
use crate::source::{Fields, FromNode, Node, Placed, Shape, out_of_range, report_wrong};

/// The most fields of one scene.
const MOST_FIELDS: usize = 16;
/// What messages say of a text that the firmware writes.
pub(super) struct TextForm {
    /// What it is called.
    pub noun: &'static str,
    /// How many characters it may hold.
    pub most_cells: f64,
    /// What to do where these are too few.
    pub wider: &'static str,
}

const FIELD: TextForm = TextForm { noun: "field", most_cells: 32.0, wider: "or use two fields" };
/// Different characters that one field may show; the number of each is one byte of its table, and the last means none.
const MOST_CHARACTERS: usize = 200;
/// Seconds of the latest sample.
const LATEST_SAMPLE: f64 = 600.0;
const AT: FieldSlot = FieldSlot::new("at", "Its position.");
const ALIGNS: &[(&str, Align)] = &[("Left", Align::Left), ("Centre", Align::Centre), ("Right", Align::Right)];

/// Reads `fields: [Field(…), …]` of a scene.
pub fn read_live_fields(
    node: Option<&Node>,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<LiveField>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of fields [Field(…), …]", findings);
        return None;
    };
    if items.len() > MOST_FIELDS {
        let message = format!("this scene has {} fields; the limit is {MOST_FIELDS}", items.len());
        findings.push(Finding::error(node.span, message).hint("use one field for the whole line"));
        return None;
    }
    let mut names = Names::new("field");
    let read: Vec<_> = items.iter().map(|item| read_live_field(item, &mut names, context, findings)).collect();
    read.into_iter().collect()
}

fn read_live_field(
    node: &Node,
    names: &mut Names,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<LiveField> {
    if node.head().is_some_and(|head| head != "Field") {
        report_wrong(node, "Field(name: …, font: …, …)", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Field", findings)?;
    let name = fields.required::<Placed<String>>("name", findings);
    if let Some(name) = &name {
        names.declare(name.clone(), findings);
    }
    let field = read_field_text(&mut fields, name, &FIELD, context, findings);
    fields.close(findings);
    field
}

/// What fields and live texts have in common.
pub(super) fn read_field_text(
    fields: &mut Fields<'_>,
    name: Option<Placed<String>>,
    form: &TextForm,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<LiveField> {
    let font = fields.required::<Placed<String>>("font", findings);
    let font = font.and_then(|font| context.fonts.find(&font, findings)).map(FontId);
    let characters = fields.required::<Placed<String>>("characters", findings);
    let characters = characters.and_then(|written| read_characters(&written, font, form, context, findings));
    let cells = read_width(fields, form, context, findings);
    let align = match fields.node("align") {
        Some(node) => word(node, "align", ALIGNS, findings),
        None => Some(Align::Left),
    };
    let at = read_place(fields, form, context, findings);
    let samples = read_samples(fields.node("samples"), characters.as_deref(), form, context, findings);
    let (name, cells) = (name?, cells?);
    Some(LiveField {
        name: name.value,
        span: name.span,
        font: font?,
        characters: characters?,
        cells,
        align: align?,
        at: at?,
        samples: samples?,
    })
}

/// The number of characters that it holds.
fn read_width(
    fields: &mut Fields<'_>,
    form: &TextForm,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<u32> {
    let Some(node) = fields.node("width") else {
        fields.report_lack("width", findings);
        return None;
    };
    let range = (1.0, form.most_cells);
    let width = Numeric::plain("width", f64::MIN, f64::MAX).read(node, context, findings)?;
    if width <= form.most_cells {
        return Numeric::plain("width", range.0, range.1).read_whole(node, context, findings);
    }
    findings.push(out_of_range(node.span, "width", width, range, " characters").hint(form.wider));
    None
}

/// The characters without doubles and without the space; those that cannot be written or drawn are reported.
fn read_characters(
    written: &Placed<String>,
    font: Option<FontId>,
    form: &TextForm,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<char>> {
    let noun = form.noun;
    let mut characters: Vec<char> = Vec::new();
    for letter in written.value.chars().filter(|letter| *letter != ' ') {
        if u32::from(letter) > u32::from(u8::MAX) {
            let message = format!("a {noun} uses one byte per character and cannot show `{letter}`");
            findings.push(Finding::error(written.span, message).hint("use characters of Latin-1, or a text"));
            return None;
        }
        if !characters.contains(&letter) {
            characters.push(letter);
        }
    }
    if characters.is_empty() || characters.len() > MOST_CHARACTERS {
        let message = format!("a {noun} has 1 to {MOST_CHARACTERS} characters, not {}", characters.len());
        findings.push(Finding::error(written.span, message).hint("for example \"0123456789.-\""));
        return None;
    }
    let font = context.font(font?)?;
    let lacking: String = characters.iter().filter(|letter| font.glyph(**letter).is_none()).collect();
    if lacking.is_empty() {
        return Some(characters);
    }
    let message = format!("the font {} has no glyph for these characters of the {noun}: `{lacking}`", font.name());
    findings.push(Finding::error(written.span, message).hint("draw them in the font, or remove them"));
    None
}

fn read_place(
    fields: &mut Fields<'_>,
    form: &TextForm,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Position> {
    let Some(node) = fields.node("at") else {
        fields.report_lack("at", findings);
        return None;
    };
    let cannot = |place: Span, what: &str| {
        Finding::error(place, format!("a {} cannot {what}", form.noun)).hint("give a fixed position")
    };
    if let Some(live) = node.items().iter().find(|item| item.head() == Some("Live")) {
        findings.push(cannot(live.span, "move, so its position cannot follow a live value"));
        return None;
    }
    let at = Position::read(node, &AT, context, findings)?;
    if at.x.keys.len() > 1 || at.y.keys.len() > 1 {
        findings.push(cannot(node.span, "move"));
        return None;
    }
    Some(at)
}

/// `samples: [(0, "318"), (3.5, "319")]`.
fn read_samples(
    node: Option<&Node>,
    characters: Option<&[char]>,
    form: &TextForm,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<(f64, String)>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of samples [(0, \"318\"), …]", findings);
        return None;
    };
    let mut samples = Vec::new();
    for item in items {
        let [seconds, text] = item.items() else {
            report_wrong(item, "a sample (seconds, \"text\")", findings);
            return None;
        };
        let seconds = Numeric::plain("seconds", 0.0, LATEST_SAMPLE).read(seconds, context, findings)?;
        let text = Placed::<String>::from_node(text, findings)?;
        let known = |letter: char| letter == ' ' || characters.is_none_or(|known| known.contains(&letter));
        if let Some(letter) = text.value.chars().find(|letter| !known(*letter)) {
            let message = format!("`{letter}` is not among the characters of the {}", form.noun);
            findings.push(Finding::error(text.span, message).hint("add it to `characters`"));
        }
        samples.push((seconds, text.value));
    }
    samples.sort_by(|one, other| one.0.total_cmp(&other.0));
    Some(samples)
}
