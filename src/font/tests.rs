//! Tests of loading: what a sheet must give, and each fault a person can make with its place and words.

use super::*;
use crate::diag::{Findings, Place, render};
use crate::source::{FilesInMemory, Reader};
use crate::whole::limited;
use std::path::Path;

/// A PNG of a drawing: `#` white, `.` black, `+` grey 150, `-` grey 100, `g` the guide #3060a0, `h` one off it, `r` red.
pub fn png(drawing: &str) -> Vec<u8> {
    let rows: Vec<&str> = drawing.lines().map(str::trim).filter(|row| !row.is_empty()).collect();
    let mut image = image::RgbImage::new(limited(rows[0].len()), limited(rows.len()));
    for (y, row) in rows.iter().enumerate() {
        for (x, mark) in row.chars().enumerate() {
            let colour = match mark {
                '#' => [255; 3],
                '.' => [0; 3],
                '+' => [150; 3],
                '-' => [100; 3],
                'g' => [0x30, 0x60, 0xa0],
                'h' => [0x30, 0x61, 0xa0],
                'r' => [255, 0, 0],
                other => panic!("{other}"),
            };
            image.put_pixel(limited(x), limited(y), image::Rgb(colour));
        }
    }
    let mut bytes = std::io::Cursor::new(Vec::new());
    image.write_to(&mut bytes, image::ImageFormat::Png).expect("memory can be written");
    bytes.into_inner()
}

/// Loads a font of cells 3×4 with margin 0 and spacing 1, the fields added to its description.
fn load(fields: &str, drawing: &str) -> (Option<Font>, Findings, String) {
    let ron = format!("Font(name: \"Trial\", sheet: \"trial.png\", cell: (3, 4), spacing: (1, 1), {fields})");
    let files = FilesInMemory::default().with("fonts/trial.ron", ron).with("fonts/trial.png", png(drawing));
    let mut reader = Reader::new(&files);
    let mut findings = Findings::default();
    let font = Font::load(&mut reader, Path::new("fonts/trial.ron"), Place::Nowhere, &mut findings);
    let words = render(&findings, &reader.sources, false);
    (font, findings, words)
}

const IL: &str = "
    #...#..
    #...#..
    #...#..
    #...###";

