//! The emitted C and Rust: built by real compilers with warnings as errors, run, and held byte by byte against the
//! library's own player.

use super::firmware::shows::write_sources;
use super::firmware::simulator::PLAYER;
use pageloom::diag::Findings;
use pageloom::emit::{ArrayFile, CueTime, Firmware, FirmwareLamp, Language, SceneTime, font_file, frames_file};
use pageloom::font::Font;
use pageloom::panel::PlayerParts;
use pageloom::player::{Bus, Extension, Player, Status, any_player};
use pageloom::reel::compile_lean;
use pageloom::reel::{
    BACK, Cost, Header, IGNORED, Next, PageBitmap, Planner, SceneFrames, compile_densely, encode, plan_scene,
};
use pageloom::render::{Bitmap, render};
use pageloom::show::load;
use pageloom::source::{Disk, Reader};
use pageloom::units::{FrameRate, Nanoseconds};
use std::fmt::Write;
use std::path::Path;
use std::process::Command;

const WIDTH: usize = 40;

/// Blobs that drift, so that literals, fills, seeks, copies and replays all occur.
fn pictures(count: u32, seed: u64) -> Vec<PageBitmap> {
    let picture = |frame: u32| {
        let column = |x: usize| {
            let near = (x as u32 + frame) % 13 < 3;
            let speck = (seed.wrapping_mul(x as u64 + 3) >> 7).is_multiple_of(11);
            (u128::from(near) * (0xFF << ((frame + x as u32) % 24))) | (u128::from(speck) << 31)
        };
        PageBitmap::new(32, (0..WIDTH).map(column))
    };
    (0..count).map(picture).collect()
}

fn scene_frames(count: u32, seed: u64, then: Next) -> SceneFrames {
    let mut cues = vec![Vec::new(); count as usize];
    cues[count as usize / 2] = vec![1, 0];
    SceneFrames {
        live: Default::default(),
        dimming: None,
        pictures: pictures(count, seed),
        cues,
        contrast: vec![seed as u8; count as usize],
        then,
        off: vec![],
        owned: vec![],
        sweep: None,
    }
}

fn firmware() -> Firmware {
    let byte = Nanoseconds(22_500);
    let planner = Planner {
        live: Vec::new(),
        owned: vec![],
        cost: Cost::new(byte, Nanoseconds(47_500), 32, true),
        first_column: 30,
        controller: pageloom::panel::controller("SSD1306").expect("known"),
        first_line: 0,
        operations: true,
        changes: false,
        rolls: false,
        rounds: false,
    };
    let scenes = [
        plan_scene(&scene_frames(30, 77, Next::Scene(1)), &planner),
        plan_scene(&scene_frames(13, 5, Next::Repeat), &planner),
        plan_scene(&scene_frames(9, 200, Next::Hold), &planner),
    ];
    let header = Header {
        address: 0x3C,
        write_limit: 32,
        frame_rate: FrameRate::new(24).expect("a rate"),
        start: 0,
        reactions: vec![vec![2, IGNORED], vec![2, 0], vec![IGNORED, BACK]],
        live: vec![],
        set_up: vec![vec![0xAE], vec![0x20, 0x02], vec![0x8D, 0x14]],
    };
    let (reel, _) = encode(&header, &scenes);
    let names = |names: &[&str]| names.iter().map(|name| name.to_string()).collect();
    Firmware {
        live: Vec::new(),
        texts: Vec::new(),
        nine_bits: false,
        thresholds: vec![],
        name: "helm".into(),
        reel,
        sections: Vec::new(),
        scenes: names(&["boot log", "sonar", "HULL LEAK */"]),
        triggers: names(&["leak", "all clear"]),
        cues: names(&["ping", "klaxon"]),
        fields: vec![],
        scene_times: [(30, false), (13, true), (9, false)]
            .map(|(frames, repeats)| SceneTime { frames, milliseconds: frames * 1000 / 24, repeats })
            .to_vec(),
        cue_times: vec![
            CueTime { scene: 0, cue: 1, frame: 15, milliseconds: 625 },
            CueTime { scene: 2, cue: 0, frame: 4, milliseconds: 166 },
        ],
        lamps: vec![
            FirmwareLamp {
                name: "cabin */".into(),
                table: vec![0, 0, 0, 9, 0, 0x80, 9],
                scenes: vec![0, 2],
                cues: vec![],
            },
            FirmwareLamp {
                name: "cabin".into(),
                table: vec![2, 0, 0, 0, 2, 0, 255, 0, 0x80, 255],
                scenes: vec![],
                cues: vec![1],
            },
        ],
        picture: None,
        parts: PlayerParts::default(),
        display: vec![100, 2, 0x20, 0x02, 0],
        unacknowledged: false,
        spi: false,
        bus_hertz: 400_000,
        about: names(&["40×32, SSD1306 at 3C", "a line that ends in a backslash \\"]),
    }
}

