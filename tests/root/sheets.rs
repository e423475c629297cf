//! Glyph sheets read by Pillow and by us: every pixel the same, in every colour type that a paint program may write.

use pageloom::source::SourcePicture;
use std::path::Path;
use std::process::Command;

fn pillow(arguments: &[&str]) -> String {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/root/sheets.py");
    let output = Command::new("python3").arg(script).args(arguments).output().expect("python3 is needed for this test");
    let faults = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "Pillow for python3 is needed for this test: {faults}");
    String::from_utf8(output.stdout).expect("text")
}

fn ours(path: &Path) -> SourcePicture {
    let bytes = std::fs::read(path).expect("a picture");
    SourcePicture::from_png(&bytes, pageloom::source::LIMITS).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// Colour and opacity as `sheets.py read` prints them; clear pixels too keep their colour.
fn printed(picture: &SourcePicture) -> String {
    let mut text = format!("{} {}\n", picture.width(), picture.height());
    for y in 0..picture.height() {
        for x in 0..picture.width() {
            let ink = picture.ink(x, y).expect("inside");
            let [red, green, blue] = ink.colour;
            text.push_str(&format!("{red:02x}{green:02x}{blue:02x}{:02x}", ink.opacity));
        }
        text.push('\n');
    }
    text
}

fn shipped_sheets() -> Vec<std::path::PathBuf> {
    let entries = std::fs::read_dir("fonts").expect("the folder of fonts").map(|entry| entry.expect("readable").path());
    let mut sheets: Vec<_> = entries.filter(|path| path.extension().is_some_and(|ending| ending == "png")).collect();
    sheets.sort();
    assert!(sheets.len() >= 4, "{sheets:?}");
    sheets
}

#[test]
fn shipped_sheets_are_read_as_pillow_reads_them() {
    for sheet in shipped_sheets() {
        let name = sheet.display().to_string();
        assert!(printed(&ours(&sheet)) == pillow(&["read", &name]), "{name} differs");
    }
}

#[test]
fn a_sheet_means_the_same_in_every_colour_type() {
    let folder = tempfile::tempdir().expect("a folder");
    let sheet = &shipped_sheets()[0];
    let listed = pillow(&["modes", &sheet.display().to_string(), &folder.path().display().to_string()]);
    let lit = |picture: &SourcePicture| -> Vec<bool> {
        let pixels = (0..picture.height()).flat_map(|y| (0..picture.width()).map(move |x| (x, y)));
        pixels.map(|(x, y)| picture.ink(x, y).is_some_and(|ink| ink.lightness > 127)).collect()
    };
    let names: Vec<&str> = listed.lines().collect();
    assert_eq!(names.len(), 8, "{listed}");
    let pictures: Vec<SourcePicture> = names.iter().map(|name| ours(&folder.path().join(name))).collect();
    assert!(lit(&pictures[0]).contains(&true));
    for (name, picture) in names.iter().zip(&pictures) {
        assert!(lit(picture) == lit(&pictures[0]), "{name} differs from {}", names[0]);
    }
}
