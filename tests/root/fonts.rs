//! The fonts that ship: they load without any finding, hold what a console needs, and keep look-alikes apart.

use pageloom::diag::{Findings, Place, render};
use pageloom::font::judge::blurred_distance;
use pageloom::font::{Font, SHIPPED, likeness};
use pageloom::source::{Disk, Reader};
use std::path::Path;

/// Printable ASCII without small letters and the marks that only programmers type.
const CONSOLE: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:;!?-+=/\\%°()[]<>#'\"*_&@$|^~·…×÷±µ";
const SMALL: &str = "abcdefghijklmnopqrstuvwxyz";

/// Pairs that are taken for one another in small sizes (common practice).
const LOOK_ALIKES: &[&str] =
    &["0O", "0D", "0Q", "OQ", "OD", "1I", "1l", "Il", "5S", "8B", "2Z", "6G", "UV", "VY", "MN", "HN", "08", "56", "38"];

fn shipped(name: &str) -> Font {
    let disk = Disk;
    let mut reader = Reader::new(&disk);
    let mut findings = Findings::default();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fonts").join(name).with_extension("ron");
    let font = Font::load(&mut reader, &path, Place::Nowhere, &mut findings);
    assert_eq!(render(&findings, &reader.sources, false), "", "{name}");
    font.unwrap_or_else(|| panic!("{name} gives no font"))
}

#[test]
fn every_shipped_font_loads_without_a_finding_and_holds_a_consoles_characters() {
    for (name, cell, small) in [("cleat", (3, 5), true), ("thole", (5, 7), true), ("binnacle", (5, 9), true)] {
        let font = shipped(name);
        assert_eq!(font.metrics().cell, cell, "{name}");
        let wanted = if small { format!("{CONSOLE}{SMALL}") } else { CONSOLE.into() };
        assert_eq!(font.missing(&wanted), [], "{name}");
    }
}

#[test]
fn look_alikes_differ_in_two_pixels_or_more() {
    for name in ["cleat", "thole", "binnacle"] {
        let font = shipped(name);
        for pair in LOOK_ALIKES {
            let ids: Vec<_> = pair.chars().filter_map(|letter| font.id(&letter.into())).collect();
            let likeness = likeness(font.by_id(ids[0]), font.by_id(ids[1]));
            assert!(likeness.distance() >= 2, "{name} {pair}: {likeness:?}");
        }
    }
}

#[test]
fn icons_are_borrowed_without_making_the_line_higher() {
    let binnacle = shipped("binnacle");
    assert_eq!((binnacle.ascent(), binnacle.descent()), (7, 2));
    let icons = shipped("chandlery");
    for name in icons.icon_names() {
        assert_eq!(binnacle.icon(name), icons.icon(name), "{name}");
    }
    assert_eq!(binnacle.missing("{anchor}{warning} 3.7 V {battery-low}"), []);
}

#[test]
fn a_counting_number_does_not_jump() {
    for (name, advance) in [("thole", 5), ("binnacle", 5), ("sextant", 7)] {
        let font = shipped(name);
        let widths: Vec<i32> = ('0'..='9').map(|digit| font.layout(&format!("{digit}A")).sets[1].x).collect();
        assert_eq!(widths, [advance; 10], "{name}");
    }
}

/// Pairs of which less than this is left after a blur by one pixel, in sixteenths of a pixel, can be taken for one another:
/// what lies three quarters of a pixel beside the one may lie as near to the other.
const TOO_NEAR: u32 = 24;

/// What is too near in a font, and why it stays so.
const NEAR: &[(&str, &str, &str)] = &[
    (
        "cleat",
        "BD AH HM MN FP BR KR NR OV HW UW",
        "three columns hold no diagonal: the letters differ in one crossbar or corner",
    ),
    (
        "cleat",
        "#H #M #W &G @A @O",
        "two bars or a loop in three columns are a letter's; these marks stand beside digits or alone",
    ),
    (
        "cleat",
        ",. ,; :; !? (< )> !| *° ^° '^ \"^",
        "marks that differ in place or in one stroke; the text about them tells which",
    ),
    ("cleat", ":· .… ,… _… =× X▒ ■□", "rare marks, told by their height or by what stands beside them"),
    ("thole", "0@", "the ring of @ is a zero's; never in one number"),
    ("thole", ":; !| \"^ ]}", "marks that differ in one dot or stroke"),
];

/// The nearest shape after a blur by one pixel is the glyph itself, with three quarters of a pixel to spare, among all glyphs
/// of the font, digits, letters, marks and icons alike; but for the pairs of [`NEAR`], which are all there are.
#[test]
fn every_glyph_is_recognised_when_it_blurs_by_a_pixel() {
    for shipped_font in SHIPPED {
        let font = shipped(shipped_font.name);
        let seen: Vec<_> = font.glyphs().filter(|(_, _, glyph)| !glyph.is_blank()).collect();
        let mut near = Vec::new();
        for (index, (_, symbol, glyph)) in seen.iter().enumerate() {
            for (_, other, rival) in &seen[..index] {
                if blurred_distance(glyph, rival, font.height()) < TOO_NEAR {
                    let mut pair = [symbol.written(), other.written()];
                    pair.sort();
                    near.push(pair.concat());
                }
            }
        }
        near.sort();
        let listed = NEAR.iter().filter(|(name, ..)| *name == shipped_font.name);
        let mut listed: Vec<String> = listed.flat_map(|(_, pairs, _)| pairs.split(' ').map(sorted_letters)).collect();
        listed.sort();
        assert_eq!(near, listed, "{}", shipped_font.name);
    }
}

fn sorted_letters(pair: &str) -> String {
    let mut letters: Vec<char> = pair.chars().collect();
    letters.sort();
    letters.into_iter().collect()
}
