//! Tests of reading BDF: the standard's own sample, and files with faults.

use super::*;
use crate::diag::{Sources, render};

/// The two glyphs of the worked example in the X Consortium's BDF 2.1 text, as published; its properties shortened.
pub const SAMPLE: &str = include_str!("../../../tests/cases/bdf/sample.bdf");

fn read(text: &str) -> (Option<Bdf>, String) {
    let mut sources = Sources::default();
    let file = sources.add("f.bdf", text);
    let mut findings = Findings::default();
    let bdf = parse_bdf(text, file, &mut findings);
    (bdf, render(&findings, &sources, false))
}

fn drawing(glyph: &BdfGlyph) -> String {
    let bounds = glyph.bounds.value;
    let row = |row: u32| (0..bounds.width).map(|x| if glyph.lit(x, row) { '#' } else { '.' }).collect::<String>();
    (0..bounds.height).map(row).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_standards_sample_is_read_as_the_standard_describes_it() {
    let (bdf, words) = read(SAMPLE);
    assert_eq!(words, "");
    let bdf = bdf.expect("sound");
    assert_eq!(bdf.bounds.value, BdfBox { width: 9, height: 24, x: -2, y: -6 });
    assert_eq!((bdf.number("FONT_ASCENT"), bdf.number("FONT_DESCENT")), (Some(21), Some(7)));
    assert_eq!(bdf.text("NOTICE").map(|(text, _)| text), Some("A doubled \" is one"));
    let [j, quote] = &bdf.glyphs[..] else { panic!("{:?}", bdf.glyphs) };
    assert_eq!((j.name.value.as_str(), j.code.value, j.advance.value), ("j", 106, 8));
    assert_eq!(j.bounds.value, BdfBox { width: 9, height: 22, x: -2, y: -6 });
    assert_eq!((quote.code.value, quote.advance.value), (39, 5));
    assert_eq!(drawing(quote), ".###\n.###\n.###\n.##.\n###.\n##..");
    let lit = |glyph: &BdfGlyph| drawing(glyph).matches('#').count();
    assert_eq!((lit(j), lit(quote)), (66, 16));
    assert!(drawing(j).starts_with("......###\n") && drawing(j).ends_with("\n####.....\n###......"), "{}", drawing(j));
}

#[test]
fn line_ends_of_other_systems_and_comments_anywhere_change_nothing() {
    let same = |text: &str| {
        let (bdf, words) = read(text);
        assert_eq!(words, "");
        bdf.expect("sound").glyphs.iter().map(drawing).collect::<Vec<_>>()
    };
    let plain = same(SAMPLE);
    assert_eq!(same(&SAMPLE.replace('\n', "\r\n")), plain);
    assert_eq!(same(&SAMPLE.replace('\n', "\r")), plain);
    assert_eq!(same(&SAMPLE.replace('\n', "\nCOMMENT here too\n\n").replacen("COMMENT here too\n\n", "", 1)), plain);
}

#[test]
fn every_fault_has_its_line_and_all_are_told_at_once() {
    let faulty = SAMPLE
        .replace("CHARS 2", "CHARS 3")
        .replace("BBX 9 22 -2 -6", "BBX 9 21 -2 -6")
        .replace("ENDCHAR\nSTARTCHAR quoteright", "STARTCHAR quoteright")
        .replace("DWIDTH 5 0", "DWIDTH five 0")
        .replace("BBX 4 6 2 12", "BBX 40000 6 2 12")
        .replace("ENDFONT\n", "");
    let (bdf, words) = read(&faulty);
    assert!(bdf.is_none());
    for part in [
        "CHARS says 3, there are 2 glyphs",
        "write CHARS 2",
        "the box of `j` is 21 rows high, BITMAP has 22",
        "the glyph `j` has no ENDCHAR",
        "it belongs before this line",
        "DWIDTH needs two whole numbers: pixels to the right and upwards, not `five 0`",
        "BBX of 40000 pixels exceeds the limit of 1024",
        "the file has no ENDFONT",
        "f.bdf:",
    ] {
        assert!(words.contains(part), "{part}\nis not in\n{words}");
    }
}

#[test]
fn slips_in_a_glyph_are_told_in_words() {
    for (from, to, told_part) in [
        ("0700\n", "07\n", "this row of `j` holds 8 pixels, its box is 9 wide"),
        ("0700\n", "07O0\n", "is `07O0`, not pairs of hexadecimal digits"),
        ("0700\n", "700\n", "not pairs of hexadecimal digits"),
        ("0700\n", "07FF\n", "lights pixels beyond its box of 9 columns"),
        ("ENDCHAR", "ENDCHR", "did you mean ENDCHAR?"),
        ("ENCODING 106", "ENCODING", "ENCODING needs a code"),
        ("ENCODING 106", "ENCODING -2", "-2 is not a code"),
        ("BBX 9 22 -2 -6", "BBX -9 22 -2 -6", "a box of -9×22 pixels is not supported"),
        ("BBX 9 22 -2 -6", "BBX 9 22 -2000 -6", "-2000 pixels exceeds the limit"),
        ("BBX 9 22 -2 -6", "BBX 9 22 -2 99999999999", "BBX needs four whole numbers"),
        ("DWIDTH 8 0\n", "", "the glyph `j` has no DWIDTH"),
        ("DWIDTH 8 0", "DWIDTH 8 3", "vertical advance of 3 pixels"),
        ("STARTCHAR j\n", "", "ENCODING is outside of a glyph"),
        ("ENDPROPERTIES\n", "", "the properties have no ENDPROPERTIES"),
        ("STARTFONT 2.1", "STARTFONT 3.0", "this is BDF version `3.0`"),
        ("STARTFONT 2.1\n", "", "its first line is not STARTFONT"),
        ("SIZE 24 75 75\n", "", "no line SIZE"),
        ("FONTBOUNDINGBOX 9", "FONTBOUNDINGBOX nine", "FONTBOUNDINGBOX needs four whole numbers"),
    ] {
        assert!(SAMPLE.contains(from), "{from}");
        let (_, words) = read(&SAMPLE.replacen(from, to, 1));
        assert!(words.contains(told_part), "{told_part}\nis not in\n{words}");
    }
    let (_, words) = read("");
    assert!(words.contains("not a BDF file"), "{words}");
    let (bdf, words) = read(&SAMPLE.replacen("0700\n", "zz\n".repeat(400).as_str(), 1));
    assert!(bdf.is_none() && words.contains("more than 100 faults"), "{}", words.len());
}

#[test]
fn a_width_for_the_whole_font_serves_glyphs_without_one() {
    let text = SAMPLE.replace("STARTFONT 2.1", "STARTFONT 2.2").replace("CHARS 2", "DWIDTH 6 0\nCHARS 2");
    let (bdf, words) = read(&text.replacen("DWIDTH 8 0\n", "", 1));
    assert_eq!(words, "");
    assert_eq!(bdf.expect("sound").glyphs.iter().map(|glyph| glyph.advance.value).collect::<Vec<_>>(), [6, 5]);
}
