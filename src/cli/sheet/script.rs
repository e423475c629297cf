//! What a script sets in which font, read from its tree alone: a script that has faults still, such as characters that a font
//! lacks, tells it too.

use crate::build::Session;
use crate::diag::{Checked, Place};
use crate::font::{Symbol, symbols};
use crate::source::{Node, Shape, beside, parse};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The texts of a script, each with the name of its font, and the files of its fonts.
#[derive(Clone, Debug, Default)]
pub struct Script {
    texts: Vec<(String, Vec<String>)>,
    fonts: Vec<(String, FontFile)>,
}

/// Where a font comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
enum FontFile {
    Path(PathBuf),
    Shipped(String),
}

impl Script {
    /// Reads a script; only a file that cannot be read or is no RON gives nothing.
    pub fn read(path: &Path, session: &mut Session<'_>) -> Checked<Self> {
        let (file, text) = session.reader.text(path, Place::Nowhere, &mut session.findings)?;
        let node = parse(&text, file, &mut session.findings)?;
        let mut script = Script::default();
        script.walk(&node, path, session);
        Some(script)
    }

    fn walk(&mut self, node: &Node, path: &Path, session: &mut Session<'_>) {
        match &node.shape {
            Shape::Record(_, fields) => {
                let field = |name: &str| fields.iter().find(|(known, ..)| known == name).map(|(.., value)| value);
                if let Some(Shape::Map(fonts)) = field("fonts").map(|fonts| &fonts.shape) {
                    let font = |(name, file): &(Node, Node)| Some((quoted(name)?, font_file(file, path)?));
                    self.fonts.extend(fonts.iter().filter_map(font));
                }
                if let (Some(text), Some(font)) = (field("text"), field("font").and_then(quoted)) {
                    self.texts.push((font, lines(text, path, session)));
                }
                fields.iter().for_each(|(.., value)| self.walk(value, path, session));
            }
            Shape::List(items) | Shape::Tuple(_, items) => {
                items.iter().for_each(|item| self.walk(item, path, session));
            }
            _ => {}
        }
    }

    /// The lines that are set in a font, by the font's RON file; each once, in the order of the script.
    pub fn lines(&self, font: &Path) -> Vec<String> {
        let file = beside(Path::new(""), &font.to_string_lossy());
        let stem = font.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        let meant = |from: &FontFile| match from {
            FontFile::Path(path) => same(path, &file),
            FontFile::Shipped(name) => Some(name) == stem.as_ref(),
        };
        let names: Vec<&String> = self.fonts.iter().filter(|(_, from)| meant(from)).map(|(name, _)| name).collect();
        let mut seen = BTreeSet::new();
        let texts = self.texts.iter().filter(|(font, _)| names.contains(&font));
        let lines = texts.flat_map(|(_, lines)| lines).filter(|line| !line.trim().is_empty());
        lines.filter(|line| seen.insert(line.as_str())).cloned().collect()
    }

    /// The symbols that are set in a font, in order: characters by code, then icons by name; no space.
    pub fn symbols(&self, font: &Path) -> Vec<Symbol> {
        let lines = self.lines(font);
        let all: BTreeSet<Symbol> = lines.iter().flat_map(|line| symbols(line)).collect();
        let drawn =
            |symbol: &Symbol| symbol.char().is_none_or(|letter| !letter.is_whitespace() && !letter.is_control());
        all.into_iter().filter(drawn).collect()
    }
}

/// Whether two paths mean one file, as far as their words tell.
fn same(one: &Path, other: &Path) -> bool {
    one == other
        || matches!((std::path::absolute(one), std::path::absolute(other)), (Ok(one), Ok(other)) if one == other)
}

fn quoted(node: &Node) -> Option<String> {
    if let Shape::Text(text) = &node.shape { Some(text.clone()) } else { None }
}

fn font_file(node: &Node, script: &Path) -> Option<FontFile> {
    match (node.head(), node.items()) {
        (Some("Shipped"), [name]) => quoted(name).map(FontFile::Shipped),
        _ => quoted(node).map(|named| FontFile::Path(beside(script, &named))),
    }
}

fn lines(node: &Node, script: &Path, session: &mut Session<'_>) -> Vec<String> {
    let split = |text: String| text.lines().map(str::to_owned).collect::<Vec<_>>();
    match (&node.shape, node.head(), node.items()) {
        (Shape::Text(text), ..) => split(text.clone()),
        (Shape::List(items), ..) => items.iter().filter_map(quoted).flat_map(split).collect(),
        (_, Some("File"), [named]) => {
            let path = quoted(named).map(|named| beside(script, &named));
            let read = path.and_then(|path| session.reader.text(&path, named.span.into(), &mut session.findings));
            read.map_or(Vec::new(), |(_, text)| split(text))
        }
        _ => Vec::new(),
    }
}
