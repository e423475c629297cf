//! Reading texts: in quotes, as a list of lines, or from a file; each character that the font lacks is pointed at.

use super::{Context, FieldRow, FieldSlot, ReadField};
use crate::diag::{Finding, Findings, Span, nearest};
use crate::font::{Font, Symbol};
use crate::show::{FontId, Lettering};
use crate::source::{Fields, FromNode, Node, Placed, Shape, quoted_ranges, report_wrong};

/// The longest text of one layer in characters: more than half an hour of reading on a thumbnail-sized display.
const LONGEST_TEXT: usize = 10_000;

const TEXT: FieldSlot =
    FieldSlot::new("text", "The text. Icons are written in braces: `{anchor}`. Each entry of a list is one line.");
const FONT: FieldSlot = FieldSlot::new("font", "Its font.");
const LINE_GAP: FieldSlot = FieldSlot::new("line_gap", "Empty rows between lines.").range(-64.0, 64.0).usual("1");

impl ReadField for Lettering {
    const FORM: &'static str = "a text in quotes, a list of lines, or `File(\"…\")`";
    /// It has none.
    type Usual = std::convert::Infallible;

    fn read(node: &Node, _: &FieldSlot, _: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        report_wrong(node, "the fields `text` and `font`", findings);
        None
    }
    fn usual(value: Self::Usual) -> Self {
        match value {}
    }

    fn take(
        fields: &mut Fields<'_>,
        _: &FieldSlot,
        _: Option<Self::Usual>,
        context: &mut Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<Self> {
        let words = match fields.node("text") {
            Some(node) => words(node, context, findings),
            None => {
                fields.report_lack("text", findings);
                None
            }
        };
        let font = <FontId as ReadField>::take(fields, &FONT, None, context, findings);
        let line_gap = <i32 as ReadField>::take(fields, &LINE_GAP, Some(1), context, findings);
        let (words, font) = (words?, font?);
        note_missing(&words, font, context, findings);
        Some(Self { text: words.text(), font, line_gap: line_gap?, span: words.span })
    }

    fn describe(_: &FieldSlot, rows: &mut Vec<FieldRow>) {
        rows.extend([TEXT.row(Self::FORM), FONT.row(FontId::FORM), LINE_GAP.row(<i32 as ReadField>::FORM)]);
    }
}

/// A text as written: its lines, each with the place of every character.
struct TextWords {
    span: Span,
    lines: Vec<(String, Vec<Span>)>,
}

impl TextWords {
    fn text(&self) -> String {
        self.lines.iter().map(|(line, _)| line.as_str()).collect::<Vec<_>>().join("\n")
    }
}

fn words(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<TextWords> {
    let lines = match (&node.shape, node.items()) {
        (Shape::Text(text), _) => vec![(text.clone(), places(text, node.span, context))],
        (Shape::List(_), items) => {
            let line = |item: &Node, findings: &mut Findings| {
                let text = String::from_node(item, findings)?;
                let places = places(&text, item.span, context);
                Some((text, places))
            };
            let read: Vec<_> = items.iter().map(|item| line(item, findings)).collect();
            read.into_iter().collect::<Option<_>>()?
        }
        (Shape::Tuple(Some(name), _), [path]) if name == "File" => {
            let path = Placed::<String>::from_node(path, findings)?;
            vec![from_file(&path, context, findings)?]
        }
        _ => {
            report_wrong(node, "a text in quotes, a list of lines, or File(\"…\")", findings);
            return None;
        }
    };
    let words = TextWords { span: node.span, lines };
    let length = words.lines.iter().map(|(line, _)| line.chars().count() + 1).sum::<usize>().saturating_sub(1);
    if length > LONGEST_TEXT {
        let message = format!("this text has {length} characters; the limit is {LONGEST_TEXT}");
        findings.push(Finding::error(node.span, message).hint("split it into several layers or scenes"));
        return None;
    }
    if length == 0 {
        let finding = Finding::warning(node.span, "this text is empty, so the layer shows nothing");
        findings.push(finding.hint("write a text, or remove the layer"));
    }
    Some(words)
}

/// The place of each character of a quoted text.
fn places(text: &str, span: Span, context: &Context<'_, '_>) -> Vec<Span> {
    let literal = context.reader.sources.text(span.file).get(span.start..span.end).unwrap_or("");
    let ranges = quoted_ranges(literal);
    if ranges.len() != text.chars().count() {
        return vec![span; text.chars().count()];
    }
    let within = |(start, end)| Span { file: span.file, start: span.start + start, end: span.start + end };
    ranges.into_iter().map(within).collect()
}

/// The content of a text file without the line break at its end.
fn from_file(
    path: &Placed<String>,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<(String, Vec<Span>)> {
    let full = context.reader.beside(path.span, &path.value);
    let (file, text) = context.reader.text(&full, path.span.into(), findings)?;
    let kept = text.trim_end_matches(['\n', '\r']).char_indices().filter(|(_, letter)| *letter != '\r');
    Some(kept.map(|(at, letter)| (letter, Span { file, start: at, end: at + letter.len_utf8() })).unzip())
}

/// Notes each symbol that a layer itself writes and that its font does not have.
pub fn note_lacking(text: &str, font: FontId, span: Span, context: &mut Context<'_, '_>) {
    let Some(lacking) = context.font(font).map(|font| font.missing(text)) else { return };
    context.lacking.extend(lacking.into_iter().map(|symbol| (font, symbol, span)));
}

/// Notes each symbol of a text that the font lacks, at its first place; an icon is reported at once, with the nearest one.
fn note_missing(words: &TextWords, id: FontId, context: &mut Context<'_, '_>, findings: &mut Findings) {
    let Some(font) = context.font(id) else { return };
    let mut noted: Vec<(FontId, Symbol, Span)> = Vec::new();
    for (line, places) in &words.lines {
        for symbol in font.missing(line) {
            let span = place_of(&symbol, line, places).unwrap_or(words.span);
            if noted.iter().any(|(_, known, _)| *known == symbol) {
                continue;
            }
            if let Symbol::Name(name) = &symbol {
                let message = format!("the font {} has no glyph for {symbol}", font.name());
                findings.push(Finding::error(span, message).hint(icon_fix(name, font)));
            }
            noted.push((id, symbol, span));
        }
    }
    noted.retain(|(_, symbol, _)| matches!(symbol, Symbol::Char(_)));
    context.lacking.extend(noted);
}

fn place_of(symbol: &Symbol, line: &str, places: &[Span]) -> Option<Span> {
    let (at, length) = match symbol {
        Symbol::Char(letter) => (line.find(*letter)?, 1),
        Symbol::Name(name) => (line.find(&format!("{{{name}}}"))?, name.chars().count() + 2),
    };
    let first = line[..at].chars().count();
    let (start, end) = (places.get(first)?, places.get(first + length - 1)?);
    Some(Span { end: end.end, ..*start })
}

fn icon_fix(name: &str, font: &Font) -> String {
    match nearest(name, font.icon_names()) {
        Some(near) => format!("did you mean `{{{near}}}`?"),
        None if font.icon_names().next().is_none() => {
            "this font has no icons; add a font with icons to `borrow`".into()
        }
        None => format!("its icons are: {}", font.icon_names().collect::<Vec<_>>().join(", ")),
    }
}
