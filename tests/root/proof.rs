//! Proofs of fonts: what the command writes and says, and what the picture holds when an imaging library reads it.

use pageloom::font::judge::worst_pairs;
use pageloom::font::proof::{Proof, ProofPanel, ProofScreen, specimen};
use pageloom::font::{Dot, Font, GlyphId};
use std::path::Path;
use std::process::Command;

fn run(folder: &Path, arguments: &[&str]) -> (bool, String, String) {
    let ran = Command::new(env!("CARGO_BIN_EXE_pageloom")).current_dir(folder).args(arguments).output();
    let ran = ran.expect("the program runs");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (ran.status.success(), text(&ran.stdout), text(&ran.stderr))
}

fn pixels_of(png: &[u8], colour: [u8; 3]) -> usize {
    let image = image::load_from_memory(png).expect("a PNG").into_rgb8();
    image.pixels().filter(|pixel| pixel.0 == colour).count()
}

/// The deciding pixels are the only ones in their two colours but for the two words that explain the colours.
#[test]
fn each_deciding_pixel_of_the_worst_pairs_is_drawn_once() {
    let font = Font::shipped("cleat");
    let among: Vec<GlyphId> = ('A'..='Z').filter_map(|letter| font.id(&letter.into())).collect();
    let panel = ProofPanel {
        name: "any".into(),
        pitch_millimetres: (0.13, 0.13),
        dot_millimetres: (0.11, 0.11),
        lit: [235, 243, 255],
    };
    let screen = ProofScreen::new(254.0).expect("a density");
    let lines = vec!["DEPTH".into()];
    let png = specimen(&Proof { font: &font, lines, among: among.clone(), panel, screen }).expect("a picture");
    let decoder = png::Decoder::new(std::io::Cursor::new(&png)).read_info().expect("a PNG");
    assert_eq!(
        decoder.info().pixel_dims.map(|dims| dims.xppu),
        Some(10_000),
        "254 to the inch are 10 to the millimetre"
    );
    let words = Font::shipped("thole");
    // Captions are doubled.
    let inked = |text: &str| 4 * words.layout(text).pixels().count();
    let pairs = worst_pairs(&font, among, 9);
    // Glyphs of 4×5 pixels in tiles of at most 48×56 are enlarged eightfold.
    let dot = Dot::with_gap(8).lit as usize;
    let first_only =
        |(pair, (x, row)): &(&pageloom::font::judge::GlyphPair, (i32, u32))| font.by_id(pair.first).lit(*x, *row);
    let deciding = || pairs.iter().flat_map(|pair| pair.deciding.iter().map(move |pixel| (pair, *pixel)));
    let first = deciding().filter(first_only).count();
    let second = deciding().count() - first;
    assert_eq!(pixels_of(&png, [0xff, 0xa0, 0x30]), first * dot * dot + inked("in the first only"));
    assert_eq!(pixels_of(&png, [0x40, 0xc0, 0xff]), second * dot * dot + inked("in the second only"));
}

#[test]
fn a_proof_of_the_demo_shows_its_lines_their_room_and_its_look_alikes() {
    let folder = tempfile::tempdir().expect("a folder");
    let root = env!("CARGO_MANIFEST_DIR");
    let (font, show) = (format!("{root}/fonts/cleat.ron"), format!("{root}/scenes/helm.ron"));
    let (good, words, faults) = run(folder.path(), &["sheet", "proof", &font, "--show", &show, "--density", "220"]);
    assert!(good && faults.is_empty(), "{faults}");
    for part in ["U+0041 A", "LATIN CAPITAL LETTER A", "CLOSE VALVE C", "fits 72", "`B` and `D`", "0.650 mm", "8.94′"]
    {
        assert!(words.contains(part), "{part}\nis not in\n{words}");
    }
    // 72 columns and the gap behind the last hold 18 letters, one every 4 columns.
    assert!(words.contains("holds about 18 of these characters"), "{words}");
    assert!(folder.path().join("out/cleat-proof.png").exists());
    let (good, _, faults) = run(folder.path(), &["sheet", "proof", &font, "--density", "5", "--panel", "0.42in"]);
    assert!(!good && faults.contains("40 to 1,200") && faults.contains("there is no panel"), "{faults}");
}

#[test]
fn a_sheet_takes_the_characters_that_a_show_sets_in_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let script = r#"Show(name: "s", fonts: {"tiny": "fonts/tiny.ron", "other": "o.ron"}, scenes: [
        Scene(name: "a", layers: [Text(text: "BAD {anchor}", font: "tiny"), Text(text: "XYZ", font: "other")]),
        Scene(name: "b", layers: [Roll(text: ["A", "Ç"], font: "tiny"), Typed(text: File("log.txt"), font: "tiny")]),
    ])"#;
    std::fs::write(folder.path().join("s.ron"), script).expect("written");
    std::fs::write(folder.path().join("log.txt"), "7\n").expect("written");
    let (good, _, faults) = run(folder.path(), &["sheet", "new", "fonts/tiny.ron", "--cell", "3x5", "--show", "s.ron"]);
    assert!(good, "{faults}");
    let ron = || std::fs::read_to_string(folder.path().join("fonts/tiny.ron")).expect("written");
    assert!(ron().contains(r#"["7", "A", "B", "D", "Ç", "anchor"]"#), "{}", ron());
    let more = script.replace("XYZ", "X").replace("BAD", "BADE");
    std::fs::write(folder.path().join("s.ron"), more).expect("written");
    let (good, _, faults) = run(folder.path(), &["sheet", "extend", "fonts/tiny.ron", "--show", "s.ron"]);
    assert!(good && ron().contains(r#""E","#) && !ron().contains('X'), "{faults}{}", ron());
    let (good, _, faults) = run(folder.path(), &["sheet", "new", "lone.ron", "--show", "s.ron"]);
    assert!(!good && faults.contains("has no text in the font lone.ron"), "{faults}");
}

/// `PAGELOOM_BLESS=1` makes them anew.
#[test]
fn the_specimens_of_the_shipped_fonts_are_those_that_the_tool_makes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().expect("a folder");
    for font in pageloom::font::SHIPPED {
        let ron = format!("fonts/{}.ron", font.name);
        let made = folder.path().join(font.name).with_extension("png");
        let (good, _, faults) = run(root, &["sheet", "proof", &ron, "--out", &made.to_string_lossy()]);
        assert!(good && faults.is_empty(), "{faults}");
        let kept = root.join("fonts/specimens").join(font.name).with_extension("png");
        let made = std::fs::read(made).expect("written");
        if std::env::var_os("PAGELOOM_BLESS").is_some() {
            std::fs::write(&kept, &made).expect("a writable folder");
        }
        assert!(std::fs::read(&kept).ok() == Some(made), "{} is not what the tool makes", kept.display());
    }
}