#[test]
fn a_drawn_advance_is_the_width_of_the_ink_and_the_tracking() {
    let (font, _, words) = load(r#"advance: Drawn, cells: ["IL"], baseline: 4"#, IL);
    assert_eq!(words, "");
    let font = font.expect("a font");
    assert_eq!(font.glyph('I').map(|glyph| (glyph.columns().to_vec(), glyph.advance())), Some((vec![0xf], 2)));
    assert_eq!(font.glyph('L').map(|glyph| (glyph.columns().to_vec(), glyph.advance())), Some((vec![0xf, 8, 8], 4)));
    assert_eq!((font.width("IL"), font.width("LI"), font.width(""), font.width("I ")), (5, 5, 0, 4));
    let xs: Vec<i32> = font.layout("LI L").sets.iter().map(|set| set.x).collect();
    assert_eq!(xs, [0, 4, 6, 9]);
    assert_eq!((font.ascent(), font.descent(), font.height()), (4, 0, 4));
}

#[test]
fn mono_keeps_the_place_in_the_cell_and_a_space_is_as_wide() {
    let drawing = ".#..#..\n.#..#..\n.#..#..\n.#..###";
    let (font, _, words) = load(r#"advance: Mono(4), cells: ["IL"]"#, drawing);
    assert_eq!(words, "");
    let font = font.expect("a font");
    assert_eq!(font.glyph('I').map(|glyph| (glyph.left(), glyph.advance())), Some((1, 4)));
    assert_eq!((font.width("I"), font.width("LI"), font.width("I I")), (3, 7, 11));
}

#[test]
fn a_marked_advance_ends_at_the_mark() {
    let drawing = "#...#..\n#...#..\n#...#..\n#...###\n.r....r";
    let ron = r##"Font(name: "T", sheet: "t.png", cell: (3, 5), spacing: (1, 0), advance: Marked("#ff0000"), cells: ["IL"])"##;
    let files = FilesInMemory::default().with("t.ron", ron).with("t.png", png(drawing));
    let mut findings = Findings::default();
    let font = Font::load(&mut Reader::new(&files), Path::new("t.ron"), Place::Nowhere, &mut findings);
    let font = font.expect("a font");
    assert_eq!(font.glyph('I').map(Glyph::advance), Some(3));
    assert_eq!(font.glyph('L').map(Glyph::advance), Some(4));
}

#[test]
fn aliases_capitals_kerning_names_and_own_advances_are_found() {
    let drawing = "#...#...###\n#...#...#.#\n#...#...#.#\n#...###.###";
    let fields = r#"advance: Drawn, cells: [["I", "L", "box"]], fallback: Capitals, aliases: {"|": "I", "¦": "box"},
        kerning: {"LI": -1, "{box}L": 2}, advances: {"I": 5}"#;
    let (font, _, words) = load(fields, drawing);
    assert_eq!(words, "");
    let font = font.expect("a font");
    assert_eq!(font.glyph('l'), font.glyph('L'));
    assert_eq!(font.glyph('|'), font.glyph('I'));
    assert_eq!(font.glyph('¦'), font.icon("box"));
    assert_eq!(font.glyph('I').map(Glyph::advance), Some(5));
    assert_eq!(font.width("L{box}L"), 3 + 1 + 3 + 1 + 2 + 3);
    assert_eq!(font.layout("LI").sets[1].x, 3);
    assert_eq!(font.missing("LXx{box}{helm}\n"), ['X'.into(), 'x'.into(), Symbol::Name("helm".into())]);
    assert_eq!(font.layout("X").sets[0].id, None);
    assert_eq!(font.icon_names().collect::<Vec<_>>(), ["box"]);
}

#[test]
fn aliases_may_point_to_aliases_and_capitals_stand_in_beyond_ascii() {
    let drawing = "#...#\n#...#\n#...#\n#####";
    let drawing = drawing.replace("#...#", "#...#..").replace("#####", "#...###");
    let fields =
        r#"advance: Drawn, cells: ["ÄL"], fallback: Capitals, aliases: {"1": "2", "2": "l", "x": "y", "y": "x"}"#;
    let (font, findings, words) = load(fields, &drawing);
    assert_eq!(findings.count(crate::diag::Severity::Error), 2, "{words}");
    assert!(words.contains("refers to `y`") && words.contains("refers to `x`"), "{words}");
    let font = font.expect("a font");
    assert_eq!(font.glyph('ä'), font.glyph('Ä'));
    for alias in ['1', '2', 'l'] {
        assert!(font.glyph(alias).is_some() && font.glyph(alias) == font.glyph('L'), "{alias}");
    }
    assert_eq!(font.glyph('ß'), None, "its capital is two letters");
    // What is missing shows as a frame of the capitals' height.
    let shown: Vec<_> = font.layout("?").pixels().collect();
    assert_eq!(shown, [(0, 0), (0, 1), (0, 2), (0, 3), (1, 0), (1, 3), (2, 0), (2, 1), (2, 2), (2, 3)]);
}

#[test]
fn each_fault_of_a_drawing_has_its_cell_and_pixel() {
    let drawing = "
        #...#.#.+..
        #...#...-..
        #..##...#.h
        #..g###.#..";
    let fields = r##"advance: Drawn, cells: ["ILT"], guide: "#3060a0""##;
    let (_, findings, words) = load(fields, drawing);
    assert!(findings.any_error());
    for part in [
        "trial.png, cell column 0 row 0, pixel 3,2: 1 pixel of ink outside the cell",
        "trial.png, cell column 2 row 0, pixel 8,0: 2 pixels neither light nor dark; with threshold 128 the first one (strength 150 of 255) is read as ink",
        "trial.png, pixel 10,2: the colour #3061a0 is close to the guide colour: 1 pixel",
    ] {
        assert!(words.contains(part), "{part}\nis not in\n{words}");
    }
}

#[test]
fn undrawn_doubled_equal_and_nearly_equal_glyphs_are_told() {
    let drawing = "
        #.......#...#...#...#..
        #.......#...#...#......
        #.......#...#...#......
        #.......#...##..#......";
    let (font, _, words) = load(r#"advance: Drawn, cells: ["IJKLI"]"#, drawing);
    for part in [
        "cell column 1 row 0: the cell of `J` is empty: not drawn yet",
        "`I` has two cells; the second is column 4 of row 0",
        "cell column 2 row 0: `K` is identical to `I`",
        "cell column 3 row 0: `L` differs from `I` in one pixel only: 1 right of the pen, row 3",
        "cell column 5 row 0: ink in a cell that `cells` does not list",
    ] {
        assert!(words.contains(part), "{part}\nis not in\n{words}");
    }
    assert_eq!(font.expect("what is drawn can be used").missing("IJ"), ['J'.into()]);
}

#[test]
fn a_sheet_that_does_not_divide_says_what_is_left_over_and_what_would_fit() {
    let (font, _, words) = load(r#"advance: Drawn, cells: ["IL"]"#, "#...#...\n#...#...\n#...#...\n#...###.\n........");
    assert!(font.is_none());
    assert!(words.contains("1 columns and 1 rows of pixels are left over"), "{words}");
    assert!(words.contains("need a sheet of 7×4 pixels"), "{words}");
}

#[test]
fn faults_of_the_description_are_told_together() {
    let fields = r##"advance: Mno(4), cells: ["IL", 3], guide: "#12", fallback: Capitls, baseline: 9, traking: 2"##;
    let (_, findings, words) = load(fields, IL);
    assert_eq!(findings.count(crate::diag::Severity::Error), 5, "{words}");
    for part in ["did you mean `Mono", "`#12` is not a colour", "did you mean `Capitals`", "did you mean `tracking`"] {
        assert!(words.contains(part), "{part}\nis not in\n{words}");
    }
    let fields = r#"advance: Mono(0), cells: ["IL"], baseline: 9, cap_height: 10, threshold: 0,
        kerning: {"I": 1, "IX": 1}, aliases: {"x": "y", "I": "L"}, space: 999"#;
    let (_, _, words) = load(fields, IL);
    for part in [
        "`baseline` is 9",
        "`cap_height` is 10",
        "`threshold` must be from 1 to 255, not 0",
        "Mono(0)",
        "pixels, not 999",
    ] {
        assert!(words.contains(part), "{part}\nis not in\n{words}");
    }
    let (_, _, words) = load(r#"advance: Drawn, cells: ["IL"], tracking: 2147483647"#, IL);
    assert!(words.contains("pixels, not 2147483647"), "{words}");
    let fields =
        r#"advance: Mono(4), cells: ["IL"], kerning: {"I": 1, "IX": 1, "IL": 500}, aliases: {"x": "y", "I": "L"}"#;
    let (_, _, words) = load(fields, IL);
    for part in ["`I` is not a pair", "has no `X`", "500 pixels is out of range", "refers to `y`", "never used"] {
        assert!(words.contains(part), "{part}\nis not in\n{words}");
    }
}

#[test]
fn borrowed_glyphs_stand_on_the_same_baseline_and_the_line_grows_for_them() {
    let low = r#"Font(name: "Low", sheet: "low.png", cell: (1, 2), baseline: 1, advance: Drawn, cells: ["I"], borrow: ["tall.ron"])"#;
    let tall = r#"Font(name: "Tall", sheet: "tall.png", cell: (1, 4), baseline: 3, advance: Drawn, cells: [["I", "T"]],
        borrow: ["low.ron"])"#;
    let files = FilesInMemory::default()
        .with("low.ron", low)
        .with("tall.ron", tall)
        .with("low.png", png("#\n#"))
        .with("tall.png", png("##\n##\n##\n##"));
    let mut findings = Findings::default();
    let font = Font::load(&mut Reader::new(&files), Path::new("low.ron"), Place::Nowhere, &mut findings);
    let messages: Vec<_> = findings.iter().map(|finding| finding.message.clone()).collect();
    assert!(messages.iter().any(|message| message.contains("in a cycle")), "{messages:?}");
    let font = font.expect("a font");
    assert_eq!((font.ascent(), font.descent()), (3, 1));
    assert_eq!(font.glyph('T').map(Glyph::columns), Some(&[0b1111][..]));
    assert_eq!(font.glyph('I').map(Glyph::columns), Some(&[0b1100][..]), "its own I is kept and lowered");
}
