//! Tests of fonts from and to BDF.

use super::*;
use crate::diag::{Findings, Place, Sources, render};
use crate::font::sheet::{GlyphSheet, sheet_of};
use crate::font::{Fallback, Font, Glyph, Metrics, Symbol};
use crate::source::{FilesInMemory, Reader, parse_bdf};
use proptest::prelude::*;
use std::path::Path;

const SAMPLE: &str = include_str!("../../../tests/cases/bdf/sample.bdf");

fn read(text: &str) -> (Option<Font>, String) {
    let mut sources = Sources::default();
    let file = sources.add("f.bdf", text);
    let mut findings = Findings::default();
    let font = parse_bdf(text, file, &mut findings).and_then(|bdf| from_bdf(&bdf, &mut findings));
    (font, render(&findings, &sources, false))
}

fn sheet(font: &Font) -> Font {
    let GlyphSheet { png, ron } = sheet_of(font, "f.png", None, None).expect("a sheet");
    let files = FilesInMemory::default().with("f.ron", ron).with("f.png", png);
    let loaded = Font::load(&mut Reader::new(&files), Path::new("f.ron"), Place::Nowhere, &mut Findings::default());
    loaded.expect("a font")
}

/// Each symbol's glyph; ascent, descent and height of capitals; the gap; the shared advance.
type Kept = (Vec<(Symbol, Glyph)>, [u32; 3], i32, Option<u32>);

/// All that a font of ours keeps in BDF; aliases as glyphs.
fn kept(font: &Font) -> Kept {
    let aliased = font.aliases().filter_map(|(from, to)| Some((from.clone(), font.by_id(font.id(to)?).clone())));
    let mut all: Vec<_> =
        font.glyphs().map(|(_, symbol, glyph)| (symbol.clone(), glyph.clone())).chain(aliased).collect();
    all.sort_by(|one, other| one.0.cmp(&other.0));
    let metrics = font.metrics();
    (all, [font.ascent(), font.descent(), font.cap_height()], metrics.gap, metrics.mono)
}

/// Page bytes of the sample's glyphs, worked by hand from its rows: D0 is the top row of the glyph's own box.
#[test]
fn the_standards_sample_becomes_the_glyphs_that_it_draws() {
    let (font, words) = read(SAMPLE);
    assert_eq!(words, "");
    let font = font.expect("a font");
    assert_eq!((font.ascent(), font.descent(), font.height()), (21, 7, 28));
    let quote = font.glyph('\'').expect("there");
    // Its box is 6 rows high and begins 12 rows above the baseline: row 21 − 12 − 6 = 3 of the line.
    assert_eq!(quote.columns().iter().map(|bits| bits >> 3).collect::<Vec<_>>(), [0x30, 0x3f, 0x1f, 0x07]);
    assert_eq!((quote.left(), quote.advance()), (2, 5));
    let j = font.glyph('j').expect("there");
    let columns: Vec<u64> = j.columns().iter().map(|bits| bits >> 5).collect();
    let pages: Vec<Vec<u64>> =
        (0..3).map(|page| columns.iter().map(|bits| bits >> (8 * page) & 0xff).collect()).collect();
    assert_eq!(pages[0], [0x00, 0x00, 0x00, 0x00, 0x00, 0xe0, 0xef, 0xef, 0x0f]);
    assert_eq!(pages[1], [0x00, 0x00, 0x00, 0xc0, 0xfe, 0xff, 0x3f, 0x01, 0x00]);
    assert_eq!(pages[2], [0x30, 0x38, 0x3c, 0x1f, 0x0f, 0x07, 0x00, 0x00, 0x00]);
    assert_eq!((j.left(), j.advance(), j.rows()), (-2, 8, Some((5, 26))));
}

#[test]
fn every_shipped_font_comes_back_from_bdf_and_from_a_sheet_made_of_that() {
    for shipped in crate::font::SHIPPED {
        let font = Font::shipped(shipped.name);
        let text = to_bdf(&font);
        let (back, words) = read(&text);
        assert_eq!(words, "", "{}", shipped.name);
        let back = back.expect("a font");
        assert_eq!(kept(&back), kept(&font), "{}", shipped.name);
        assert_eq!(kept(&sheet(&back)), kept(&font), "{}", shipped.name);
        assert_eq!(back.name(), font.name());
        assert_eq!(to_bdf(&back), text, "the same bytes again");
    }
}

