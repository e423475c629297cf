//! `check --explain`: every byte of a reel is told once by layer and once by kind, the largest first, with the line to change.

use std::path::Path;
use std::process::Command;

/// A row of the table.
struct Row {
    name: String,
    bytes: usize,
    place: Option<String>,
}

impl Row {
    fn read(line: &str) -> Self {
        let columns: Vec<&str> = line.split("  ").map(str::trim).filter(|part| !part.is_empty()).collect();
        let indented = if line.starts_with(' ') { "  " } else { "" };
        let bytes =
            columns[1].trim_start_matches("≈ ").replace(',', "").parse().unwrap_or_else(|_| panic!("no bytes: {line}"));
        Self {
            name: format!("{indented}{}", columns[0]),
            bytes,
            place: columns.get(3).map(|place| (*place).to_owned()),
        }
    }
}

/// The rows of a show in the manual's folder, once with what `replaced` says.
fn explained(show: &str, replaced: (&str, &str)) -> (Vec<Row>, String) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().expect("a folder");
    let script = std::fs::read_to_string(root.join("scenes").join(show)).expect("a show");
    assert!(script.contains(replaced.0), "{script}");
    let mut script = script.replacen(replaced.0, replaced.1, 1);
    for (here, there) in [("../../", ""), ("../", ""), ("submersible", "scenes/submersible")] {
        script = script.replace(&format!("\"{here}"), &format!("\"{}/{there}", root.display()));
    }
    std::fs::write(folder.path().join("show.ron"), &script).expect("written");
    let mut program = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    let output = program.current_dir(folder.path()).args(["check", "--explain", "show.ron"]).output().expect("it runs");
    let words = String::from_utf8(output.stdout).expect("text");
    let rows = words.lines().skip_while(|line| !line.starts_with("flash is used by")).skip(1);
    let rows = rows.take_while(|line| !line.is_empty());
    let rows: Vec<Row> = rows.map(Row::read).collect();
    assert!(!rows.is_empty(), "{words}{}", String::from_utf8_lossy(&output.stderr));
    (rows, script)
}

fn require_whole(rows: &[Row], script: &str) {
    let (reel, rows) = rows.split_last().expect("rows");
    assert_eq!(reel.name, "the reel");
    let parts: Vec<&[Row]> = rows.chunk_by(|_, next| next.name.starts_with(' ')).collect();
    assert_eq!(parts.iter().map(|part| part[0].bytes).sum::<usize>(), reel.bytes, "the parts are the reel");
    assert!(parts.is_sorted_by(|one, next| one[0].bytes >= next[0].bytes), "the largest part first");
    let lines: Vec<&str> = script.lines().collect();
    for part in parts {
        let (head, below) = (&part[0], &part[1..]);
        for kind in ["  layer ", "  as "] {
            let rows: Vec<&Row> = below.iter().filter(|row| row.name.starts_with(kind)).collect();
            let sum: usize = rows.iter().map(|row| row.bytes).sum();
            assert!(rows.is_sorted_by(|one, next| one.bytes >= next.bytes), "{}: the largest first", head.name);
            assert!(sum == head.bytes || head.place.is_none() && rows.is_empty(), "{}{kind}: {sum}", head.name);
        }
        for row in below.iter().filter(|row| row.name.starts_with("  layer ")) {
            let kind = row.name.split_whitespace().nth(1).expect("a layer's name begins with its kind");
            let line = row.place.as_ref().and_then(|place| place.strip_prefix("show.ron:")).expect("a place");
            let line = lines[line.parse::<usize>().expect("a line") - 1];
            assert!(line.trim_start().starts_with(kind), "{kind} is not at `{line}`");
        }
    }
}

#[test]
fn every_byte_of_a_lean_reel_is_told_by_layer_and_by_kind() {
    let (rows, script) = explained("helm.ron", ("Show(", "Show(profile: Lean,"));
    require_whole(&rows, &script);
    assert!(rows[0].name == "scene depth" && rows[1].name.starts_with("  layer Sprite"), "the boat costs most");
    let (rows, script) = explained("bench/marquee.ron", ("Show(", "Show(profile: Lean,"));
    require_whole(&rows, &script);
    assert!(rows.iter().any(|row| row.name.contains("strips of moving pictures")), "a marquee is a strip");
}

#[test]
fn every_byte_of_a_dense_reel_is_told_by_layer_and_by_kind() {
    let (rows, script) = explained("helm.ron", ("Show(", "Show(profile: Dense,"));
    require_whole(&rows, &script);
    assert!(rows.iter().any(|row| row.name == "  as probability model"));
}

/// What `check --explain` says of a script.
fn explained_script(script: &str) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("show.ron"), script).expect("written");
    let mut program = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    let output = program.current_dir(folder.path()).args(["check", "--explain", "show.ron"]).output().expect("it runs");
    String::from_utf8(output.stdout).expect("text")
}

/// The bytes of the reel in what it says.
fn reel_bytes(words: &str) -> usize {
    let line = words.lines().find(|line| line.starts_with("the reel")).expect("the last row");
    Row::read(line).bytes
}

#[test]
fn a_layer_moved_as_is_said_spares_the_bytes_that_are_said() {
    let script = |stripes: &str| {
        format!(
            r#"Show(name: "off", frame_rate: 10, start: "only", panel: "0.42in-72x40-ssd1306", profile: Lean, bus: I2c(clock: 400_000, write_limit: 32),
            microcontroller: Part(name: "ATmega328P", flash_left: 8_000, ram_left: 300), fonts: {{"small": Shipped("cleat")}},
            scenes: [Scene(name: "only", seconds: 20, layers: [
                Stripes(at: {stripes}, size: (40, 10), width: 4, pixels_a_second: 10),
                Text(text: "HULL", font: "small", at: Top)])])"#
        )
    };
    let (here, there) = (explained_script(&script("Centre")), explained_script(&script("Centre(0, -1)")));
    let spared = reel_bytes(&here) - reel_bytes(&there);
    let row = here
        .lines()
        .find(|line| line.starts_with("Stripes 1 of scene only, 1 pixel up: 2 pages of memory instead of 3"));
    let row = row.unwrap_or_else(|| panic!("{here}"));
    assert!(row.contains(&format!("  {spared} B  ")), "{spared}: {row}");
    assert!(there.contains("No layer would take less flash if you moved it by a few pixels."), "{there}");
}
