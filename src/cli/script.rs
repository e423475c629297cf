//! Finds which texts a script sets in which font, and which pictures it shows. It reads only the tree of values, so it works for
//! scripts with faults, such as characters that a font does not have.

use super::written::written;
use crate::build::Session;
use crate::diag::{Checked, Findings};
use crate::font::{Symbol, symbols};
use crate::show::script_tree;
use crate::source::{Node, Reader, Shape, beside};
use crate::whole::rounded;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The texts of a script, each with the name of its font, and the files of its fonts and pictures.
#[derive(Clone, Debug, Default)]
pub struct Script {
    texts: Vec<(String, Vec<String>)>,
    fonts: Vec<(String, FontFile)>,
    /// The files of each picture.
    pictures: Vec<(String, Vec<PathBuf>)>,
    strips: Vec<ScriptStrip>,
}

/// How a picture is shown in parts.
#[derive(Clone, Debug, PartialEq)]
struct ScriptStrip {
    picture: String,
    columns: u32,
    pictures_a_second: f64,
}

/// A font of a show that has its own files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScriptFont {
    /// The name that the script gives it.
    pub name: String,
    pub path: PathBuf,
    pub lines: Vec<String>,
}

/// A file of a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct ScriptPicture {
    /// Its name in the script, with a number if it has several files.
    pub name: String,
    pub path: PathBuf,
    /// Its name without a number, if it has several files, which are shown one after another.
    pub series: Option<String>,
    /// Columns of each part of a strip; 0 for the whole width.
    pub columns: u32,
    pub pictures_a_second: f64,
}

/// Pictures a second of a sprite when the script gives no speed.
const USUAL_SPEED: f64 = 8.0;

/// Where a font comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
enum FontFile {
    Path(PathBuf),
    Shipped(String),
}

impl Script {
    /// Reads a script; only a file that cannot be read or is no script gives nothing.
    pub fn read(path: &Path, session: &mut Session<'_>) -> Checked<Self> {
        let mut faults = Findings::default();
        let script = Self::parsed(path, &mut session.reader, &mut faults);
        if script.is_none() {
            session.findings.append(faults);
        }
        script
    }

    /// The same, with a reader.
    pub fn parsed(path: &Path, reader: &mut Reader<'_>, findings: &mut Findings) -> Checked<Self> {
        let node = script_tree(reader, path, findings)?;
        let mut script = Script::default();
        script.walk(&node, reader, findings);
        Some(script)
    }

    fn walk(&mut self, node: &Node, reader: &mut Reader<'_>, findings: &mut Findings) {
        match &node.shape {
            Shape::Record(_, fields) => {
                let field = |name: &str| node.field(name);
                if let Some(Shape::Map(fonts)) = field("fonts").map(|fonts| &fonts.shape) {
                    let font = |(name, file): &(Node, Node)| Some((quoted(name)?, font_file(file, reader)?));
                    self.fonts.extend(fonts.iter().filter_map(font));
                }
                if let Some(Shape::Map(pictures)) = field("pictures").map(|pictures| &pictures.shape) {
                    let picture = |(name, file): &(Node, Node)| Some((quoted(name)?, picture_files(file, reader)));
                    self.pictures.extend(pictures.iter().filter_map(picture));
                }
                if let Some(font) = field("font").and_then(quoted) {
                    self.texts.push((font, written(node, reader, findings)));
                }
                if let (Some("Sprite"), Some(picture)) = (node.head(), field("picture").and_then(quoted)) {
                    let columns = rounded(field("columns").and_then(number).unwrap_or(0.0).trunc());
                    let pictures_a_second = field("pictures_a_second").and_then(number).unwrap_or(USUAL_SPEED);
                    self.strips.push(ScriptStrip { picture, columns, pictures_a_second });
                }
                fields.iter().for_each(|(.., value)| self.walk(value, reader, findings));
            }
            Shape::List(items) | Shape::Tuple(_, items) => {
                items.iter().for_each(|item| self.walk(item, reader, findings));
            }
            _ => {}
        }
    }

    /// The fonts that have files of their own, in the order of the script.
    pub fn fonts(&self) -> Vec<ScriptFont> {
        let font = |(name, from): &(String, FontFile)| match from {
            FontFile::Path(path) => {
                Some(ScriptFont { name: name.clone(), path: path.clone(), lines: self.lines(path) })
            }
            FontFile::Shipped(_) => None,
        };
        self.fonts.iter().filter_map(font).collect()
    }

    /// The files of the pictures, in the order of the script.
    pub fn pictures(&self) -> Vec<ScriptPicture> {
        let mut all = Vec::new();
        for (name, files) in &self.pictures {
            let strip = self.strips.iter().find(|strip| strip.picture == *name);
            for (number, path) in (1..).zip(files) {
                all.push(ScriptPicture {
                    name: if files.len() > 1 { format!("{name} {number}") } else { name.clone() },
                    series: (files.len() > 1).then(|| name.clone()),
                    path: path.clone(),
                    columns: strip.map_or(0, |strip| strip.columns),
                    pictures_a_second: strip.map_or(USUAL_SPEED, |strip| strip.pictures_a_second),
                });
            }
        }
        all
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

pub fn quoted(node: &Node) -> Option<String> {
    if let Shape::Text(text) = &node.shape { Some(text.clone()) } else { None }
}

pub fn number(node: &Node) -> Option<f64> {
    if let Shape::Number(number) = &node.shape { Some(*number) } else { None }
}

fn font_file(node: &Node, reader: &Reader<'_>) -> Option<FontFile> {
    match (node.head(), node.items()) {
        (Some("Shipped"), [name]) => quoted(name).map(FontFile::Shipped),
        _ => quoted(node).map(|named| FontFile::Path(reader.beside(node.span, &named))),
    }
}

fn picture_files(node: &Node, reader: &Reader<'_>) -> Vec<PathBuf> {
    let path = |node: &Node| quoted(node).map(|named| reader.beside(node.span, &named));
    match &node.shape {
        Shape::Record(_, fields) => {
            let files = fields.iter().find(|(name, ..)| name == "files").map(|(.., value)| value.items());
            files.unwrap_or(&[]).iter().filter_map(path).collect()
        }
        _ => path(node).into_iter().collect(),
    }
}
