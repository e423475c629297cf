//! Live fields: what the display shows of them, the same bytes from C and from Rust, and what is reported where one cannot be.

use super::firmware::shows::write_sources;
use super::firmware::simulator::{Event, PLAYER, Run, build_avr, simulate};
use super::firmware::tools::{compile, root, run, workshop};
use pageloom::budget::{budgets, choose, compile as compile_reel};
use pageloom::diag::{Findings, render};
use pageloom::emit::{Firmware, FirmwareField};
use pageloom::emulator::Emulator;
use pageloom::panel::panels;
use pageloom::player::{Bus, Field, Player, Status};
use pageloom::reel::{FieldTable, Options, Reel};
use pageloom::render::{Bitmap, write_live};
use pageloom::show::{Show, load};
use pageloom::source::{Disk, FilesInMemory, Reader};
use std::path::Path;

const SCRIPT: &str = "tests/cases/good/fields.ron";
/// The same with fields that share bytes of the display.
const SHARING: &str = "tests/cases/good/fields-share.ron";

const LIVE_TEXTS: &str = "tests/cases/good/text.ron";

fn built(script: &str) -> (Show, Vec<Vec<Bitmap>>, Reel) {
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = load(&mut reader, Path::new(script), &mut findings);
    let show = show.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)));
    let frames = pageloom::render::render(&show);
    let reel = compile_reel(&show, &frames, &mut findings);
    let reel = reel.unwrap_or_else(|| panic!("{}", render(&findings, &reader.sources, false)));
    (show, frames, reel)
}

/// Prints transactions, refuses each 1999th byte if asked to, and hands on to the controller model.
struct Printer {
    text: String,
    bytes: u32,
    refuses: bool,
    glass: Emulator,
}

impl Printer {
    fn sent(&mut self) -> Result<(), ()> {
        self.bytes += 1;
        if self.refuses && self.bytes.is_multiple_of(1999) {
            self.text.push('!');
            return Err(());
        }
        Ok(())
    }
}

impl Bus for Printer {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        self.glass.start(address);
        self.text.push_str(&format!("{address:02X}<"));
        self.sent()
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        self.glass.write(byte);
        self.text.push_str(&format!(" {byte:02X}"));
        self.sent()
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.glass.stop();
        self.text.push_str(" >\n");
        Ok(())
    }
}

/// The schedule of `harness/fields.c`. After each idle call the display is held against the picture and the texts.
fn expected(show: &Show, frames: &[Vec<Bitmap>], reel: &Reel, refuses: bool) -> String {
    let mut bus = Printer { text: String::new(), bytes: 0, refuses, glass: Emulator::new(show.panel()) };
    let mut player = Player::new(&reel.bytes);
    let field =
        |table: &'static str| -> &FieldTable { reel.fields.iter().find(|known| known.name == table).expect("a field") };
    let mut depth = Field::new(&field("depth").bytes, [0u8; 10]);
    let mut volts = Field::new(&field("volts").bytes, [0u8; 8]);
    let (mut depth_text, mut volts_text) = (String::new(), String::new());
    let mut whole = 0;
    for step in 0..3000u32 {
        if step.is_multiple_of(23) {
            depth_text = format!("{}.{}m", step % 977, step % 7);
            depth.set(depth_text.as_bytes());
        }
        if step.is_multiple_of(41) {
            volts_text = format!("{} V?", step % 100);
            volts.set(volts_text.as_bytes());
        }
        if step % 701 == 600 {
            player.trigger(0);
        }
        let mut status = player.tick(&mut bus, (64_000 + step * 5) as u16, 16);
        if status == Status::Idle {
            status = depth.tick_beside(&mut player, &mut bus, &[&volts]);
        }
        if status == Status::Idle {
            status = volts.tick_beside(&mut player, &mut bus, &[&depth]);
        }
        match status {
            Status::Fault => {
                bus.text.push_str("fault\n");
                player.restart();
            }
            Status::Idle if player.scene() == 0 => {
                whole += 1;
                require_texts(show, frames, &bus.glass, [&depth_text, &volts_text]);
            }
            _ => {}
        }
    }
    assert!(whole > 500, "the fields were whole {whole} times");
    bus.text
}