#[test]
fn what_a_sheet_cannot_hold_is_told_at_its_line() {
    for (from, to, part) in [
        ("ENCODING 39", "ENCODING 106", "`j` has two glyphs; this is the second"),
        ("ENCODING 39", "ENCODING 55296", "55296 (hexadecimal D800) is not a Unicode character"),
        ("ENCODING 39", "ENCODING 1114112", "hexadecimal 110000"),
        ("BBX 4 6 2 12", "BBX 4 6 2 60", "lines of 73 rows (66 above the baseline, 7 below)"),
        ("BBX 4 6 2 12", "BBX 4 6 70 12", "`'` takes 74 columns"),
        ("BBX 4 6 2 12", "BBX 4 6 -70 12", "`'` takes 75 columns"),
        ("DWIDTH 5 0", "DWIDTH -90 0", "columns from its leftmost pixel"),
        ("\"ISO8859\"", "\"KOI8\"", "the encoding of the font is KOI8-1, not Unicode"),
        ("CHARSET_ENCODING \"1\"", "CHARSET_ENCODING \"2\"", "the encoding of the font is ISO8859-2"),
        ("\"ISO8859\"", "\"FontSpecific\"", "the font has its own encoding"),
        ("ENCODING 39", "ENCODING 32", "the space has pixels"),
        ("ENCODING 106", "ENCODING 10", "1 glyph for control codes left out"),
    ] {
        assert!(SAMPLE.contains(from), "{from}");
        let (_, words) = read(&SAMPLE.replacen(from, to, 1));
        assert!(words.contains(part) && words.contains("f.bdf:"), "{part}\nis not in\n{words}");
    }
}

#[test]
fn a_glyph_without_a_code_is_an_icon_when_its_name_can_be_one() {
    let text =
        SAMPLE.replace("ENCODING 39", "ENCODING -1 7").replace("STARTCHAR quoteright", "STARTCHAR apostrophe-low");
    let (font, words) = read(&text);
    assert_eq!(words, "");
    assert!(font.expect("a font").icon("apostrophe-low").is_some());
    let (font, words) =
        read(&SAMPLE.replace("ENCODING 39", "ENCODING -1").replace("STARTCHAR quoteright", "STARTCHAR Q.alt"));
    assert!(words.contains("1 glyph without a code left out, the first is `Q.alt`"), "{words}");
    assert_eq!(font.expect("a font").glyphs().filter(|(_, _, glyph)| !glyph.is_blank()).count(), 1);
}

/// Any glyph of 6 rows: columns, offset, advance.
fn glyph() -> impl Strategy<Value = Glyph> {
    (proptest::collection::vec(0u64..64, 0..12), -3i32..4, -2i32..14).prop_map(|(columns, left, advance)| {
        let glyph = Glyph::new(&columns, advance);
        let left = if glyph.is_blank() { 0 } else { left };
        glyph.at_left(left)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn any_font_goes_to_bdf_and_comes_back(
        glyphs in proptest::collection::vec(glyph(), 1..40), space in 0u32..9, baseline in 0u32..7, gap in 0i32..3,
        codes in proptest::collection::btree_set(0x21u32..0x2_0000, 40),
    ) {
        let symbols = codes.into_iter().filter_map(char::from_u32).filter(|letter| !letter.is_control()).map(Symbol::Char);
        let metrics = Metrics { cell: (6, 6), baseline, cap_height: baseline / 2, gap, space, mono: None };
        let font = Font::new("Any \"font\"", metrics, Fallback::Nothing, symbols.zip(glyphs).collect());
        let (back, words) = read(&to_bdf(&font));
        prop_assert_eq!(&words, "");
        let back = back.expect("a font");
        let (glyphs, lines, ..) = kept(&font);
        let (back_glyphs, back_lines, ..) = kept(&back);
        prop_assert_eq!(&back_glyphs, &glyphs);
        prop_assert_eq!(back_lines, lines);
        prop_assert_eq!(kept(&sheet(&back)).0, glyphs);
    }
}
