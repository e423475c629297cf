//! Reads a whole BDF file: head, properties, glyphs. All faults are reported at once, each at its place.

use super::lines::{BdfLine, BdfLines};
use super::{Bdf, BdfBox, BdfGlyph, MOST_FAULTS, Property, glyph, properties};
use crate::diag::{FileId, Finding, Findings, Severity, Span, nearest};
use crate::source::Placed;

/// Lines that stand outside glyphs.
const KNOWN: &[&str] = &[
    "STARTFONT",
    "CONTENTVERSION",
    "FONT",
    "SIZE",
    "FONTBOUNDINGBOX",
    "METRICSSET",
    "SWIDTH",
    "DWIDTH",
    "SWIDTH1",
    "DWIDTH1",
    "VVECTOR",
    "STARTPROPERTIES",
    "CHARS",
    "STARTCHAR",
    "ENDFONT",
];
/// Lines that stand in glyphs only.
const OF_GLYPHS: &[&str] = &["ENCODING", "BBX", "BITMAP", "ENDCHAR"];
/// The versions that are read.
const VERSIONS: &[&str] = &["2.1", "2.2"];

/// Reads a BDF text; `None` when a finding is an error.
pub fn parse_bdf(text: &str, file: FileId, findings: &mut Findings) -> Option<Bdf> {
    let mut own = Findings::default();
    let mut whole = BdfParse::default();
    let mut lines = BdfLines::new(text, file);
    let opened = lines.peek().is_some_and(|line| line.keyword() == "STARTFONT");
    if !opened {
        let start = lines.peek().map_or(lines.end(), BdfLine::span);
        let hint =
            "a BDF file begins with `STARTFONT 2.1`; a compressed or compiled font (.gz, .pcf) must be unpacked first";
        own.push(Finding::error(start, "this is not a BDF file: its first line is not STARTFONT").hint(hint));
    }
    while let Some(line) = lines.next().filter(|_| opened && !whole.ended) {
        whole.take(line, &mut lines, &mut own);
        if own.iter().count() > MOST_FAULTS {
            let message = format!("more than {MOST_FAULTS} faults: the rest of the file is not read");
            // Before the others, so that it is among those that are kept.
            findings.push(Finding::error(line.span(), message));
            break;
        }
    }
    let cut_off = own.iter().count() > MOST_FAULTS;
    if opened && !cut_off {
        whole.report_lacks(&lines, &mut own);
    }
    let sound = own.count(Severity::Error) == 0;
    findings.append(own);
    let BdfParse { name, bounds, properties, glyphs, .. } = whole;
    Some(Bdf { name: name?, bounds: bounds?, properties, glyphs }).filter(|_| sound)
}

/// What was read so far.
#[derive(Default)]
struct BdfParse {
    name: Option<Placed<String>>,
    size: bool,
    bounds: Option<Placed<BdfBox>>,
    /// Whether a box was given, but a wrong one.
    spoilt: bool,
    usual_advance: Option<Placed<i32>>,
    properties: Vec<(String, Placed<Property>)>,
    said: Option<(i32, Span)>,
    /// Glyphs that were begun, sound or not.
    begun: usize,
    glyphs: Vec<BdfGlyph>,
    ended: bool,
}

impl BdfParse {
    fn take(&mut self, line: BdfLine<'_>, lines: &mut BdfLines<'_>, findings: &mut Findings) {
        let (rest, span) = line.rest();
        match line.keyword() {
            "STARTFONT" if !VERSIONS.contains(&rest) => {
                let message = format!("this is BDF version `{rest}`; 2.1 and 2.2 are read");
                findings.push(Finding::warning(line.span(), message).hint("it is read as 2.2"));
            }
            "FONT" => self.name = Some(Placed { value: rest.to_owned(), span }),
            "SIZE" => self.size = true,
            "FONTBOUNDINGBOX" => {
                self.bounds = glyph::bounds(line, findings);
                self.spoilt |= self.bounds.is_none();
            }
            "METRICSSET" if rest == "1" => {
                let message = "this font is for vertical writing only (METRICSSET 1)";
                findings.push(Finding::warning(line.span(), message).hint("glyphs need a DWIDTH for horizontal text"));
            }
            "DWIDTH" => {
                let numbers = line.measures::<2>("two whole numbers: pixels to the right and upwards", findings);
                self.usual_advance = numbers.map(|[across, _]| Placed { value: across, span: line.span() });
            }
            "STARTPROPERTIES" => self.properties.extend(properties::read(line, lines, findings)),
            "CHARS" => {
                self.said = line.numbers::<1>("the number of glyphs", findings).map(|[said]| (said, line.span()))
            }
            "STARTCHAR" => {
                self.begun += 1;
                self.glyphs.extend(glyph::read(line, lines, self.usual_advance.clone(), findings));
            }
            "ENDFONT" => self.ended = true,
            keyword if OF_GLYPHS.contains(&keyword) => {
                let message = format!("{keyword} is outside of a glyph");
                findings.push(Finding::error(line.span(), message).hint("a glyph begins with STARTCHAR and its name"));
            }
            keyword => {
                if let Some(near) = nearest(keyword, KNOWN.iter().copied()).filter(|near| *near != keyword) {
                    let message = format!("unknown keyword `{keyword}` is ignored");
                    findings.push(Finding::warning(line.span(), message).hint(format!("did you mean {near}?")));
                }
            }
        }
    }

    fn report_lacks(&self, lines: &BdfLines<'_>, findings: &mut Findings) {
        let lacking = [
            ("FONT and the font's name", self.name.is_none()),
            ("SIZE, points and the two resolutions", !self.size),
            ("FONTBOUNDINGBOX, the box that holds every glyph", self.bounds.is_none() && !self.spoilt),
            ("CHARS and the number of glyphs", self.said.is_none()),
        ];
        for (what, _) in lacking.into_iter().filter(|(_, lacking)| *lacking) {
            findings.push(Finding::error(lines.end(), format!("the file has no line {what}")));
        }
        if !self.ended {
            let finding = Finding::error(lines.end(), "the file has no ENDFONT");
            findings.push(finding.hint("the file may be incomplete; otherwise write ENDFONT as its last line"));
        }
        if let Some((said, span)) = self.said
            && usize::try_from(said) != Ok(self.begun)
        {
            let message = format!("CHARS says {said}, there are {} glyphs", self.begun);
            findings.push(Finding::warning(span, message).hint(format!("write CHARS {}", self.begun)));
        }
    }
}
