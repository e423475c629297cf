//! The fonts that ship: they load without any finding, hold what a console needs, and keep look-alikes apart.

use pageloom::diag::{Findings, Place, render};
use pageloom::font::{Font, likeness};
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
    for (name, cell, small) in [("cleat", (3, 5), true), ("thole", (4, 7), true), ("binnacle", (5, 9), true)] {
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
    let font = shipped("binnacle");
    let widths: Vec<i32> = ('0'..='9').map(|digit| font.layout(&format!("{digit}A")).sets[1].x).collect();
    assert_eq!(widths, [5; 10]);
}
