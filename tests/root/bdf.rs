//! Real fonts in BDF, as Debian ships them, read by Pillow and by us, glyph by glyph; our own export likewise; import and
//! export as a person runs them.

use pageloom::diag::{Findings, Place, render};
use pageloom::font::{Font, SHIPPED, from_bdf, sheet, to_bdf};
use pageloom::source::{Bdf, Disk, FilesInMemory, Reader};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// Pillow keeps the glyphs of codes below this.
const CODES: i32 = 256;

/// A glyph's advance and its lit pixels, to the right of the origin and below the baseline.
type Seen = (i32, Vec<(i32, i32)>);

/// What Pillow reads: for each file the path of its BDF text and its glyphs by code.
fn pillow(folder: &Path, files: &[String]) -> Vec<(String, BTreeMap<i32, Seen>)> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/root/bdf.py");
    let output = Command::new("python3").arg(script).arg(folder).args(files).output();
    let output = output.expect("python3 is needed for this test");
    let faults = String::from_utf8_lossy(&output.stderr);
    let needed = "Pillow for python3, pcf2bdf and the fonts that tests/run.sh installs are needed for this test";
    assert!(output.status.success(), "{needed}: {faults}");
    let mut read = Vec::new();
    for line in String::from_utf8(output.stdout).expect("text").lines() {
        let mut words = line.split(' ');
        match words.next() {
            Some("file") => read.push((words.collect::<Vec<_>>().join(" "), BTreeMap::new())),
            _ => {
                let number = |word: &str| word.parse::<i32>().expect("a number");
                let (code, advance) = (number(words.next().expect("code")), number(words.next().expect("advance")));
                let pixel = |word: &str| word.split_once(',').map(|(x, y)| (number(x), number(y))).expect("a pixel");
                let (_, glyphs) = read.last_mut().expect("a file first");
                glyphs.insert(code, (advance, words.map(pixel).collect()));
            }
        }
    }
    read
}

fn ours(path: &str) -> (Bdf, String) {
    let mut reader = Reader::new(&Disk);
    let mut findings = Findings::default();
    let bdf = reader.bdf(Path::new(path), Place::Nowhere, &mut findings);
    let told = render(&findings, &reader.sources, false);
    (bdf.unwrap_or_else(|| panic!("{path}: {told}")), told)
}

fn seen(bdf: &Bdf) -> BTreeMap<i32, Seen> {
    let below = bdf.glyphs.iter().filter(|glyph| (0..CODES).contains(&glyph.code.value));
    let glyph = |glyph: &pageloom::source::BdfGlyph| {
        let bounds = glyph.bounds.value;
        let top = -bounds.y - bounds.height as i32;
        let pixels = (0..bounds.height).flat_map(|row| (0..bounds.width).map(move |x| (x, row)));
        let lit = pixels.filter(|(x, row)| glyph.lit(*x, *row));
        (glyph.advance.value, lit.map(|(x, row)| (bounds.x + x as i32, top + row as i32)).collect())
    };
    below.map(|it| (it.code.value, glyph(it))).collect()
}

fn assert_equal(read: &[(String, BTreeMap<i32, Seen>)]) -> usize {
    let mut compared = 0;
    for (path, theirs) in read {
        let (bdf, _) = ours(path);
        let ours = seen(&bdf);
        // A compiled font holds characters only from the blank on in Pillow's reading; a BDF file all.
        for (code, theirs) in theirs {
            assert_eq!(ours.get(code), Some(theirs), "{path}, code {code}");
            compared += 1;
        }
        let more = ours.keys().filter(|code| **code >= 32 && !theirs.contains_key(code)).count();
        assert_eq!(more, 0, "{path} holds {more} glyphs that Pillow does not");
    }
    compared
}

const PLAIN: &str = "/usr/share/emacs/fonts/bdf";
const COMPILED: &str = "/usr/share/fonts/X11/misc";

fn plain_fonts() -> Vec<String> {
    let entries = std::fs::read_dir(PLAIN).expect("the Debian package emacs-intl-fonts is needed for this test");
    let paths = entries.flatten().map(|entry| entry.path().to_string_lossy().into_owned());
    let mut fonts: Vec<String> = paths.filter(|path| path.ends_with(".bdf")).collect();
    fonts.sort();
    fonts
}

