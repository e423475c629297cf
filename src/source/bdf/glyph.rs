//! One glyph of a BDF file: from `STARTCHAR` to `ENDCHAR`.

use super::lines::{BdfLine, BdfLines};
use super::{BdfBox, BdfGlyph};
use crate::diag::{Finding, Findings, Span, nearest};
use crate::source::Placed;

/// The properties of a glyph read so far.
#[derive(Default)]
struct GlyphLines<'a> {
    code: Option<Placed<i32>>,
    advance: Option<Placed<i32>>,
    bounds: Option<Placed<BdfBox>>,
    /// Whether one of these was properties, but wrongly.
    wrong: bool,
    bitmap: Option<BdfLine<'a>>,
    rows: Vec<(Vec<u8>, Span)>,
}

/// Lines that end a glyph whether it says so or not.
const BEYOND: &[&str] = &["STARTCHAR", "ENDFONT", "CHARS", "STARTPROPERTIES", "STARTFONT"];
/// Lines that a glyph may have.
const KNOWN: &[&str] = &["ENCODING", "SWIDTH", "DWIDTH", "SWIDTH1", "DWIDTH1", "VVECTOR", "BBX", "BITMAP", "ENDCHAR"];

/// Reads a glyph after its first line. `usual` is the advance of glyphs without their own (BDF 2.2).
pub fn read(
    opening: BdfLine<'_>,
    lines: &mut BdfLines<'_>,
    usual: Option<Placed<i32>>,
    findings: &mut Findings,
) -> Option<BdfGlyph> {
    let (name, name_span) = opening.rest();
    let mut properties = GlyphLines { advance: usual, ..GlyphLines::default() };
    loop {
        match lines.peek() {
            Some(line) if line.keyword() == "ENDCHAR" => {
                lines.next();
                break;
            }
            Some(line) if !BEYOND.contains(&line.keyword()) => {
                lines.next();
                properties.take(line, name, findings);
            }
            next => {
                report_open(opening, name, next, findings);
                break;
            }
        }
    }
    properties.finish(opening, Placed { value: name.to_owned(), span: name_span }, findings)
}

fn report_open(opening: BdfLine<'_>, name: &str, next: Option<BdfLine<'_>>, findings: &mut Findings) {
    let finding = Finding::error(opening.span(), format!("the glyph `{name}` has no ENDCHAR"));
    let finding = finding.hint("write ENDCHAR on a line after its last row");
    findings.push(match next {
        Some(line) => finding.also(line.span(), "it belongs before this line"),
        None => finding.hint("the file may be incomplete"),
    });
}

impl<'a> GlyphLines<'a> {
    fn take(&mut self, line: BdfLine<'a>, name: &str, findings: &mut Findings) {
        let span = line.span();
        match line.keyword() {
            "ENCODING" => self.code = code(line, findings).or_else(|| self.spoil()),
            "DWIDTH" => match line.measures::<2>("two whole numbers: pixels to the right and upwards", findings) {
                Some([across, up]) => {
                    if up != 0 {
                        let message = format!("`{name}` has a vertical advance of {up} pixels, which is ignored");
                        findings.push(Finding::warning(span, message));
                    }
                    self.advance = Some(Placed { value: across, span });
                }
                None => self.advance = self.spoil(),
            },
            "BBX" => self.bounds = bounds(line, findings).or_else(|| self.spoil()),
            "BITMAP" => self.bitmap = Some(line),
            keyword if self.bitmap.is_some() && !KNOWN.contains(&keyword) => self.row(line, name, findings),
            keyword => {
                if let Some(near) = nearest(keyword, KNOWN.iter().copied()).filter(|near| *near != keyword) {
                    let message = format!("unknown keyword `{keyword}` is ignored");
                    findings.push(Finding::warning(span, message).hint(format!("did you mean {near}?")));
                }
            }
        }
    }

    fn spoil<T>(&mut self) -> Option<T> {
        self.wrong = true;
        None
    }

    fn row(&mut self, line: BdfLine<'_>, name: &str, findings: &mut Findings) {
        let digits = line.text;
        let bytes =
            (digits.len().is_multiple_of(2) && digits.bytes().all(|digit| digit.is_ascii_hexdigit())).then(|| {
                (0..digits.len()).step_by(2).filter_map(|at| u8::from_str_radix(&digits[at..at + 2], 16).ok()).collect()
            });
        if bytes.is_none() {
            let number = self.rows.len() + 1;
            let message = format!("row {number} of `{name}` is `{digits}`, not pairs of hexadecimal digits");
            let finding = Finding::error(line.span(), message);
            findings.push(match nearest(digits, ["ENDCHAR"]) {
                Some(near) => finding.hint(format!("did you mean {near}?")),
                None => finding.hint("two digits hold eight pixels, the leftmost in the highest bit"),
            });
            self.wrong = true;
        }
        self.rows.push((bytes.unwrap_or_default(), line.span()));
    }

