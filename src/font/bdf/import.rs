//! A font from what a BDF file says; whatever a glyph sheet cannot hold is reported at its own line.

use super::GAP;
use crate::diag::{Finding, Findings, Span, number_of};
use crate::font::describe::Fallback;
use crate::font::glyph::TALLEST;
use crate::font::{Font, Glyph, Metrics, Symbol, is_name};
use crate::source::{Bdf, BdfGlyph};
use crate::whole::limited;
use std::collections::BTreeMap;

/// Character sets whose codes are those of Unicode: itself, its first 256, its first 128; and none stated.
const OF_UNICODE: &[&str] = &["ISO10646", "ISO8859-1", "ISO646.1991-IRV", "ASCII", ""];
/// Codes that belong to the font alone; taken as they are.
const OF_ITS_OWN: &[&str] = &["FONTSPECIFIC", "ADOBE-FONTSPECIFIC", "MISC-FONTSPECIFIC"];

/// The font; `None` when an error says why not.
pub fn from_bdf(bdf: &Bdf, findings: &mut Findings) -> Option<Font> {
    let mut own = Findings::default();
    check_character_set(bdf, &mut own);
    let found = symbols(bdf, &mut own);
    let lines = LineHeights::of(bdf, &found);
    check_sizes(bdf, &lines, &found, &mut own);
    let sound = !own.any_error();
    findings.append(own);
    sound.then(|| assemble(bdf, &lines, &found))
}

fn check_character_set(bdf: &Bdf, findings: &mut Findings) {
    let Some((registry, span)) = bdf.text("CHARSET_REGISTRY") else { return };
    let encoding = bdf.text("CHARSET_ENCODING").map_or("", |(encoding, _)| encoding);
    let whole = format!("{registry}-{encoding}").to_uppercase();
    let within = |sets: &[&str]| {
        sets.iter()
            .any(|set| whole == *set || registry.eq_ignore_ascii_case(set) || whole.trim_end_matches('-') == *set)
    };
    if within(OF_ITS_OWN) {
        let message = format!("the font has its own encoding ({registry}-{encoding}); its codes are read as Unicode");
        findings.push(
            Finding::warning(span, message).hint("correct the rows of `cells` in the RON file where this is wrong"),
        );
    } else if !within(OF_UNICODE) {
        let message = format!("the encoding of the font is {registry}-{encoding}, not Unicode");
        let hint = "use Unicode codes and write CHARSET_REGISTRY \"ISO10646\" and CHARSET_ENCODING \"1\"";
        findings.push(Finding::error(span, message).hint(hint));
    }
}

/// The glyphs that a font of ours can name, each with its symbol.
fn symbols<'a>(bdf: &'a Bdf, findings: &mut Findings) -> Vec<(Symbol, &'a BdfGlyph)> {
    let mut seen: BTreeMap<Symbol, Span> = BTreeMap::new();
    let mut found = Vec::new();
    let mut nameless: Vec<&BdfGlyph> = Vec::new();
    let mut controls: Vec<&BdfGlyph> = Vec::new();
    for glyph in &bdf.glyphs {
        let code = glyph.code.value;
        let symbol = match u32::try_from(code).map(char::from_u32) {
            Ok(Some(letter)) if letter.is_control() => {
                controls.push(glyph);
                continue;
            }
            Ok(Some(letter)) => Symbol::Char(letter),
            Ok(None) => {
                let message = format!("{code} (hexadecimal {code:X}) is not a Unicode character");
                findings.push(Finding::error(glyph.code.span, message));
                continue;
            }
            Err(_) if is_name(&glyph.name.value) => Symbol::Name(glyph.name.value.clone()),
            Err(_) => {
                nameless.push(glyph);
                continue;
            }
        };
        if let Some(first) = seen.get(&symbol) {
            let message = format!("{symbol} has two glyphs; this is the second one");
            findings
                .push(Finding::error(glyph.code.span, message).also(*first, "the first").hint("remove one of them"));
        } else {
            seen.insert(symbol.clone(), glyph.code.span);
            found.push((symbol, glyph));
        }
    }
    let left_out = [
        (nameless, "without a code", "a glyph without a code becomes an icon if its name has only a–z, 0–9 and -"),
        (controls, "for control codes", "no text can use them"),
    ];
    for (glyphs, what, hint) in left_out {
        if let Some(first) = glyphs.first() {
            let message =
                format!("{} {what} left out, the first is `{}`", number_of(glyphs.len(), "glyph"), first.name.value);
            findings.push(Finding::note(first.name.span, message).hint(hint));
        }
    }
    if found.is_empty() && !findings.any_error() {
        findings.push(Finding::error(bdf.name.span, "the font has no usable glyph"));
    }
    found
}

/// The rows of a line: above and below the baseline, with room for every glyph.
struct LineHeights {
    ascent: i64,
    descent: i64,
}

impl LineHeights {
    fn of(bdf: &Bdf, found: &[(Symbol, &BdfGlyph)]) -> Self {
        let inked =
            found.iter().map(|(_, glyph)| glyph.bounds.value).filter(|bounds| bounds.width > 0 && bounds.height > 0);
        let above = inked.clone().map(|bounds| i64::from(bounds.y) + i64::from(bounds.height)).max().unwrap_or(0);
        let below = inked.map(|bounds| -i64::from(bounds.y)).max().unwrap_or(0);
        let whole = bdf.bounds.value;
        let number = |name: &str, usual: i64| bdf.number(name).map_or(usual, i64::from).max(0);
        let ascent = number("FONT_ASCENT", i64::from(whole.y) + i64::from(whole.height)).max(above);
        LineHeights { ascent, descent: number("FONT_DESCENT", -i64::from(whole.y)).max(below) }
    }
}