/// Writes down what the bus carries, and refuses every 997th byte; address bytes count.
#[derive(Default)]
struct Recorder {
    text: String,
    bytes_sent: u32,
}

impl Recorder {
    fn sent(&mut self, byte: u8) -> Result<(), ()> {
        self.bytes_sent += 1;
        write!(self.text, " {byte:02X}").expect("a text takes all");
        if self.bytes_sent.is_multiple_of(997) { Err(()) } else { Ok(()) }
    }
}

impl Bus for Recorder {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        self.text.push('<');
        self.sent(address)
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        self.sent(byte)
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.text.push_str(" >\n");
        Ok(())
    }
}

/// What the library's player sends by the schedule of `harness/main.c` and `harness/main.rs`.
fn expected(reel: &[u8]) -> String {
    played(Player::new(reel))
}

fn played<K: Extension>(mut player: Player<'_, K>) -> String {
    let mut bus = Recorder::default();
    for step in 0..600u32 {
        if step % 97 == 50 {
            player.trigger(0);
        }
        if step % 193 == 100 {
            player.trigger(1);
        }
        for _ in 0..8 {
            match player.tick(&mut bus, (65000 + step * 11) as u16, (step % 40) as u8) {
                Status::Idle => {
                    bus.text.push_str(&format!("idle in scene {}\n", player.scene()));
                    break;
                }
                Status::Cue(cue) => bus.text.push_str(&format!("cue {cue}\n")),
                Status::Fault => {
                    bus.text.push_str("fault\n");
                    player.restart();
                }
                Status::Busy => bus.text.push_str("busy\n"),
            }
        }
    }
    bus.text
}

/// Runs a tool that the tests need; its name is told when it is missing, its words when it fails.
fn run(folder: &Path, tool: &str, arguments: &[&str]) -> String {
    let output = Command::new(tool).current_dir(folder).args(arguments).output();
    let output = output.unwrap_or_else(|why| panic!("{tool} is needed for this test: {why}"));
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert!(output.status.success(), "{tool} {arguments:?}\n{}{}", text(&output.stdout), text(&output.stderr));
    text(&output.stdout)
}

/// Asserts that two transcripts are the same, and shows where they part.
fn assert_same(found: &str, expected: &str, who: &str) {
    let parted = found.lines().zip(expected.lines()).position(|(found, expected)| found != expected);
    let tail =
        |text: &str| text.lines().skip(parted.unwrap_or(0).saturating_sub(3)).take(6).collect::<Vec<_>>().join("\n");
    assert!(found == expected, "{who} parts at line {parted:?}:\n{}\nexpected:\n{}", tail(found), tail(expected));
}

fn workplace(firmware: &Firmware) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let other = Firmware { name: "other".into(), ..firmware.clone() };
    write_sources(&[firmware.clone(), other], folder.path());
    for (name, text) in [
        ("main.c", include_str!("harness/main.c")),
        ("main.rs", include_str!("harness/main.rs")),
        (
            "bare.rs",
            "#![no_std]\n#![deny(warnings)]\npub mod helm;\npub mod other;\npub mod pageloom_config;\npub mod pageloom_player;\n",
        ),
        (
            "second.c",
            "#include \"helm.h\"\n#include \"other.h\"\nint both(void);\nint both(void) { return helm_reel[0] + other_reel[0]; }\n",
        ),
    ] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    folder
}

#[test]
fn reel_and_player_speak_of_the_same_format() {
    assert_eq!(pageloom::reel::REEL_VERSION, pageloom::player::REEL_VERSION);
    assert_eq!(pageloom::reel::LONGEST_GROUP + 2, usize::from(pageloom::player::SMALLEST_ALLOWANCE));
}

