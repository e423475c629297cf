//! The readers of BDF files and of glyph sheets under mutation: whatever they are given, they answer with findings or with a
//! font that can be used, and never end the program. Inputs that once broke something stay in `tests/cases/fuzz`.
//!
//! `readers.rs` says how many are tried, and within which limits.

use super::chance::{Chance, NUMBERS};
use super::readers::{Input, under_mutation};
use pageloom::diag::{Findings, Place, Sources, render};
use pageloom::font::{Font, from_bdf, sheet, to_bdf};
use pageloom::source::{FilesInMemory, Reader, parse_bdf};
use std::path::Path;

/// The text with a few words, lines or characters changed, doubled, moved or taken away.
fn mutated(text: &str, words: &[&str], chance: &mut Chance) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..=chance.below(4) {
        let at = chance.below(lines.len());
        let other = chance.below(lines.len());
        match chance.below(9) {
            0 => drop(lines.remove(at)),
            1 => lines.insert(other, lines[at].clone()),
            2 => lines.swap(at, other),
            3 => lines.truncate(at + 1),
            4 | 5 => lines[at] = with_number(&lines[at], chance),
            6 => lines[at] = with_letter(&lines[at], chance),
            7 => lines.insert(at, words[chance.below(words.len())].to_owned()),
            _ => {
                let parts: Vec<&str> = lines[at].split(' ').collect();
                let mut parts: Vec<&str> = parts;
                let word = chance.below(parts.len());
                parts[word] = chance.pick(words);
                lines[at] = parts.join(" ");
            }
        }
        if lines.is_empty() {
            lines.push(String::new());
        }
    }
    lines.join("\n")
}

/// The line with one of its numbers replaced by an awkward one.
fn with_number(line: &str, chance: &mut Chance) -> String {
    let digits: Vec<usize> =
        line.char_indices().filter(|(_, letter)| letter.is_ascii_digit()).map(|(at, _)| at).collect();
    let Some(start) = digits.get(chance.below(digits.len())).copied() else { return line.to_owned() };
    let end = line[start..].find(|letter: char| !letter.is_ascii_digit()).map_or(line.len(), |end| start + end);
    format!("{}{}{}", &line[..start], chance.pick(NUMBERS), &line[end..])
}

/// The line with one character replaced.
fn with_letter(line: &str, chance: &mut Chance) -> String {
    const LETTERS: &[char] = &[
        '0',
        'F',
        '"',
        '\\',
        '(',
        ')',
        '[',
        ']',
        '{',
        '}',
        ',',
        ':',
        '-',
        '#',
        ' ',
        '\0',
        'é',
        '\u{301}',
        '\u{1F41F}',
        '\r',
    ];
    let count = line.chars().count();
    let at = chance.below(count + 1);
    let new = LETTERS[chance.below(LETTERS.len())];
    line.chars().take(at).chain([new]).chain(line.chars().skip(at + 1)).collect()
}

/// A font that came of a mutated input can be set, put onto a sheet, exported and read again.
fn use_font(font: &Font) {
    let line = font.layout("A0j{anchor}?É");
    assert_eq!(line.sets.len(), 6);
    let _ = line.pixels().count();
    if let Ok(made) = sheet::sheet_of(font, "f.png", None, None) {
        let files = FilesInMemory::default().with("f.ron", made.ron).with("f.png", made.png);
        let mut findings = Findings::default();
        let back = Font::load(&mut Reader::new(&files), Path::new("f.ron"), Place::Nowhere, &mut findings);
        let back = back.unwrap_or_else(|| panic!("a sheet made here does not load: {findings:?}"));
        for (_, symbol, glyph) in font.glyphs() {
            assert_eq!(back.id(symbol).map(|id| back.by_id(id)), Some(glyph), "{symbol}");
        }
    }
    let mut sources = Sources::default();
    let file = sources.add("again.bdf", "");
    let mut findings = Findings::default();
    let bdf = parse_bdf(&to_bdf(font), file, &mut findings);
    assert!(bdf.is_some(), "what is exported is not read: {findings:?}");
}