fn check_sizes(bdf: &Bdf, lines: &LineHeights, found: &[(Symbol, &BdfGlyph)], findings: &mut Findings) {
    let height = lines.ascent + lines.descent;
    if height > i64::from(TALLEST) || height < 1 {
        let message = format!("lines of {height} rows ({} above the baseline, {} below)", lines.ascent, lines.descent);
        let message = format!("{message} do not fit the cells of a sheet: a cell has 1 to {TALLEST} rows");
        findings.push(Finding::error(bdf.bounds.span, message));
    }
    for (symbol, glyph) in found {
        let bounds = glyph.bounds.value;
        let lit = |glyph: &BdfGlyph| (0..bounds.height).any(|row| (0..bounds.width).any(|x| glyph.lit(x, row)));
        if *symbol == Symbol::Char(' ') && lit(glyph) {
            let message = "the space has pixels; a sheet stores only its advance";
            findings.push(
                Finding::warning(glyph.code.span, message).hint("give the glyph another code to keep its pixels"),
            );
        }
        let (left, right) = (bounds.x.min(0), bounds.x + bounds.width.cast_signed());
        let width = right.max(glyph.advance.value).max(0) - left.min(glyph.advance.value);
        if width > TALLEST.cast_signed() {
            let message =
                format!("{symbol} takes {width} columns from its leftmost pixel to its right edge or advance");
            findings.push(Finding::error(glyph.bounds.span, format!("{message}; a cell holds {TALLEST}")));
        }
    }
}

fn assemble(bdf: &Bdf, lines: &LineHeights, found: &[(Symbol, &BdfGlyph)]) -> Font {
    let ascent: u32 = limited(lines.ascent);
    let shape = |symbol: &Symbol, glyph: &BdfGlyph| match symbol {
        Symbol::Char(' ') => Glyph::new(&[], glyph.advance.value),
        _ => drawn(glyph, ascent),
    };
    let glyphs: Vec<(Symbol, Glyph)> =
        found.iter().map(|(symbol, glyph)| (symbol.clone(), shape(symbol, glyph))).collect();
    let of = |letter: char| glyphs.iter().find(|(symbol, _)| *symbol == Symbol::Char(letter)).map(|(_, glyph)| glyph);
    let above = |letter: char| of(letter).and_then(Glyph::rows).map(|(top, _)| ascent.saturating_sub(top));
    let given = bdf.number("CAP_HEIGHT").and_then(|rows| u32::try_from(rows).ok());
    let cap_height = given.or(above('H')).or(above('X')).or(above('0')).unwrap_or(ascent).min(ascent);
    let advances = || glyphs.iter().map(|(_, glyph)| glyph.advance());
    let mono = advances().next().filter(|first| *first > 0 && advances().all(|advance| advance == *first));
    let right = glyphs.iter().map(|(_, glyph)| glyph.right()).max().unwrap_or(1);
    let left = glyphs.iter().map(|(_, glyph)| glyph.left()).min().unwrap_or(0).min(0);
    let behind = |glyph: &Glyph| glyph.advance() - glyph.right();
    let usual = glyphs.iter().map(|(_, glyph)| glyph).filter(|glyph| !glyph.is_blank()).map(behind).min();
    let gap = bdf.number(GAP).or(usual).unwrap_or(0).clamp(0, right.max(0));
    let width = (right - left).max(mono.map_or(1, |mono| mono - gap)).clamp(1, TALLEST.cast_signed()).cast_unsigned();
    let space = of(' ').map_or(width.div_ceil(2) + 1, |space| space.advance().max(0).cast_unsigned());
    let metrics = Metrics {
        cell: (width, limited(lines.ascent + lines.descent)),
        baseline: ascent,
        cap_height,
        gap: mono.map_or(gap, |mono| (mono - width.cast_signed()).max(0)),
        space,
        mono: mono.map(i32::cast_unsigned),
    };
    let name = bdf.text("FAMILY_NAME").map_or(bdf.name.value.as_str(), |(name, _)| name);
    Font::new(name, metrics, Fallback::Nothing, glyphs).with_doubles_as_aliases()
}

/// The glyph in a cell whose baseline is `ascent` rows below its top.
fn drawn(glyph: &BdfGlyph, ascent: u32) -> Glyph {
    let bounds = glyph.bounds.value;
    // Boxes with ink lie within ascent and descent, both checked to fit a cell; one without rows has no bit to place.
    let top = i64::from(ascent) - i64::from(bounds.y) - i64::from(bounds.height);
    let bit = |x: u32, row: u32| {
        let place = u32::try_from(top + i64::from(row)).ok().filter(|_| glyph.lit(x, row));
        place.and_then(|place| 1u64.checked_shl(place)).unwrap_or(0)
    };
    let column = |x: u32| (0..bounds.height).fold(0, |bits, row| bits | bit(x, row));
    let columns: Vec<u64> = (0..bounds.width).map(column).collect();
    let cut = Glyph::new(&columns, glyph.advance.value);
    let left = if cut.is_blank() { 0 } else { bounds.x + cut.left() };
    cut.at_left(left)
}