/// The display shows one of the scene's frames with the two texts on it.
fn require_texts(show: &Show, frames: &[Vec<Bitmap>], glass: &Emulator, texts: [&str; 2]) {
    let shown = glass.as_mounted(show.mounting());
    let matches = frames[0].iter().any(|frame| {
        let mut picture = frame.clone();
        for (field, text) in show.scenes()[0].fields.iter().zip(texts) {
            write_live(show, field, text, &mut picture);
        }
        picture == shown
    });
    assert!(matches, "with {texts:?} the display shows\n{shown}");
}

fn firmware(show: &Show, reel: &Reel) -> Firmware {
    let fields = reel.fields.iter().map(|table| FirmwareField {
        name: table.name.clone(),
        cells: table.cells,
        table: table.bytes.clone(),
    });
    Firmware {
        name: show.name().to_owned(),
        reel: reel.bytes.clone(),
        scenes: show.scenes().iter().map(|scene| scene.name.clone()).collect(),
        triggers: show.triggers().to_vec(),
        fields: fields.collect(),
        ..Firmware::default()
    }
}

/// Bytes of code on an ATmega328P by avr-size, without what lies in flash as data.
fn code_bytes(object: &Path) -> u32 {
    let listed = run("avr-size", &["-A".as_ref(), object.as_os_str()], "").good("avr-size");
    let row = listed.lines().find_map(|line| line.strip_prefix(".text "));
    row.and_then(|row| row.split_whitespace().next()?.parse().ok()).unwrap_or_else(|| panic!("no code in\n{listed}"))
}

#[test]
fn the_code_of_fields_takes_what_the_budget_says() {
    for (script, shared, folder) in [(SCRIPT, false, "fields-size"), (SHARING, true, "fields-share-size")] {
        require_size(script, shared, folder);
    }
}

fn require_size(script: &str, shared: bool, folder: &str) {
    let (show, ..) = built(script);
    let folder = workshop(folder);
    let define = if shared { "-DPAGELOOM_FIELDS -DPAGELOOM_SHARED_FIELDS" } else { "-DPAGELOOM_FIELDS" };
    let flags = "-mmcu=atmega328p -Os -std=c99 -Wall -Wextra -Werror -pedantic -c -o";
    let [alone, with] = ["player", "fields"].map(|name| folder.join(name).with_extension("o"));
    compile("avr-gcc", flags, &[&alone, Path::new("src/player/player.c")]);
    compile("avr-gcc", &format!("{define} {flags}"), &[&with, Path::new("src/player/player.c")]);
    let measured = code_bytes(&with) - code_bytes(&alone);
    let told = pageloom::budget::field_code_bytes(&show, shared);
    // 5 %, as for the player: compilers differ a little from version to version.
    assert!(measured.abs_diff(told) * 20 <= told, "measured {measured}, told {told}");
}

#[test]
fn the_glass_shows_what_firmware_wrote_and_both_languages_send_the_same() {
    for (script, folder) in [(SCRIPT, "fields"), (SHARING, "fields-share")] {
        require_same_in_c(script, folder);
    }
}

fn require_same_in_c(script: &str, folder: &str) {
    let (show, frames, reel) = built(script);
    let expected = expected(&show, &frames, &reel, true);
    assert!(expected.contains("fault\n"));
    let folder = workshop(folder);
    write_sources(&[firmware(&show, &reel)], &folder);
    std::fs::write(folder.join("main.c"), include_str!("harness/fields.c")).expect("written");
    let program = folder.join("fields");
    let flags =
        "-std=c99 -Wall -Wextra -Werror -pedantic -O1 -fsanitize=address,undefined -fno-sanitize-recover=all -o";
    let sources = ["main.c", "fields.c", PLAYER].map(|name| folder.join(name));
    compile("cc", flags, &[&program, &sources[0], &sources[1], &sources[2]]);
    let found = run(&program, &[], "").good("the C fields");
    let parted = found.lines().zip(expected.lines()).position(|(found, expected)| found != expected);
    assert!(found == expected, "C and Rust part at line {parted:?}");
}