fn try_bdf(text: &str) {
    let mut sources = Sources::default();
    let file = sources.add("f.bdf", text);
    let mut findings = Findings::default();
    let font = parse_bdf(text, file, &mut findings).and_then(|bdf| from_bdf(&bdf, &mut findings));
    let _ = render(&findings, &sources, false);
    match font {
        Some(font) => {
            assert!(!findings.any_error());
            use_font(&font);
        }
        None => assert!(findings.any_error(), "nothing came of it and nothing was said"),
    }
}

fn try_sheet(ron: &str, png: &[u8]) {
    let files = FilesInMemory::default().with("f.ron", ron).with("f.png", png);
    let mut reader = Reader::new(&files);
    let mut findings = Findings::default();
    let font = Font::load(&mut reader, Path::new("f.ron"), Place::Nowhere, &mut findings);
    let _ = render(&findings, &reader.sources, false);
    match font {
        Some(font) => use_font(&font),
        None => assert!(findings.any_error(), "nothing came of it and nothing was said"),
    }
}

#[test]
fn bdf_under_mutation_gives_findings_or_a_font() {
    under_mutation("bdf");
}

pub fn read_bdf(input: &Input) {
    try_bdf(&String::from_utf8_lossy(&input[0].1));
}

pub fn read_sheet(input: &Input) {
    try_sheet(&String::from_utf8_lossy(&input[0].1), &input[1].1);
}

pub fn bdf(chance: &mut Chance) -> Input {
    const WORDS: &[&str] = &[
        "STARTFONT 2.1",
        "STARTCHAR",
        "ENDCHAR",
        "ENDFONT",
        "BITMAP",
        "BBX 8 8 0 0",
        "BBX 1024 1024 -1024 -1024",
        "BBX 64 64 0 0",
        "BBX 0 0 0 0",
        "BBX 0 5 3 -3",
        "DWIDTH 0 0",
        "DWIDTH -64 0",
        "DWIDTH 64 0",
        "ENCODING -1",
        "ENCODING 0",
        "ENCODING 32",
        "ENCODING 160",
        "ENCODING 8205",
        "STARTPROPERTIES 2",
        "ENDPROPERTIES",
        "FONT_ASCENT -5",
        "FONT_ASCENT 2147483647",
        "FONT_DESCENT 64",
        "CAP_HEIGHT 99",
        "_TRACKING -9",
        "_TRACKING 2147483647",
        "CHARS 0",
        "COMMENT",
        "FF",
        "0",
        "FFFFFFFFFFFFFFFFFF",
        "FAMILY_NAME \"\"",
        "FAMILY_NAME \"a\\\"b\"",
        "CHARSET_REGISTRY \"JISX0208.1983\"",
        "METRICSSET 1",
        "FONTBOUNDINGBOX 0 0 0 0",
    ];
    let shipped = to_bdf(&Font::shipped("thole"));
    let begin: String = shipped.lines().take(140).map(|line| format!("{line}\n")).collect();
    let icons = to_bdf(&Font::shipped("chandlery"));
    let sources = [include_str!("../cases/bdf/sample.bdf"), begin.as_str(), icons.as_str()];
    vec![("f.bdf".into(), mutated(sources[chance.below(3)], WORDS, chance).into_bytes())]
}