#[test]
fn c_is_clean_for_two_compilers_and_sends_what_the_library_sends() {
    let firmware = firmware();
    let folder = workplace(&firmware);
    let expected = expected(&firmware.reel);
    for word in ["fault", "cue 1", "idle in scene 2", "busy"] {
        assert!(expected.contains(word), "the schedule never comes to `{word}`");
    }
    for compiler in ["gcc", "clang"] {
        for level in ["-O0", "-Os"] {
            let strict = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", level];
            run(folder.path(), compiler, &[&strict[..], &["main.c", "helm.c", PLAYER, "-o", "show"]].concat());
            assert_same(&run(folder.path(), "./show", &[]), &expected, compiler);
        }
    }
}

/// The demo drawn from a copy of the picture, under the names that the harness speaks of.
fn dense_firmware() -> Firmware {
    let (disk, mut findings) = (Disk, Findings::default());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/helm.ron");
    let show = load(&mut Reader::new(&disk), &script, &mut findings).expect("the demo has no faults");
    let reel = compile_densely(&show, &render(&show), &mut findings).expect("the demo has no fields");
    Firmware { reel: reel.bytes, parts: reel.parts, picture: Some((72, 5)), ..firmware() }
}

/// A lean reel of the bench, under the same names.
fn lean_firmware(name: &str) -> Firmware {
    let (disk, mut findings) = (Disk, Findings::default());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bench").join(name);
    let show = load(&mut Reader::new(&disk), &script, &mut findings).expect("the show has no faults");
    let reel = compile_lean(&show, &render(&show), &mut findings).expect("it is within reach");
    Firmware { reel: reel.bytes, parts: reel.parts, ..firmware() }
}

#[test]
fn a_dense_show_is_clean_in_c_and_rust_and_sends_what_the_library_sends() {
    require_clean(&dense_firmware());
}

#[test]
fn a_lean_show_with_a_beam_is_clean_in_c_and_rust_and_sends_what_the_library_sends() {
    let firmware = lean_firmware("sweep.ron");
    assert!(firmware.parts.beam && !firmware.parts.changes);
    require_clean(&firmware);
}

#[test]
fn a_lean_show_with_a_round_is_clean_in_c_and_rust_and_sends_what_the_library_sends() {
    let firmware = lean_firmware("gauges.ron");
    assert_eq!(firmware.parts, PlayerParts { rounds: true, ..PlayerParts::NONE });
    require_clean(&firmware);
}

/// As firmware is built whose scenes need all parts.
#[test]
fn a_lean_show_built_for_all_parts_is_clean_in_c_and_rust_and_sends_what_the_library_sends() {
    let firmware = lean_firmware("sweep.ron");
    let parts = PlayerParts { rolls: true, rounds: true, areas: 2, grains: true, changes: true, ..firmware.parts };
    require_clean(&Firmware { parts, ..firmware });
}

/// A show whose player keeps something more.
fn require_clean(firmware: &Firmware) {
    let folder = workplace(firmware);
    let expected = played(any_player(&firmware.reel));
    assert!(expected.contains("idle in scene 0") && expected.contains("fault"), "{expected}");
    for compiler in ["gcc", "clang"] {
        let strict = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "-Os"];
        run(folder.path(), compiler, &[&strict[..], &["main.c", "helm.c", PLAYER, "-o", "show"]].concat());
        assert_same(&run(folder.path(), "./show", &[]), &expected, compiler);
    }
    run(folder.path(), "rustc", &["--edition", "2021", "--crate-type", "lib", "--emit", "metadata", "bare.rs"]);
    run(folder.path(), "rustc", &["--edition", "2024", "-O", "main.rs", "-o", "show"]);
    assert_same(&run(folder.path(), "./show", &[]), &expected, "Rust");
}

#[test]
fn two_shows_of_one_firmware_share_the_player() {
    let folder = workplace(&firmware());
    for compiler in ["gcc", "clang"] {
        let strict = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic"];
        run(
            folder.path(),
            compiler,
            &[&strict[..], &["helm.c", "other.c", "second.c", "main.c", PLAYER, "-o", "both"]].concat(),
        );
    }
}

/// What harness/two.c prints of a show, as the library plays it.
#[derive(Default)]
struct Sum(u32);

impl Bus for Sum {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        if address == 0x3C { Ok(()) } else { Err(()) }
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        self.0 = self.0.wrapping_mul(31).wrapping_add(u32::from(byte));
        Ok(())
    }
    fn stop(&mut self) -> Result<(), ()> {
        Ok(())
    }
}

