//! Writes the show in C99 and C++11: a header with its names, and a source file with its reel. The files of the player are
//! separate.

use super::firmware::{Firmware, FirmwareField};
use super::lamps::{lamp_header, lamp_source};
use super::namer::{Case, Namer};
use super::needs::{Needs, PARTS, stem};
use super::text::{byte_rows, comment};
use super::times::times;
use crate::player::REEL_VERSION;

/// A header and a source file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct C {
    pub header: String,
    pub source: String,
}

/// Writes a show in C99; the header's file is named after the show's name in small letters with `_`.
pub fn c(firmware: &Firmware) -> C {
    let stem = stem(&firmware.name);
    let capitals = stem.to_ascii_uppercase();
    C { header: header(firmware, &stem, &capitals), source: source(firmware, &stem, &capitals) }
}

fn header(firmware: &Firmware, stem: &str, capitals: &str) -> String {
    let name = comment(&firmware.name);
    let about: String = firmware.about.iter().map(|line| format!(" * {}\n", comment(line))).collect();
    let mut text = format!(
        "/*\n * {stem}.h - the show `{name}`, written by pageloom from its script: edit the script, not this file.\n *\n{about} *\n \
         * Plays with `pageloom_start(&player, {stem}_reel, {capitals}_REEL_SIZE)`; see pageloom_player.h.\n */\n#ifndef {capitals}_SHOW_H\n#define {capitals}_SHOW_H\n\n"
    );
    text.push_str("#include \"pageloom_player.h\"\n\n");
    text.push_str(&checks(&Needs::of(firmware)));
    text.push_str("#ifdef __cplusplus\nextern \"C\" {\n#endif\n\n");
    let names = Identifiers::of(firmware, capitals);
    text.push_str(&numbers(&names.scenes, &firmware.scenes, "The scenes, as in player.scene."));
    text.push_str(&numbers(&names.triggers, &firmware.triggers, "The triggers, for pageloom_trigger."));
    text.push_str(&numbers(&names.cues, &firmware.cues, "The cues, as in player.cue."));
    text.push_str(&live_values(firmware, capitals));
    text.push_str(&times(firmware, capitals, &names));
    text.push_str(&lamp_header(firmware, stem, capitals, &names));
    for (name, field) in field_names(firmware) {
        let (cells, size, name_of_size) = (field.cells, field.table.len(), name.to_ascii_uppercase());
        text.push_str(&format!(
            "/* The field {words}: number of characters, and its table in flash. */\n#define {capitals}_FIELD_{name_of_size}_CELLS {cells}\n\
             extern const uint8_t {stem}_field_{name}[{size}];\n\n",
            words = comment(&field.name),
        ));
    }
    for (name, words, table) in text_names(firmware) {
        text.push_str(&format!(
            "/* The live text {}, for pageloom_set_text. */\nextern const uint8_t {stem}_text_{name}[{}];\n\n",
            comment(words),
            table.len()
        ));
    }
    if !firmware.thresholds.is_empty() {
        let size = firmware.thresholds.len();
        text.push_str(&format!(
            "/* The thresholds, for pageloom_thresholds_start. */\nextern const uint8_t {stem}_thresholds[{size}];\n\n"
        ));
    }
    if !firmware.display.is_empty() {
        let size = firmware.display.len();
        text.push_str(&format!(
            "/* The display, for pageloom_supervise_start. */\nextern const uint8_t {stem}_display[{size}];\n\n"
        ));
    }
    text.push_str(&format!(
        "/* The reel, in flash. */\n#define {capitals}_REEL_SIZE {size}u\nextern const uint8_t {stem}_reel[{capitals}_REEL_SIZE];\n\n\
         #ifdef __cplusplus\n}}\n#endif\n\n#endif\n",
        size = firmware.reel.len()
    ));
    text
}

/// The live values: number, and the lowest and highest value of each.
fn live_values(firmware: &Firmware, capitals: &str) -> String {
    if firmware.live.is_empty() {
        return String::new();
    }
    let (mut namer, mut text) = (
        Namer::default(),
        String::from("/* The live values, for pageloom_set and pageloom_get: number, lowest and highest value. */\n"),
    );
    for (number, live) in firmware.live.iter().enumerate() {
        let name = namer.name(&format!("{capitals}_LIVE_"), &live.name, Case::Capitals);
        text.push_str(&format!(
            "#define {name} {number} /* {} */\n#define {name}_LOWEST ({})\n#define {name}_HIGHEST ({})\n",
            comment(&live.name),
            live.lowest,
            live.highest
        ));
    }
    text + "\n"
}

/// What C calls a show's cues.
pub fn cue_names(firmware: &Firmware) -> Vec<String> {
    Identifiers::of(firmware, &stem(&firmware.name).to_ascii_uppercase()).cues
}

/// Stops the compiler where the player is not built for the show, with what is to be done.
fn checks(needs: &Needs) -> String {
    let (show, mut text) = (comment(&needs.show), String::new());
    let mut check = |condition: String, has: &str| {
        text.push_str(&format!(
            "#if {condition}\n#error \"The show {show} {has}, but this player is not built for it. Build all shows of this firmware together: pageloom build {show}.ron OTHER.ron\"\n#endif\n"
        ));
    };
    check(format!("PAGELOOM_REEL_VERSION != {REEL_VERSION}"), &format!("has a reel of version {REEL_VERSION}"));
    for part in PARTS.iter().filter(|part| needs.has(part.name)) {
        // A number as such is compared too, as fewer areas or live values would not do.
        let more =
            needs.number(part.name).map_or(String::new(), |number| format!(" || PAGELOOM_{} < {number}", part.name));
        check(format!("!defined PAGELOOM_{}{more}", part.name), part.has);
    }
    match needs.picture {
        Some((columns, pages)) => check(
            format!("PAGELOOM_COLUMNS != {columns} || PAGELOOM_PAGES != {pages}"),
            &format!("needs a picture copy of {columns} columns and {pages} pages"),
        ),
        None if needs.has("WINDOWS") => {
            check("!defined PAGELOOM_LEAN".into(), "plays without a picture copy");
        }
        None => {}
    }
    text + "\n"
}