/// A picture with some pixels changed, perhaps cut or extended, perhaps broken as a file.
fn mutated_png(png: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut image = image::load_from_memory(png).expect("a PNG").into_rgba8();
    const COLOURS: &[[u8; 4]] = &[
        [255, 255, 255, 255],
        [0, 0, 0, 255],
        [0x30, 0x50, 0x80, 255],
        [0x30, 0x51, 0x80, 255],
        [0x38, 0x50, 0x80, 255],
        [150, 150, 150, 255],
        [255, 255, 255, 0],
        [255, 255, 255, 90],
        [0xd0, 0x30, 0x30, 255],
        [0xd0, 0x31, 0x30, 255],
    ];
    for _ in 0..chance.below(12) {
        let (x, y) = (chance.below(image.width() as usize), chance.below(image.height() as usize));
        image.put_pixel(x as u32, y as u32, image::Rgba(COLOURS[chance.below(COLOURS.len())]));
    }
    if chance.below(6) == 0 {
        let (width, height) = (1 + chance.below(80) as u32, 1 + chance.below(80) as u32);
        let mut other = image::RgbaImage::new(width, height);
        image::imageops::replace(&mut other, &image, 0, 0);
        image = other;
    }
    let mut bytes = std::io::Cursor::new(Vec::new());
    image.write_to(&mut bytes, image::ImageFormat::Png).expect("memory can be written");
    let mut bytes = bytes.into_inner();
    if chance.below(8) == 0 {
        let at = chance.below(bytes.len());
        bytes[at] = chance.next() as u8;
    }
    if chance.below(20) == 0 {
        bytes.truncate(chance.below(bytes.len()));
    }
    bytes
}

#[test]
fn sheets_under_mutation_give_findings_or_a_font() {
    under_mutation("sheet");
}

pub fn sheet_input(chance: &mut Chance) -> Input {
    const WORDS: &[&str] = &[
        "cell: (1, 1),",
        "cell: (64, 64),",
        "cell: (0, 5),",
        "cell: (65, 65),",
        "margin: (4096, 4096),",
        "spacing: (0, 0),",
        "spacing: (4096, 1),",
        "baseline: 0,",
        "baseline: 64,",
        "cap_height: 0,",
        "advance: Drawn,",
        "advance: Mono(1),",
        "advance: Mono(128),",
        "advance: Mono(4294967295),",
        "advance: Marked(\"#ffffff\"),",
        "tracking: -128,",
        "tracking: 128,",
        "tracking: -2147483648,",
        "space: 128,",
        "pen: 255,",
        "pen: 3,",
        "ink: Dark,",
        "ink: Opaque,",
        "threshold: 1,",
        "threshold: 255,",
        "guide: \"#ffffff\",",
        "fallback: Capitals,",
        "borrow: [\"f.ron\"],",
        "kerning: {\"AB\": -128, \"{anchor}A\": 128},",
        "aliases: {\"a\": \"b\", \"b\": \"a\"},",
        "aliases: {\"é\": \"E\", \"A\": \"B\"},",
        "advances: {\"0123456789\": 128, \"A\": 0},",
        "cells: [],",
        "cells: [\"\"],",
        "[\"anchor\", \"\", \"A\"],",
        "\"ABCDEFGHIJKLMNOPQRSTUVWXYZABCDEFGHIJKLMNOPQRSTUVWXYZ\",",
        "/*",
        "*/",
        "//",
        ")",
        "Font(",
    ];
    let sources = pageloom::font::SHIPPED;
    let font = &sources[chance.below(sources.len())];
    let ron = font.ron.replace(&format!("{}.png", font.name), "f.png");
    let ron = mutated(&ron, WORDS, chance).into_bytes();
    vec![("f.ron".into(), ron), ("f.png".into(), mutated_png(font.png, chance))]
}

#[test]
fn what_was_found_stays_mended() {
    let entries = std::fs::read_dir("tests/cases/fuzz").expect("the cases are there");
    let mut paths: Vec<_> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    for path in paths {
        let text = || String::from_utf8_lossy(&std::fs::read(&path).expect("readable")).into_owned();
        match path.extension().and_then(|ending| ending.to_str()) {
            Some("bdf") => try_bdf(&text()),
            Some("ron") => try_sheet(&text(), &std::fs::read(path.with_extension("png")).expect("a sheet beside it")),
            _ => {}
        }
    }
}