#[test]
fn two_shows_that_need_different_parts_are_played_by_one_firmware() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("two.c"), include_str!("harness/two.c")).expect("written");
    let (mut expected, mut shows) = (String::new(), Vec::new());
    for name in ["sweep", "boot"] {
        let script = if name == "boot" { "boot-128x64.ron" } else { "sweep.ron" };
        let firmware = Firmware { name: name.into(), ..lean_firmware(script) };
        assert!(firmware.parts.beam != firmware.parts.rolls, "{name} needs one of them");
        let (mut player, mut bus) = (any_player(&firmware.reel), Sum::default());
        let idle = (0..10_000).filter(|now| player.tick(&mut bus, *now, 32) == Status::Idle).count();
        expected.push_str(&format!("{} {idle}\n", bus.0));
        shows.push(firmware);
    }
    write_sources(&shows, folder.path());
    for compiler in ["gcc", "clang"] {
        let words = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic"];
        run(folder.path(), compiler, &[&words[..], &["sweep.c", "boot.c", "two.c", PLAYER, "-o", "two"]].concat());
        assert_eq!(run(folder.path(), "./two", &[]), expected, "{compiler}");
    }
}

#[test]
fn rust_is_clean_without_std_and_sends_what_the_library_sends() {
    let firmware = firmware();
    let folder = workplace(&firmware);
    for edition in ["2021", "2024"] {
        let bare = ["--edition", edition, "--crate-type", "lib", "--emit", "metadata", "bare.rs"];
        run(folder.path(), "rustc", &bare);
        run(folder.path(), "rustc", &["--edition", edition, "-O", "main.rs", "-o", "show"]);
        assert_same(&run(folder.path(), "./show", &[]), &expected(&firmware.reel), edition);
    }
}

/// Prints a character's columns from the emitted tables, found by its code.
const FONT_MAIN: &str = "#include \"font.h\"\n#include \"frames.h\"\n#include <stdio.h>\nint main(void) {\n    unsigned i, j;\n\
    for (i = 0; i < BINNACLE_GLYPHS; i++) {\n        if (binnacle_glyphs[i].code == 'g') {\n            \
    for (j = 0; j < binnacle_glyphs[i].columns * (unsigned)BINNACLE_PAGES; j++)\n                \
    printf(\"%02X \", binnacle_columns[binnacle_glyphs[i].offset + j]);\n        }\n    }\n    \
    printf(\"%u %u\\n\", boot_0[0], (unsigned)sizeof boot_0);\n    return 0;\n}\n";
const FONT_MAIN_RUST: &str = "#![deny(warnings)]\nmod font;\nmod frames;\nfn main() {\n    \
    for glyph in font::GLYPHS.iter().filter(|glyph| glyph.code == u32::from('g')) {\n        \
    let from = glyph.offset as usize;\n        \
    for byte in &font::COLUMNS[from..from + glyph.columns as usize * font::PAGES] { print!(\"{byte:02X} \"); }\n    }\n    \
    println!(\"{} {}\", frames::BOOT_0[0], frames::BOOT_0.len());\n}\n";

#[test]
fn bare_arrays_are_clean_and_hold_a_glyphs_columns() {
    let font = Font::shipped("binnacle");
    let picture: Bitmap = "#.\n.#\n##\n".parse().expect("drawn");
    let arrays = [ArrayFile::picture("boot 0", &picture)];
    let folder = tempfile::tempdir().expect("a folder");
    for (language, ending) in [(Language::C, "h"), (Language::Rust, "rs")] {
        let write = |name: &str, text: &str| std::fs::write(folder.path().join(format!("{name}.{ending}")), text);
        write("font", &font_file(language, &font).expect("a table")).expect("written");
        write("frames", &frames_file(language, "Frames", &arrays)).expect("written");
    }
    std::fs::write(folder.path().join("main.c"), FONT_MAIN).expect("written");
    std::fs::write(folder.path().join("main.rs"), FONT_MAIN_RUST).expect("written");
    let glyph = font.glyph('g').expect("a letter");
    let pages = 0..font.height().div_ceil(8);
    let bytes = pages.flat_map(|page| glyph.columns().iter().map(move |column| (column >> (8 * page)) as u8));
    let expected: String = bytes.map(|byte| format!("{byte:02X} ")).collect::<String>() + "5 2\n";
    for compiler in ["gcc", "clang"] {
        let strict = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "main.c", "-o", "show"];
        run(folder.path(), compiler, &strict);
        assert_eq!(run(folder.path(), "./show", &[]), expected, "{compiler}");
    }
    run(folder.path(), "rustc", &["--edition", "2024", "main.rs", "-o", "show"]);
    assert_eq!(run(folder.path(), "./show", &[]), expected);
}
