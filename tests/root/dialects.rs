//! The emitted sources in every dialect that they are for: C99 and C11 by four compilers, C++11 and later around them, Rust of two
//! editions by the compiler, the formatter with its own settings, and the lints; all with warnings as errors.

use super::firmware::shows::write_sources;
use super::firmware::simulator::PLAYER;
use pageloom::emit::{Firmware, FirmwareField, FirmwareLamp, FirmwareLive};
use pageloom::panel::PlayerParts;
use std::path::Path;
use std::process::Command;

const STRICT: &str = "-Wall -Wextra -Wconversion -Werror -pedantic -Os -c";
const PARTS: [(&str, &str, &str); 4] = [
    ("gcc", "g++", ""),
    ("clang", "clang++", ""),
    ("avr-gcc", "avr-g++", "-mmcu=atmega328p"),
    ("arm-none-eabi-gcc", "arm-none-eabi-g++", "-mcpu=cortex-m3 -mthumb -ffreestanding"),
];

fn run(folder: &Path, tool: &str, arguments: &str) -> String {
    let ran = Command::new(tool).current_dir(folder).args(arguments.split_whitespace()).output();
    let ran = ran.unwrap_or_else(|error| panic!("the tests need {tool}: {error}"));
    let words = String::from_utf8_lossy(&ran.stdout).into_owned() + &String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{tool} {arguments}:\n{words}");
    words
}

/// What the second show is drawn on.
#[derive(Clone, Copy, PartialEq)]
enum DrawnOn {
    Memory,
    CopyByTrees,
    CopyByTables,
}

use DrawnOn::{CopyByTables, CopyByTrees, Memory};

/// Shows that need all parts between them; the reels hold nothing that is played here.
fn shows(on: DrawnOn) -> Vec<Firmware> {
    let dense = on != Memory;
    let names = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
    let parts = PlayerParts {
        beam: true,
        changes: true,
        grains: true,
        rolls: true,
        rounds: true,
        areas: 3,
        live: 1,
        history: 30,
        dims: true,
        ..PlayerParts::NONE
    };
    let lean = Firmware {
        name: "helm".into(),
        spi: dense,
        nine_bits: dense,
        reel: vec![1; 40],
        scenes: names(&["boot", "int"]),
        triggers: names(&["leak"]),
        cues: names(&["ping"]),
        parts,
        fields: vec![FirmwareField { name: "depth".into(), cells: 3, table: vec![0; 20] }],
        live: vec![FirmwareLive { name: "level".into(), lowest: -5, highest: 99, start: 0 }],
        texts: vec![("volts".into(), b"\0\x01\0\x03012".to_vec())],
        thresholds: vec![0; 8],
        lamps: vec![FirmwareLamp { name: "beacon".into(), table: vec![0; 7], scenes: vec![0], cues: vec![0] }],
        ..Firmware::default()
    };
    let picture = dense.then_some((72, 5));
    let parts = PlayerParts { dense, film: on == CopyByTables, beam: dense, ..PlayerParts::NONE };
    // The names of its scenes are those of the other device.
    vec![
        Firmware {
            name: "mast".into(),
            picture,
            parts,
            fields: vec![],
            live: vec![],
            texts: vec![],
            thresholds: vec![],
            ..lean.clone()
        },
        lean,
    ]
}

/// A firmware in C++ that uses something of every header.
const CPP: &str = "#include \"helm.h\"\n#include \"mast.h\"\n\
#ifdef PAGELOOM_SPI\nextern \"C\" uint8_t pageloom_bus_select(uint8_t data) { return data; }\n#else\n\
    extern \"C\" uint8_t pageloom_bus_start(uint8_t address) { return address; }\n#endif\n\
    extern \"C\" uint8_t pageloom_bus_write(uint8_t byte) { return byte; }\n\
    extern \"C\" uint8_t pageloom_bus_stop(void) { return 1; }\n\
    static pageloom_player player;\nstatic pageloom_field depth;\nstatic uint8_t cells[2 * HELM_FIELD_DEPTH_CELLS];\n\
    int main() {\n    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);\n    pageloom_field_start(&depth, helm_field_depth, cells);\n    \
    pageloom_set_text(&player, helm_text_volts, \"2\");\n    \
    pageloom_trigger(&player, MAST_TRIGGER_LEAK);\n    pageloom_start(&player, mast_reel, MAST_REEL_SIZE);\n    \
    return pageloom_tick(&player, 0, 16) == PAGELOOM_FAULT && player.scene == HELM_SCENE_BOOT ? pageloom_lamp_level(helm_lamp_beacon, 0) : 1;\n}\n";

#[test]
fn c_is_clean_in_each_dialect_and_cpp_links_with_it() {
    for on in [Memory, CopyByTrees, CopyByTables] {
        let folder = tempfile::tempdir().expect("a folder");
        write_sources(&shows(on), folder.path());
        std::fs::write(folder.path().join("main.cpp"), CPP).expect("written");
        for (c, cpp, part) in PARTS {
            for standard in ["c99", "c11"] {
                run(folder.path(), c, &format!("{part} -std={standard} {STRICT} helm.c mast.c {PLAYER}"));
            }
            for standard in ["c++11", "c++14", "c++17"] {
                run(folder.path(), cpp, &format!("{part} -std={standard} {STRICT} main.cpp"));
            }
            if !cpp.starts_with("arm") {
                run(folder.path(), cpp, &format!("{part} main.o helm.o mast.o pageloom_player.o -o whole"));
            }
        }
    }
}

#[test]
fn rust_is_formatted_and_free_of_lints_in_two_editions() {
    for on in [Memory, CopyByTrees, CopyByTables] {
        let folder = tempfile::tempdir().expect("a folder");
        write_sources(&shows(on), folder.path());
        let modules = ["helm", "mast", "pageloom_config", "pageloom_player"];
        let lib: String = modules.iter().map(|name| format!("pub mod {name};\n")).collect();
        std::fs::write(folder.path().join("lib.rs"), format!("//! Shows.\n#![no_std]\n#![deny(warnings)]\n{lib}"))
            .expect("written");
        // Nothing but the formatter's own settings.
        std::fs::write(folder.path().join("rustfmt.toml"), "").expect("written");
        for edition in ["2021", "2024"] {
            let adapter = if on != Memory { "pageloom_spi.rs pageloom_nine_bits.rs" } else { "pageloom_i2c.rs" };
            run(folder.path(), "rustfmt", &format!("--check --edition {edition} lib.rs {adapter}"));
            let lints = "-D warnings -D clippy::all -D clippy::pedantic";
            run(
                folder.path(),
                "clippy-driver",
                &format!("--edition {edition} --crate-type lib --emit metadata {lints} lib.rs"),
            );
        }
    }
}