#[test]
fn plain_bdf_fonts_are_read_as_pillow_reads_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let fonts = plain_fonts();
    assert!(fonts.len() >= 25, "only {} fonts", fonts.len());
    let compared = assert_equal(&pillow(folder.path(), &fonts));
    assert!(compared > 2000, "only {compared} glyphs");
}

#[test]
fn compiled_fonts_turned_into_bdf_are_read_as_pillow_reads_the_compiled_ones() {
    let folder = tempfile::tempdir().expect("a folder");
    let names =
        ["ter-u12n_unicode", "ter-u16b_unicode", "ter-u32n_iso-8859-1", "spleen-5x8", "spleen-32x64", "unifont"];
    let fonts: Vec<String> = names.iter().map(|name| format!("{COMPILED}/{name}.pcf.gz")).collect();
    let read = pillow(folder.path(), &fonts);
    let compared = assert_equal(&read);
    assert!(compared > 1000, "only {compared} glyphs");
    // A whole real font, of more than a thousand characters, goes onto a sheet and comes back.
    let (bdf, _) = ours(&read[0].0);
    let mut findings = Findings::default();
    let font = from_bdf(&bdf, &mut findings).expect("a font");
    let made = sheet::sheet_of(&font, "f.png", None, None).expect("a sheet");
    let files = FilesInMemory::default().with("f.ron", made.ron).with("f.png", made.png);
    let back = Font::load(&mut Reader::new(&files), Path::new("f.ron"), Place::Nowhere, &mut findings).expect("a font");
    assert!(font.glyphs().len() > 800, "{}", font.glyphs().len());
    for (_, symbol, glyph) in font.glyphs() {
        assert_eq!(back.id(symbol).map(|id| back.by_id(id)), Some(glyph), "{symbol}");
    }
}

#[test]
fn what_we_export_pillow_reads_as_it_was_drawn() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).with_extension("bdf").to_string_lossy().into_owned();
    for shipped in SHIPPED {
        std::fs::write(path(shipped.name), to_bdf(&Font::shipped(shipped.name))).expect("written");
    }
    let files: Vec<String> = SHIPPED.iter().map(|shipped| path(shipped.name)).collect();
    for ((path, theirs), shipped) in pillow(folder.path(), &files).iter().zip(SHIPPED) {
        let font = Font::shipped(shipped.name);
        for letter in font.glyphs().filter_map(|(_, symbol, _)| symbol.char()).filter(|letter| *letter <= 'ÿ') {
            let glyph = font.glyph(letter).expect("there");
            let mut lit: Vec<(i32, i32)> =
                glyph.pixels().map(|(x, row)| (x, row as i32 - font.ascent() as i32)).collect();
            lit.sort_by_key(|(x, y)| (*y, *x));
            assert_eq!(theirs.get(&(letter as i32)), Some(&(glyph.advance(), lit)), "{path} {letter}");
        }
    }
}

#[test]
fn a_person_imports_redraws_and_exports() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |arguments: &[&str]| {
        let ran = Command::new(env!("CARGO_BIN_EXE_pageloom")).current_dir(folder.path()).args(arguments).output();
        let ran = ran.expect("the program runs");
        (ran.status.success(), String::from_utf8_lossy(&ran.stderr).into_owned())
    };
    let sample = include_str!("../cases/bdf/sample.bdf");
    std::fs::write(folder.path().join("sample.bdf"), sample).expect("written");
    assert_eq!(run(&["sheet", "import", "sample.bdf"]), (true, String::new()));
    assert_eq!(run(&["sheet", "export", "sample.ron", "--out", "again.bdf"]), (true, String::new()));
    let read = |name: &str| ours(&folder.path().join(name).to_string_lossy()).0;
    assert_eq!(seen(&read("again.bdf")).get(&106), seen(&read("sample.bdf")).get(&106));
    let (good, faults) = run(&["sheet", "import", "sample.bdf", "part.ron", "--for", "jx"]);
    assert!(good && faults.contains("has no `x`"), "{faults}");
    std::fs::write(folder.path().join("cut.bdf"), &sample[..sample.len() / 2]).expect("written");
    let (good, faults) = run(&["sheet", "import", "cut.bdf"]);
    assert!(!good && faults.contains("cut.bdf:") && faults.contains("incomplete"), "{faults}");
    assert!(!folder.path().join("cut.ron").exists());
}