    fn finish(self, opening: BdfLine<'_>, name: Placed<String>, findings: &mut Findings) -> Option<BdfGlyph> {
        let lacking = [
            ("ENCODING", self.code.is_none()),
            ("DWIDTH", self.advance.is_none()),
            ("BBX", self.bounds.is_none()),
            ("BITMAP", self.bitmap.is_none()),
        ];
        let lacking: Vec<&str> = lacking.into_iter().filter(|(_, lacking)| *lacking).map(|(word, _)| word).collect();
        if !lacking.is_empty() && !self.wrong {
            let message = format!("the glyph `{}` has no {}", name.value, lacking.join(", no "));
            findings.push(Finding::error(opening.span(), message));
        }
        let bounds = self.bounds?;
        let mut spans = self.rows.iter().map(|(_, span)| *span);
        let (first, last) = (spans.next(), spans.next_back());
        let rows =
            self.rows.into_iter().map(|(row, span)| fitted(row, span, &name.value, bounds.value, findings)).collect();
        let glyph = BdfGlyph { name, code: self.code?, advance: self.advance?, bounds, rows };
        let (said, there) = (glyph.bounds.value.height as usize, glyph.rows.len());
        if !self.wrong && said != there && glyph.bounds.value.width > 0 {
            let message = format!("the box of `{}` is {said} rows high, BITMAP has {there}", glyph.name.value);
            let finding = Finding::error(glyph.bounds.span, message);
            findings.push(match last.or(first) {
                Some(last) => finding.also(last, "the last row"),
                None => finding,
            });
        }
        Some(glyph)
    }
}

/// `ENCODING n`, or `ENCODING -1 n` with a number of the font's own, which is left out.
fn code(line: BdfLine<'_>, findings: &mut Findings) -> Option<Placed<i32>> {
    let two = line.text.split_whitespace().count() == 3;
    let wanted = "a code, or -1 and a number of the font's own";
    let value = match two {
        true => line.numbers::<2>(wanted, findings)?[0],
        false => line.numbers::<1>(wanted, findings)?[0],
    };
    if value < -1 {
        findings.push(Finding::error(line.span(), format!("{value} is not a code; use -1 for none")));
        return None;
    }
    Some(Placed { value, span: line.span() })
}

/// The four numbers of a box.
pub fn bounds(line: BdfLine<'_>, findings: &mut Findings) -> Option<Placed<BdfBox>> {
    let wanted = "four whole numbers: width, height, and the lower left corner";
    let [width, height, x, y] = line.measures(wanted, findings)?;
    let (Ok(width), Ok(height)) = (u32::try_from(width), u32::try_from(height)) else {
        findings.push(Finding::error(line.span(), format!("a box of {width}×{height} pixels is not supported")));
        return None;
    };
    Some(Placed { value: BdfBox { width, height, x, y }, span: line.span() })
}

/// A row of as many bytes as the box is wide; what is lit beyond the width is reported.
fn fitted(mut row: Vec<u8>, span: Span, name: &str, bounds: BdfBox, findings: &mut Findings) -> Vec<u8> {
    let wanted = bounds.width.div_ceil(8) as usize;
    if row.len() < wanted && !row.is_empty() {
        let message = format!("this row of `{name}` holds {} pixels, its box is {} wide", row.len() * 8, bounds.width);
        findings.push(Finding::error(span, message).hint(format!("a row needs {} digits", wanted * 2)));
    }
    let spare = (8 - bounds.width % 8) % 8;
    let lit_beyond = row.iter().skip(wanted).any(|byte| *byte != 0)
        || wanted > 0 && row.get(wanted - 1).is_some_and(|byte| byte & !(0xff << spare) != 0);
    if lit_beyond {
        let message = format!("this row of `{name}` lights pixels beyond its box of {} columns", bounds.width);
        findings.push(Finding::warning(span, message).hint("they are ignored; widen BBX to keep them"));
    }
    row.resize(wanted, 0);
    row
}
