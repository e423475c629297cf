//! Lamps in the written languages: their tables, and which scene or cue begins which.

use super::c::Identifiers;
use super::firmware::{Firmware, FirmwareLamp};
use super::namer::{Case, Namer};
use super::text::{byte_rows, comment};
use super::times::{identifiers, rows};

/// The lamps with the names of their tables.
fn named(firmware: &Firmware, prefix: &str, case: Case) -> Vec<String> {
    let mut namer = Namer::default();
    firmware.lamps.iter().map(|lamp| namer.name(prefix, &lamp.name, case)).collect()
}

/// The tables' declarations, and rows of what begins each.
pub fn lamp_header(firmware: &Firmware, stem: &str, capitals: &str, names: &Identifiers) -> String {
    let tables = named(firmware, &format!("{stem}_lamp_"), Case::Snake);
    let mut text = String::new();
    for (table, lamp) in tables.iter().zip(&firmware.lamps) {
        let (words, size) = (comment(&lamp.name), lamp.table.len());
        text.push_str(&format!("/* The lamp {words}. */\nextern const uint8_t {table}[{size}];\n"));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    let lamps = tables.iter().zip(&firmware.lamps);
    let begun = |of: fn(&FirmwareLamp) -> &[usize], names: &[String]| -> Vec<String> {
        lamps
            .clone()
            .flat_map(|(table, lamp)| of(lamp).iter().map(move |by| format!("{}, {table}", names[*by])))
            .collect()
    };
    let by_scene = begun(|lamp| &lamp.scenes, &names.scenes);
    let by_cue = begun(|lamp| &lamp.cues, &names.cues);
    for (of, by, words) in [("SCENE", by_scene, "scene"), ("CUE", by_cue, "cue")] {
        if !by.is_empty() {
            text.push_str(&format!(
                "/* The lamps that a {words} starts: ROW({words}, table), to be used as in\n \
                 * `#define ROW({words}, table) if (player.{words} == ({words})) begin(table);` */\n"
            ));
            text.push_str(&rows(&format!("{capitals}_LAMPS_BY_{of}"), &by));
        }
    }
    text
}

/// The tables themselves in C.
pub fn lamp_source(firmware: &Firmware, stem: &str) -> String {
    let tables = named(firmware, &format!("{stem}_lamp_"), Case::Snake);
    let table = |(name, lamp): (&String, &FirmwareLamp)| {
        let (size, bytes) = (lamp.table.len(), byte_rows(&lamp.table));
        let bytes = bytes.trim_end().trim_end_matches(',');
        let words = comment(&lamp.name);
        format!("\n/* the lamp {words} */\nconst uint8_t {name}[{size}] PAGELOOM_FLASH = {{\n{bytes}\n}};\n")
    };
    tables.iter().zip(&firmware.lamps).map(table).collect()
}

/// The tables in Rust, and what begins each.
pub fn rust_lamps(firmware: &Firmware) -> String {
    let tables = named(firmware, "LAMP_", Case::Capitals);
    let mut text = String::new();
    for (table, lamp) in tables.iter().zip(&firmware.lamps) {
        let (words, size, bytes) = (comment(&lamp.name), lamp.table.len(), byte_rows(&lamp.table));
        text.push_str(&format!(
            "\n/// The lamp {words}: for `pageloom_player::lamp::level(&{table}, elapsed)`.\n#[rustfmt::skip]\npub static {table}: [u8; {size}] = [\n{bytes}];\n"
        ));
    }
    let lamps = tables.iter().zip(&firmware.lamps);
    let begun = |of: fn(&FirmwareLamp) -> &[usize], kind: &str, names: &[String]| -> Vec<String> {
        let row = |(table, by): (&String, &usize)| format!("    ({kind}::{}, &{table}),\n", names[*by]);
        lamps.clone().flat_map(|(table, lamp)| of(lamp).iter().map(move |by| row((table, by)))).collect()
    };
    let by_scene = begun(|lamp| &lamp.scenes, "Scene", &identifiers(&firmware.scenes));
    let by_cue = begun(|lamp| &lamp.cues, "Cue", &identifiers(&firmware.cues));
    for (kind, by) in [("Scene", by_scene), ("Cue", by_cue)] {
        if !by.is_empty() {
            let (constant, lower) = (kind.to_ascii_uppercase(), kind.to_ascii_lowercase());
            let (count, rows) = (by.len(), by.concat());
            text.push_str(&format!(
                "\n/// The lamps that a {lower} starts.\n#[rustfmt::skip]\npub static LAMPS_BY_{constant}: [({kind}, &[u8]); {count}] = [\n{rows}];\n"
            ));
        }
    }
    text
}
