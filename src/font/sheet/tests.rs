//! Tests of sheets that are made here: they read back, keep what was drawn, and hold any font's glyphs exactly.

use super::*;
use crate::diag::{Findings, Place, Severity};
use crate::font::{Description, Fallback, Font, Glyph, Metrics, Symbol};
use crate::source::{FilesInMemory, Reader, SourcePicture};
use proptest::prelude::*;
use std::path::Path;

fn load(sheet: &GlyphSheet) -> (Font, Findings) {
    let files = FilesInMemory::default().with("f.ron", sheet.ron.as_str()).with("f.png", sheet.png.as_slice());
    let mut findings = Findings::default();
    let font = Font::load(&mut Reader::new(&files), Path::new("f.ron"), Place::Nowhere, &mut findings);
    let messages: Vec<_> = findings.iter().map(|finding| finding.message.clone()).collect();
    (font.unwrap_or_else(|| panic!("{messages:?}\n{}", sheet.ron)), findings)
}

fn describe(sheet: &GlyphSheet) -> (Description, SourcePicture) {
    let files = FilesInMemory::default().with("f.ron", sheet.ron.as_str()).with("f.png", sheet.png.as_slice());
    let read =
        Description::load(&mut Reader::new(&files), Path::new("f.ron"), Place::Nowhere, &mut Findings::default());
    let (description, _, picture) = read.expect("a description");
    (description, picture)
}

fn blank(characters: &str, cell: (u32, u32)) -> GlyphSheet {
    let symbols = wanted(characters).expect("characters");
    let blank = Blank { sheet: "f.png".into(), ..Blank::usual("trial", cell, symbols) };
    new_sheet(&blank).expect("a sheet")
}

/// A cell of the grid, or a pixel of a cell.
type SheetAt = (u32, u32);

/// Draws white pixels on a sheet as a person would: cell, then the pixel in it.
fn drawn_on(sheet: &GlyphSheet, pixels: &[(SheetAt, SheetAt)]) -> GlyphSheet {
    let grid = describe(sheet).0.grid;
    let mut image = image::load_from_memory(&sheet.png).expect("a PNG").into_rgb8();
    for ((column, row), (x, y)) in pixels {
        let (left, top) = grid.corner(*column, *row);
        image.put_pixel(left + x, top + y, image::Rgb([255; 3]));
    }
    let mut bytes = std::io::Cursor::new(Vec::new());
    image.write_to(&mut bytes, image::ImageFormat::Png).expect("memory can be written");
    GlyphSheet { png: bytes.into_inner(), ron: sheet.ron.clone() }
}

#[test]
fn a_blank_sheet_is_all_undrawn_and_reads_what_is_drawn_on_it() {
    for cell in [(3, 5), (5, 9), (8, 16)] {
        let sheet = blank("A-Z a-z 0-9 !\"\\{} U+0416 {anchor} {battery-low}", cell);
        let (font, findings) = load(&sheet);
        assert_eq!(findings.count(Severity::Warning), 1, "{findings:?}");
        assert!(!findings.any_error() && font.glyph('A').is_none());
        let (far_x, far_y) = (cell.0 - 1, cell.1 - 1);
        let sheet = drawn_on(&sheet, &[((0, 0), (0, 0)), ((0, 0), (far_x, far_y)), ((1, 4), (1, 1))]);
        let (font, findings) = load(&sheet);
        assert!(!findings.any_error(), "{findings:?}");
        let drawn: Vec<_> = font.glyph('A').expect("drawn").pixels().collect();
        assert_eq!(drawn, [(0, 0), (far_x.cast_signed(), far_y)]);
        assert_eq!(font.missing("AB{anchor}"), ['B'.into(), Symbol::Name("anchor".into())]);
    }
}

#[test]
fn an_extended_sheet_keeps_what_was_drawn_and_what_was_written() {
    let mut sheet = drawn_on(&blank("A-Z", (4, 6)), &[((2, 0), (1, 1)), ((9, 1), (3, 5))]);
    sheet.ron = sheet.ron.replace("    cells: [", "    /* my rows */ cells: [ // one\n");
    sheet.ron = sheet.ron.replace("QRSTUVWXYZ\",", "QRSTUVWXYZ\" // no comma, but [ one in ] here");
    let (before, _) = load(&sheet);
    let (description, picture) = describe(&sheet);
    let symbols = wanted("ZAP 0-9 {helm}").expect("characters");
    let extended = extend(&sheet.ron, &description, &picture, &symbols).expect("room").expect("something lacks");
    assert!(extended.ron.contains("/* my rows */") && extended.ron.contains("// one"), "{}", extended.ron);
    let (after, findings) = load(&extended);
    assert!(!findings.any_error(), "{findings:?}");
    let glyphs =
        |font: &Font| font.glyphs().map(|(_, symbol, glyph)| (symbol.clone(), glyph.clone())).collect::<Vec<_>>();
    assert_eq!(glyphs(&before), glyphs(&after));
    let (description, picture) = describe(&extended);
    assert_eq!(description.cells.len(), 3);
    let cells: usize = description.cells.iter().map(|row| row.cells.len()).sum();
    assert_eq!(cells, 26 + 10 + 1);
    assert_eq!(extend(&extended.ron, &description, &picture, &symbols), Ok(None));
    assert_eq!(drawn_on(&extended, &[((0, 2), (0, 0))]).ron, extended.ron);
    let (font, _) = load(&drawn_on(&extended, &[((10, 2), (2, 3))]));
    assert!(font.icon("helm").is_some());
}

#[test]
fn every_shipped_font_goes_onto_a_sheet_and_comes_back() {
    for shipped in crate::font::SHIPPED {
        let font = Font::shipped(shipped.name);
        let (back, findings) = load(&sheet_of(&font, "f.png", None, None).expect("a sheet"));
        assert!(!findings.any_error(), "{findings:?}");
        assert_same(&font, &back);
    }
}

fn assert_same(one: &Font, other: &Font) {
    let glyphs =
        |font: &Font| font.glyphs().map(|(_, symbol, glyph)| (symbol.clone(), glyph.clone())).collect::<Vec<_>>();
    assert_eq!(glyphs(one), glyphs(other));
    assert_eq!((one.ascent(), one.descent(), one.cap_height()), (other.ascent(), other.descent(), other.cap_height()));
    assert_eq!(one.kerning().collect::<Vec<_>>(), other.kerning().collect::<Vec<_>>());
    assert_eq!(one.aliases, other.aliases);
}

/// Any glyph of 6 rows: columns, offset, advance.
fn glyph() -> impl Strategy<Value = Glyph> {
    (proptest::collection::vec(0u64..64, 0..6), -3i32..4, -2i32..9).prop_map(|(columns, left, advance)| {
        let glyph = Glyph::new(&columns, advance);
        let left = if glyph.is_blank() { 0 } else { left };
        glyph.at_left(left)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn any_font_goes_onto_a_sheet_and_comes_back(glyphs in proptest::collection::vec(glyph(), 1..40), space in 0u32..9) {
        let symbols = ('!'..).map(Symbol::Char);
        let metrics = Metrics { cell: (6, 6), baseline: 5, cap_height: 4, gap: 1, space, mono: None };
        let font = Font::new("Any", metrics, Fallback::Nothing, symbols.zip(glyphs).collect());
        let (back, findings) = load(&sheet_of(&font, "f.png", None, None).expect("a sheet"));
        prop_assert!(!findings.any_error(), "{:?}", findings);
        assert_same(&font, &back);
    }
}