/// The live texts with names that C takes, and their tables.
fn text_names(firmware: &Firmware) -> Vec<(String, &String, &Vec<u8>)> {
    let mut namer = Namer::default();
    firmware.texts.iter().map(|(name, table)| (namer.name("", name, Case::Snake), name, table)).collect()
}

/// The fields with names that C takes.
fn field_names(firmware: &Firmware) -> Vec<(String, &FirmwareField)> {
    let mut namer = Namer::default();
    firmware.fields.iter().map(|field| (namer.name("", &field.name, Case::Snake), field)).collect()
}

/// What C calls the scenes, triggers and cues.
pub struct Identifiers {
    pub scenes: Vec<String>,
    pub triggers: Vec<String>,
    pub cues: Vec<String>,
}

impl Identifiers {
    fn of(firmware: &Firmware, capitals: &str) -> Self {
        let mut namer = Namer::default();
        let mut all = |kind: &str, names: &[String]| -> Vec<String> {
            let prefix = format!("{capitals}_{kind}_");
            names.iter().map(|name| namer.name(&prefix, name, Case::Capitals)).collect()
        };
        let (scenes, triggers) = (all("SCENE", &firmware.scenes), all("TRIGGER", &firmware.triggers));
        Self { scenes, triggers, cues: all("CUE", &firmware.cues) }
    }
}

fn numbers(identifiers: &[String], names: &[String], words: &str) -> String {
    if names.is_empty() {
        return String::new();
    }
    let line = |(number, (identifier, name)): (usize, (&String, &String))| {
        format!("    {identifier} = {number}, /* {} */\n", comment(name))
    };
    let mut lines: String = identifiers.iter().zip(names).enumerate().map(line).collect();
    // C99 takes a comma behind the last entry; older compilers do not, so it is left out.
    if let Some(comma) = lines.rfind(", /*") {
        lines.replace_range(comma..comma + 1, "");
    }
    format!("/* {words} */\nenum {{\n{lines}}};\n\n")
}

fn source(firmware: &Firmware, stem: &str, capitals: &str) -> String {
    let name = comment(&firmware.name);
    let mut text = format!(
        "/* {stem}.c - the reel of the show `{name}`; {stem}.h explains how to use it. */\n\
         #include \"{stem}.h\"\n\nconst uint8_t {stem}_reel[{capitals}_REEL_SIZE] PAGELOOM_FLASH = {{\n"
    );
    for (heading, bytes) in firmware.pieces() {
        if let Some(heading) = heading {
            text.push_str(&format!("    /* {} */\n", comment(heading)));
        }
        text.push_str(&byte_rows(bytes));
    }
    if let Some(comma) = text.rfind(',') {
        text.replace_range(comma..comma + 1, "");
    }
    text.push_str("};\n");
    for (name, field) in field_names(firmware) {
        let (size, rows) = (field.table.len(), byte_rows(&field.table));
        let rows = rows.trim_end().trim_end_matches(',');
        text.push_str(&format!(
            "\n/* the field {} */\nconst uint8_t {stem}_field_{name}[{size}] PAGELOOM_FLASH = {{\n{rows}\n}};\n",
            comment(&field.name)
        ));
    }
    for (name, words, table) in text_names(firmware) {
        let (size, rows) = (table.len(), byte_rows(table));
        let rows = rows.trim_end().trim_end_matches(',');
        text.push_str(&format!(
            "\n/* the live text {} */\nconst uint8_t {stem}_text_{name}[{size}] PAGELOOM_FLASH = {{\n{rows}\n}};\n",
            comment(words)
        ));
    }
    text.push_str(&lamp_source(firmware, stem));
    for (name, bytes) in [("thresholds", &firmware.thresholds), ("display", &firmware.display)] {
        if !bytes.is_empty() {
            let (size, rows) = (bytes.len(), byte_rows(bytes));
            let rows = rows.trim_end().trim_end_matches(',');
            text.push_str(&format!(
                "\n/* the {name} */\nconst uint8_t {stem}_{name}[{size}] PAGELOOM_FLASH = {{\n{rows}\n}};\n"
            ));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::emit::Section;

    #[test]
    fn names_and_reel_stand_in_the_files() {
        let firmware = Firmware {
            name: "helm".into(),
            reel: vec![1, 2, 3],
            sections: vec![Section { offset: 2, heading: "scene */ `boot`".into() }],
            scenes: vec!["boot".into(), "Boot".into()],
            cues: vec!["ping".into()],
            ..Firmware::default()
        };
        let C { header, source } = c(&firmware);
        assert!(
            header.contains("    HELM_SCENE_BOOT = 0, /* boot */\n    HELM_SCENE_BOOT_2 = 1 /* Boot */\n"),
            "{header}"
        );
        assert!(header.contains("    HELM_CUE_PING = 0 /* ping */\n") && !header.contains("TRIGGER_"), "{header}");
        assert!(source.contains("    0x01, 0x02,\n    /* scene * / `boot` */\n    0x03\n};\n"), "{source}");
        assert!(!source.contains("player.h\""));
    }
}