/// The transactions of a run, in the words of [`Printer`].
pub fn printed(run: &Run) -> String {
    let mut text = String::new();
    for (_, event) in &run.events {
        match event {
            Event::Start(address, _) => text.push_str(&format!("{address:02X}<")),
            Event::Byte(byte, _) => text.push_str(&format!(" {byte:02X}")),
            Event::Stop => text.push_str(" >\n"),
            _ => {}
        }
    }
    text
}

/// Prints what a call of a field costs with `cargo test --test root atmega328p_fills -- --nocapture`.
#[test]
fn an_atmega328p_fills_fields_with_the_same_bytes_in_the_time_that_the_budget_says() {
    let (show, frames, reel) = built(SCRIPT);
    let folder = workshop("fields-atmega328p");
    write_sources(&[Firmware { name: "helm".into(), ..firmware(&show, &reel) }], &folder);
    let example = root().join("examples/atmega328p");
    let sources =
        [root().join("tests/firmware/fields.c"), example.join("bus.c"), folder.join("helm.c"), folder.join(PLAYER)];
    let options = format!("-mmcu=atmega328p -DF_CPU=16000000UL -I{}", example.display());
    let options = format!("{options} -fno-inline-functions-called-once");
    let built = build_avr(&folder, &options, &sources);
    let run = simulate(&built, &format!("-w {} -p pageloom_field_tick", show.bus().write_limit)).good();
    let (found, expected) = (printed(&run), expected(&show, &frames, &reel, false));
    let parted = found.lines().zip(expected.lines()).position(|(found, expected)| found != expected);
    assert!(found == expected, "the part and Rust differ at line {parted:?}");

    let figure = |name: &str| run.figure(&format!("FUNCTION pageloom_field_tick {name}"));
    let (longest, on_wire, silent) = (figure("most"), figure("most_wire"), figure("silent_most"));
    let software = longest - on_wire;
    println!(
        "ATmega328P at 16 MHz, bus at 400 kHz: the longest call of a field {longest} cycles, {on_wire} on the wire"
    );
    println!("  beyond the wire {software}; a call without anything to send {silent} at most");
    let told = pageloom::budget::field_call_cycles(&show).expect("measured on this part");
    // 5 %, as for the player.
    assert!(software.abs_diff(u64::from(told)) * 20 <= u64::from(told), "measured {software}, told {told}");
}

#[test]
fn the_alphabet_and_the_samples_of_a_field_are_judged() {
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = load(&mut reader, Path::new(SCRIPT), &mut findings).expect("a show");
    let frames = pageloom::render::render(&show);
    let choice = choose(Options::default(), &show, &frames, &mut findings).expect("a reel");
    let budgets = budgets(&show, &choice, &frames, None, &mut findings);
    let told = render(&findings, &reader.sources, false);
    for words in
        ["the sample `7.25 m` has 6 characters, but the field `depth` holds 5", "use `width: 6`", "field `depth`"]
    {
        assert!(told.contains(words), "{words} is not in\n{told}");
    }
    let figures: Vec<_> = budgets.into_iter().flat_map(|budget| budget.figures).collect();
    let named = |name: &str| figures.iter().find(|figure| figure.name.starts_with(name)).expect(name);
    // Four cells of Cleat, one every 4 columns, on a display with a pixel every 0.128 mm.
    assert!((named("field `volts` of scene values: width").value - 4.0 * 4.0 * 0.128).abs() < 0.02, "{figures:?}");
    assert!(named("field `depth` of scene values: nearest pair").value >= 2.0);
    assert!(named("`depth` of scene values").value > 5.0, "minutes of arc");
}

#[test]
fn the_alphabet_and_the_samples_of_a_live_text_are_judged() {
    let files = beside_fonts(LIVE_TEXTS, "(1, \"9.6V\")", "(1, \"100.6V\")");
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let show = load(&mut reader, Path::new(LIVE_TEXTS), &mut findings).expect("a show");
    let frames = pageloom::render::render(&show);
    let choice = choose(Options::default(), &show, &frames, &mut findings).expect("a reel");
    let budgets = budgets(&show, &choice, &frames, None, &mut findings);
    let told = render(&findings, &reader.sources, false);
    let words = "the sample `100.6V` has 6 characters, but the live text `volts` holds 5";
    assert_eq!(told.matches(words).count(), 1, "{told}");
    let figures: Vec<_> = budgets.into_iter().flat_map(|budget| budget.figures).collect();
    for scene in ["bridge", "gauge"] {
        let name = format!("live text `volts` of scene {scene}: nearest pair");
        assert!(figures.iter().any(|figure| figure.name.starts_with(&name) && figure.value >= 2.0), "{figures:?}");
    }
}

