//! A font's RON file as read, each part with its place: the sheet, its grid, how ink is recognised, metrics, what each cell holds.

use super::glyph::TALLEST;
use super::grid::Grid;
use super::ink::{InkRule, Polarity};
use super::row::CellRow;
use crate::diag::{Finding, Findings, Span, nearest};
use crate::source::{Fields, FromNode, LIMITS, Node, Pair, Placed, ReadRecord, Shape};

/// Advance: fixed, drawn width, or marked by a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Advance {
    /// The same for all glyphs, in pixels; each stands in its cell as drawn.
    Mono(u32),
    /// The width of the ink and the tracking.
    Drawn,
    /// Up to the pixel of this colour in the cell or in the row of pixels below it, and the tracking.
    Marked([u8; 3]),
}

/// What replaces a character that the font does not have.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Fallback {
    /// Nothing: it is missing.
    #[default]
    Nothing,
    /// The capital stands in for the small letter.
    Capitals,
}

/// The content of a font's RON file.
#[derive(Clone, Debug)]
pub struct Description {
    pub span: Span,
    pub name: String,
    pub sheet: Placed<String>,
    pub grid: Grid,
    pub ink: InkRule,
    /// Rows from the cell's top to the baseline; the row of this number is the first below it.
    pub baseline: u32,
    /// Rows of a capital above the baseline.
    pub cap_height: u32,
    pub advance: Advance,
    /// Pixels between one glyph's ink and the next.
    pub tracking: i32,
    /// Pixels that a space moves the pen.
    pub space: u32,
    /// Pixels from the left edge of a cell to the pen. Ink to the left of the pen overlaps the previous glyph. It applies to glyphs
    /// that keep their place in the cell.
    pub pen: u32,
    pub cells: Vec<CellRow>,
    /// Pairs such as `"AV"`, and by how many pixels the second character moves to the right.
    pub kerning: Vec<(Placed<String>, i32)>,
    /// A character or name, and the one whose glyph it takes.
    pub aliases: Vec<(Placed<String>, Placed<String>)>,
    /// Characters with their own advance, such as digits of equal width. Each keeps its place in the cell.
    pub advances: Vec<(Placed<String>, u32)>,
    pub fallback: Fallback,
    /// Files of other fonts, or names of shipped fonts, that supply missing glyphs such as icons. The baselines are aligned.
    pub borrow: Vec<Placed<String>>,
}

impl ReadRecord for Description {
    const NAME: &'static str = "Font";

    fn from_fields(fields: &mut Fields<'_>, findings: &mut Findings) -> Option<Self> {
        let span = fields.span();
        let name = fields.required("name", findings);
        let sheet = fields.required("sheet", findings);
        let cell =
            fields.required::<Placed<Pair<u32, u32>>>("cell", findings).and_then(|cell| checked_cell(cell, findings));
        let margin = fields.or("margin", Pair(0, 0), findings).and_then(|margin| checked_gap(margin, span, findings));
        let spacing =
            fields.or("spacing", Pair(0, 0), findings).and_then(|spacing| checked_gap(spacing, span, findings));
        let polarity = fields.or("ink", Polarity::Light, findings);
        let threshold = fields.or("threshold", 128u8, findings);
        let guide = fields.optional::<GuideColour>("guide", findings);
        let advance = fields.required::<Advance>("advance", findings);
        let tracking = fields.or("tracking", 1, findings);
        let usual = usual(cell, advance);
        let baseline = fields.or("baseline", usual.baseline, findings);
        let cap_height = fields.or("cap_height", baseline.unwrap_or(usual.baseline), findings);
        let space = fields.or("space", usual.space, findings);
        let pen = fields.or("pen", 0u8, findings).map(u32::from);
        let cells = fields.required("cells", findings);
        let kerning = fields.or("kerning", Vec::new(), findings);
        let aliases = fields.or("aliases", Vec::new(), findings);
        let advances = fields.or("advances", Vec::new(), findings);
        let fallback = fields.or("fallback", Fallback::Nothing, findings);
        let borrow = fields.or("borrow", Vec::new(), findings);
        let mark = if let Some(Advance::Marked(colour)) = advance { Some(colour) } else { None };
        Some(Description {
            span,
            name: name?,
            sheet: sheet?,
            grid: Grid { cell: cell?, margin: margin?, spacing: spacing? },
            ink: InkRule { polarity: polarity?, threshold: threshold?, guide: guide?.map(|colour| colour.0), mark },
            baseline: baseline?,
            cap_height: cap_height?,
            advance: advance?,
            tracking: tracking?,
            space: space?,
            pen: pen?,
            cells: cells?,
            kerning: kerning?,
            aliases: aliases?,
            advances: advances?,
            fallback: fallback?,
            borrow: borrow?,
        })
    }
}

