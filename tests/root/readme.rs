//! README is true: its walk is taken as written, the names in its C are those of the header, and the files it shows exist.

use std::path::Path;
use std::process::Command;

fn readme() -> String {
    std::fs::read_to_string("README.md").expect("README.md")
}

/// The blocks fenced as a language, in order.
fn blocks<'a>(text: &'a str, language: &str) -> Vec<&'a str> {
    let fence = format!("```{language}\n");
    text.split(&fence).skip(1).map(|rest| rest.split("```").next().unwrap_or_default()).collect()
}

/// The words of a command as a shell splits them; README quotes with `"` only.
fn words(line: &str) -> Vec<String> {
    let parts = line.split('"').enumerate();
    let words = parts.flat_map(|(number, part)| match number % 2 {
        0 => part.split_whitespace().map(str::to_owned).collect(),
        _ => vec![part.to_owned()],
    });
    words.collect()
}

fn run(folder: &Path, arguments: &[String]) {
    let ran = Command::new(env!("CARGO_BIN_EXE_pageloom")).current_dir(folder).args(arguments).output();
    let ran = ran.expect("the program runs");
    assert!(ran.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&ran.stderr));
}

#[test]
fn the_walk_can_be_taken_as_written() {
    let (text, folder) = (readme(), tempfile::tempdir().expect("a folder"));
    let shell = blocks(&text, "sh").concat();
    let commands: Vec<Vec<String>> =
        shell.lines().filter_map(|line| line.strip_prefix("pageloom ")).map(words).collect();
    assert_eq!(commands.len(), 3, "{shell}");
    let mut sheet = commands[0].clone();
    // What a person draws by hand is taken from a shipped font.
    let font = format!("{}/fonts/cleat.ron", env!("CARGO_MANIFEST_DIR"));
    let cell = sheet.iter().position(|word| word == "--cell").expect("the size of a cell");
    sheet.splice(cell..cell + 2, ["--like".to_owned(), font]);
    run(folder.path(), &sheet);
    std::fs::write(folder.path().join("beacon.ron"), blocks(&text, "ron")[0]).expect("written");
    run(folder.path(), &commands[1]);
    let header = ["beacon.h", "pageloom_player.h"]
        .map(|name| std::fs::read_to_string(folder.path().join("out/beacon").join(name)).expect("the header"))
        .concat();
    for name in blocks(&text, "c")[0].split(|letter: char| !letter.is_alphanumeric() && letter != '_') {
        if name.starts_with("BEACON_") || name.starts_with("PAGELOOM_") || name.starts_with("pageloom_") {
            assert!(header.contains(name), "the header has no {name}");
        }
    }
    run(folder.path(), &["sheet", "new", "other.ron", "--cell", "3x5", "--for", "A-Z 0-9 -"].map(str::to_owned));
}

#[test]
fn every_linked_file_exists() {
    let text = readme();
    let links = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
    let files: Vec<&str> = links.filter(|link| !link.starts_with("http") && !link.starts_with('#')).collect();
    assert!(files.len() >= 2, "{files:?}");
    for file in files {
        assert!(Path::new(file).exists(), "README links to {file}");
    }
}