#[test]
fn a_field_that_covers_a_layer_is_told() {
    let (told, compiles) = changed("at: TopLeft(0, 11)", "at: TopLeft(0, 4)");
    assert!(compiles && told.contains("the characters of the field `depth` cover `Text 1 “DEPTH”`"), "{told}");
    assert!(!changed("width: 5", "width: 5").0.contains("covers"));
}

#[test]
fn a_field_that_shares_bytes_is_a_fault_without_the_others() {
    let (_, _, reel) = built(SHARING);
    let mut bus = Printer { text: String::new(), bytes: 0, refuses: false, glass: Emulator::new(&panels()[0]) };
    let mut field = Field::new(&reel.fields[0].bytes, [0u8; 10]);
    assert_eq!(field.tick(&mut Player::new(&reel.bytes), &mut bus), Status::Fault);
}

/// The findings of the show with something changed, which must be refused.
fn told(from: &str, to: &str) -> String {
    let (told, compiles) = changed(from, to);
    assert!(!compiles, "{to} is taken");
    told
}

/// A script with other words in one place, and the fonts.
fn beside_fonts(script: &str, from: &str, to: &str) -> FilesInMemory {
    let written = std::fs::read_to_string(script).expect("the script");
    assert!(written.contains(from), "{from}");
    let mut files = FilesInMemory::default().with(script, written.replace(from, to));
    for entry in std::fs::read_dir("fonts").expect("the fonts") {
        let path = entry.expect("readable").path();
        if path.is_file() {
            let content = std::fs::read(&path).expect("a font");
            files = files.with(path, content);
        }
    }
    files
}

/// The findings of the show with something changed, and whether it compiles.
fn changed(from: &str, to: &str) -> (String, bool) {
    let files = beside_fonts(SCRIPT, from, to);
    let (mut reader, mut findings) = (Reader::new(&files), Findings::default());
    let show = load(&mut reader, Path::new(SCRIPT), &mut findings);
    let reel = show.and_then(|show| compile_reel(&show, &pageloom::render::render(&show), &mut findings));
    (render(&findings, &reader.sources, false), reel.is_some())
}

#[test]
fn a_field_that_cannot_be_is_told_with_what_would_mend_it() {
    let cases = [
        ("turn: Half", "turn: Left", "use `turn: Upright` or `turn: Half`"),
        ("at: TopLeft(0, 11)", "at: TopLeft(60, 11)", "reaches outside the display"),
        ("at: TopLeft(0, 11)", "at: TopLeft(41, 11)", "changes at frame 1: `Sweep 2` moves there"),
        ("at: BottomLeft(1, -1)", "at: TopLeft(8, 14)", "the field `volts` overlaps the field `depth`"),
        ("width: 5", "width: 33", "from 1 to 32"),
        ("characters: \"0123456789m.\"", "characters: \"01²☂\"", "one byte per character"),
        ("characters: \"0123456789m.\"", "characters: \"01þ\"", "has no glyph for these characters of the field: `þ`"),
        ("(4, \"7.25 m\")", "(4, \"7,25\")", "`,` is not among the characters of the field"),
        ("name: \"volts\"", "name: \"depth\"", "two fields named `depth`"),
        ("per_call: 16", "per_call: 12", "increase `per_call` to 13"),
        ("at: TopLeft(0, 11)", "at: TopLeft(Ramp(from: 0, to: 3, seconds: 1), 11)", "a field cannot move"),
    ];
    for (from, to, words) in cases {
        let told = told(from, to);
        assert!(told.contains(words) && told.contains(&format!("{SCRIPT}:")), "{to}:\n{told}");
    }
}