/// Values taken when the description is silent.
struct UsualAdvance {
    baseline: u32,
    space: u32,
}

fn usual(cell: Option<(u32, u32)>, advance: Option<Advance>) -> UsualAdvance {
    let (width, height) = cell.unwrap_or((0, 0));
    let space = match advance {
        Some(Advance::Mono(advance)) => advance,
        _ => width.div_ceil(2) + 1,
    };
    UsualAdvance { baseline: height, space }
}

/// The widest margin or spacing: a picture's longest side.
const WIDEST_GAP: u32 = LIMITS.picture_side;

fn checked_gap(gap: Pair<u32, u32>, span: Span, findings: &mut Findings) -> Option<(u32, u32)> {
    if gap.0 <= WIDEST_GAP && gap.1 <= WIDEST_GAP {
        return Some((gap.0, gap.1));
    }
    let message = format!("a margin or spacing of {}×{} pixels is wider than any sheet ({WIDEST_GAP})", gap.0, gap.1);
    findings.push(Finding::error(span, message));
    None
}

fn checked_cell(cell: Placed<Pair<u32, u32>>, findings: &mut Findings) -> Option<(u32, u32)> {
    let Pair(width, height) = cell.value;
    if (1..=TALLEST).contains(&width) && (1..=TALLEST).contains(&height) {
        return Some((width, height));
    }
    let message = format!("a cell of {width}×{height} pixels is not supported; each side must be 1 to {TALLEST}");
    findings.push(Finding::error(cell.span, message));
    None
}

/// A colour written `"#rrggbb"`.
struct GuideColour([u8; 3]);

impl FromNode for GuideColour {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        let text = String::from_node(node, findings)?;
        let digits = text.strip_prefix('#').filter(|digits| digits.len() == 6 && digits.is_ascii());
        let channel = |at: usize| u8::from_str_radix(digits?.get(at..at + 2)?, 16).ok();
        if let (Some(red), Some(green), Some(blue)) = (channel(0), channel(2), channel(4)) {
            return Some(GuideColour([red, green, blue]));
        }
        let message = format!("`{text}` is not a colour");
        findings.push(Finding::error(node.span, message).hint("write it as \"#rrggbb\" in hexadecimal"));
        None
    }
}

impl FromNode for Advance {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::Word(word) if word == "Drawn" => return Some(Advance::Drawn),
            Shape::Tuple(Some(name), items) if items.len() == 1 => match name.as_str() {
                "Mono" => return u32::from_node(&items[0], findings).map(Advance::Mono),
                "Marked" => return GuideColour::from_node(&items[0], findings).map(|colour| Advance::Marked(colour.0)),
                _ => {}
            },
            _ => {}
        }
        unknown(node, &["Mono(4)", "Drawn", "Marked(\"#ff0000\")"], findings);
        None
    }
}

impl FromNode for Polarity {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        let words = [("Light", Polarity::Light), ("Dark", Polarity::Dark), ("Opaque", Polarity::Opaque)];
        word(node, &words, findings)
    }
}

impl FromNode for Fallback {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        word(node, &[("Nothing", Fallback::Nothing), ("Capitals", Fallback::Capitals)], findings)
    }
}

fn word<T: Copy>(node: &Node, words: &[(&str, T)], findings: &mut Findings) -> Option<T> {
    if let Shape::Word(given) = &node.shape
        && let Some((_, value)) = words.iter().find(|(word, _)| word == given)
    {
        return Some(*value);
    }
    unknown(node, &words.iter().map(|(word, _)| *word).collect::<Vec<_>>(), findings);
    None
}

fn unknown(node: &Node, known: &[&str], findings: &mut Findings) {
    let mut finding =
        Finding::error(node.span, format!("this should be one of {}, not {}", known.join(", "), node.kind()));
    if let Shape::Word(given) | Shape::Tuple(Some(given), _) = &node.shape
        && let Some(near) = nearest(given, known.iter().map(|known| known.split('(').next().unwrap_or(known)))
    {
        finding = finding.hint(format!("did you mean `{near}`?"));
    }
    findings.push(finding);
}
