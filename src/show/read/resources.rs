//! Reading what the show brings along: fonts, pictures, and the names of its cues, triggers and scenes.

use super::Names;
use crate::diag::{Finding, Findings};
use crate::font::Font;
use crate::source::{Fields, FromNode, Node, Placed, Reader, Shape, SourcePicture, report_wrong};

/// The most fonts and the most pictures of a show.
pub const MOST_FILES: usize = 64;
/// Milliseconds of each picture of a sequence of files when the script gives none: eight pictures a second.
const USUAL_MILLISECONDS: u16 = 125;
/// The most scenes, triggers and cues: the reel names each in one byte and keeps the highest values for itself.
pub const MOST_NAMED: usize = 250;

/// The fonts of a show, by [`crate::show::FontId`].
pub struct Fonts {
    pub names: Names,
    pub fonts: Vec<Option<Font>>,
    /// The paths of the files, as they are opened; `None` for a shipped font.
    pub files: Vec<Option<String>>,
}

/// Reads `fonts: {"small": "path.ron", "icons": Shipped("chandlery")}`; a font that cannot be loaded stays `None`.
pub fn read_fonts(fields: &mut Fields<'_>, reader: &mut Reader<'_>, findings: &mut Findings) -> Fonts {
    let mut names = Names::new("font");
    let (mut fonts, mut files) = (Vec::new(), Vec::new());
    for (key, value) in entries(fields, "fonts", "a map {\"name\": \"path.ron\", …}", findings) {
        let Some(name) = Placed::<String>::from_node(key, findings) else { continue };
        names.declare(name, findings);
        fonts.push(read_font(value, reader, findings));
        let Shape::Text(file) = &value.shape else {
            files.push(None);
            continue;
        };
        files.push(Some(reader.beside(value.span, file).to_string_lossy().replace('\\', "/")));
    }
    Fonts { names, fonts, files }
}

fn read_font(node: &Node, reader: &mut Reader<'_>, findings: &mut Findings) -> Option<Font> {
    if node.head() == Some("Shipped")
        && let [name] = node.items()
    {
        let name = Placed::<String>::from_node(name, findings)?;
        let mut known = Names::new("shipped font");
        for font in crate::font::SHIPPED {
            known.declare(Placed { value: font.name.to_owned(), span: name.span }, &mut Findings::default());
        }
        known.find(&name, findings)?;
        return Some(Font::shipped(&name.value));
    }
    let Shape::Text(named) = &node.shape else {
        report_wrong(node, "the path of a font's RON file in quotes, or Shipped(\"…\")", findings);
        return None;
    };
    if crate::font::SHIPPED.iter().any(|font| font.name == *named) {
        let finding = Finding::error(node.span, format!("`{named}` is a font that ships with pageloom, not a file"));
        findings.push(finding.hint(format!("write Shipped({named:?})")));
        return None;
    }
    Font::load(reader, &reader.beside(node.span, named), node.span.into(), findings)
}

/// Reads `pictures: {"fish": "fish.png", "lamp": "lamp.gif", "pump": Frames(files: ["a.png", "b.png"], milliseconds: 100)}`; a picture that cannot be read stays `None`.
pub fn read_pictures(
    fields: &mut Fields<'_>,
    reader: &mut Reader<'_>,
    findings: &mut Findings,
) -> (Names, Vec<Option<SourcePicture>>) {
    let mut names = Names::new("picture");
    let mut pictures = Vec::new();
    for (key, value) in entries(fields, "pictures", "a map {\"name\": \"path.png\", …}", findings) {
        let Some(name) = Placed::<String>::from_node(key, findings) else { continue };
        names.declare(name, findings);
        pictures.push(read_picture(value, reader, findings));
    }
    (names, pictures)
}

fn read_picture(node: &Node, reader: &mut Reader<'_>, findings: &mut Findings) -> Option<SourcePicture> {
    if !matches!(node.shape, Shape::Record(..)) {
        let named = Placed::<String>::from_node(node, findings)?;
        return reader.animation(&reader.beside(named.span, &named.value), named.span.into(), findings);
    }
    if node.head() != Some("Frames") {
        report_wrong(node, "the path of a PNG or GIF in quotes, or Frames(files: […], milliseconds: 125)", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Frames", findings)?;
    let files = fields.required::<Vec<Placed<String>>>("files", findings);
    let milliseconds = fields.or("milliseconds", USUAL_MILLISECONDS, findings);
    fields.close(findings);
    let read: Vec<Option<SourcePicture>> = files?
        .iter()
        .map(|named| reader.animation(&reader.beside(named.span, &named.value), named.span.into(), findings))
        .collect();
    match SourcePicture::sequence(read.into_iter().collect::<Option<_>>()?, milliseconds?.into()) {
        Ok(picture) => Some(picture),
        Err(why) => {
            let finding = Finding::error(node.span, format!("these pictures are not an animation: {why}"));
            findings.push(finding.hint("list pictures of the same size, one after another"));
            None
        }
    }
}

/// Reads `cues: ["chirp", "alarm"]`.
pub fn read_cue_names(fields: &mut Fields<'_>, findings: &mut Findings) -> Names {
    let mut names = Names::new("cue");
    let Some(node) = fields.node("cues") else { return names };
    for name in Vec::<Placed<String>>::from_node(node, findings).unwrap_or_default() {
        names.declare(name, findings);
    }
    names
}

/// Reads the names of `triggers: {"leak": Go("alert")}` and the nodes of what each usually does.
pub fn read_trigger_names<'a>(fields: &mut Fields<'a>, findings: &mut Findings) -> (Names, Vec<&'a Node>) {
    let mut names = Names::new("trigger");
    let mut reactions = Vec::new();
    for (key, value) in entries(fields, "triggers", "a map {\"name\": Go(\"scene\"), …}", findings) {
        let Some(name) = Placed::<String>::from_node(key, findings) else { continue };
        names.declare(name, findings);
        reactions.push(value);
    }
    (names, reactions)
}

/// The names of the scenes and their nodes; a scene without a usable name is left for its own reading to report.
pub fn read_scene_names<'a>(fields: &mut Fields<'a>, findings: &mut Findings) -> (Names, Vec<&'a Node>) {
    let mut names = Names::new("scene");
    let Some(node) = fields.node("scenes") else {
        fields.report_lack("scenes", findings);
        return (names, Vec::new());
    };
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of scenes [Scene(…), …]", findings);
        return (names, Vec::new());
    };
    if items.is_empty() {
        findings.push(
            Finding::error(node.span, "a show needs at least one scene").hint("add `Scene(name: \"…\", layers: […])`"),
        );
    }
    for item in items {
        let named = if let Shape::Record(_, fields) = &item.shape { fields.as_slice() } else { &[] };
        let name = named.iter().find(|(field, ..)| field == "name").map(|(.., value)| value);
        match name {
            Some(Node { shape: Shape::Text(text), span }) => {
                names.declare(Placed { value: text.clone(), span: *span }, findings);
            }
            _ => names.declare_unnamed(item.span),
        }
    }
    (names, items.iter().collect())
}

/// The pairs of a map field; none when it is absent.
fn entries<'a>(
    fields: &mut Fields<'a>,
    field: &'static str,
    wanted: &str,
    findings: &mut Findings,
) -> &'a [(Node, Node)] {
    let Some(node) = fields.node(field) else { return &[] };
    let Shape::Map(pairs) = &node.shape else {
        report_wrong(node, wanted, findings);
        return &[];
    };
    pairs
}
