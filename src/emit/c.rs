//! The show in C99: a header with its names and the player's, and a source file with the reel and the player.

use super::firmware::{Firmware, FirmwareField};
use super::lamps::{lamp_header, lamp_prototypes, lamp_source};
use super::namer::{Case, Namer};
use super::text::{byte_rows, comment};
use super::times::times;
use crate::panel::PlayerParts;
use crate::player::{C_FIELDS, C_FIELDS_HEADER, C_HEADER, C_LAMPS, c_dense, c_source};

/// A header and a source file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct C {
    pub header: String,
    pub source: String,
}

/// Writes a show in C99; the header's file is named `NAME.h` after the show.
pub fn c(firmware: &Firmware) -> C {
    let mut namer = Namer::default();
    let stem = namer.name("", &firmware.name, Case::Snake);
    let capitals = stem.to_ascii_uppercase();
    C { header: header(firmware, &stem, &capitals), source: source(firmware, &stem, &capitals) }
}

/// The parts of the player that a show may need: whether it does, what C firmware then defines, and why.
fn parts(parts: PlayerParts) -> [(bool, &'static str, &'static str); 5] {
    [
        (parts.changes, "CHANGES", "The reel sends of what passes by only what changes."),
        (parts.beam, "BEAM", "It has a beam that turns."),
        (parts.grains, "GRAINS", "It has noise."),
        (parts.rolls, "ROLLS", "Lines of it roll."),
        (parts.rounds, "ROUNDS", "A part of it goes round."),
    ]
}

fn header(firmware: &Firmware, stem: &str, capitals: &str) -> String {
    let name = comment(&firmware.name);
    let about: String = firmware.about.iter().map(|line| format!(" * {}\n", comment(line))).collect();
    let mut text = format!(
        "/*\n * {name}.h - the show `{name}`, made by pageloom from its script: change that, not this file.\n *\n{about} *\n \
         * Plays with `pageloom_start(&player, {stem}_reel, {capitals}_REEL_SIZE)`; more is told before the player below.\n \
         */\n#ifndef {capitals}_SHOW_H\n#define {capitals}_SHOW_H\n\n"
    );
    if !firmware.fields.is_empty() {
        text.push_str(
            "/* The show has fields. Of several shows in one firmware, one that has them must bring the player. */\n",
        );
        text.push_str("#ifndef PAGELOOM_FIELDS\n#define PAGELOOM_FIELDS\n#endif\n\n");
    }
    if let Some((columns, pages)) = firmware.picture {
        text.push_str(
            "/*\n * The reel is drawn from a copy of the picture. Of several shows in one firmware, such a one must bring the player; if\n \
             * there are others too, define PAGELOOM_BOTH before each show's header, for instructions that only those have.\n */\n",
        );
        text.push_str("#ifndef PAGELOOM_DENSE\n#define PAGELOOM_DENSE\n");
        text.push_str(&format!("#define PAGELOOM_COLUMNS {columns}\n#define PAGELOOM_PAGES {pages}\n#endif\n\n"));
    }
    for (_, name, words) in parts(firmware.parts).into_iter().filter(|part| part.0) {
        text.push_str(&format!(
            "/* {words} Of several shows in one firmware, define this before each one's header. */\n\
             #ifndef PAGELOOM_{name}\n#define PAGELOOM_{name}\n#endif\n\n"
        ));
    }
    text.push_str(C_HEADER.trim_end());
    text.push_str("\n\n");
    if !firmware.fields.is_empty() {
        text.push_str(&format!(
            "#ifndef PAGELOOM_FIELD_H\n#define PAGELOOM_FIELD_H\n\n{}\n\n#endif\n\n",
            C_FIELDS_HEADER.trim()
        ));
    }
    if !firmware.lamps.is_empty() {
        text.push_str(&lamp_prototypes());
    }
    let names = Identifiers::of(firmware, capitals);
    text.push_str(&numbers(&names.scenes, &firmware.scenes, "The scenes, as in player.scene."));
    text.push_str(&numbers(&names.triggers, &firmware.triggers, "The triggers, for pageloom_trigger."));
    text.push_str(&numbers(&names.cues, &firmware.cues, "The cues, as in player.cue."));
    text.push_str(&times(firmware, capitals, &names));
    text.push_str(&lamp_header(firmware, stem, capitals, &names));
    for (name, field) in field_names(firmware) {
        let (cells, size, name_of_size) = (field.cells, field.table.len(), name.to_ascii_uppercase());
        text.push_str(&format!(
            "/* The field {words}: its characters, and its table in flash. */\n#define {capitals}_FIELD_{name_of_size}_CELLS {cells}\n\
             extern const uint8_t {stem}_field_{name}[{size}];\n\n",
            words = comment(&field.name),
        ));
    }
    text.push_str(&format!(
        "/* The reel, in flash. */\n#define {capitals}_REEL_SIZE {size}u\nextern const uint8_t {stem}_reel[{capitals}_REEL_SIZE];\n\n#endif\n",
        size = firmware.reel.len()
    ));
    text
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
        "/* {name}.c - the reel of the show `{name}`, and the player; {name}.h says how to use them. */\n\
         #include \"{file}.h\"\n\nconst uint8_t {stem}_reel[{capitals}_REEL_SIZE] PAGELOOM_FLASH = {{\n",
        file = firmware.name
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
    text.push_str(&lamp_source(firmware, stem));
    let fields = if firmware.fields.is_empty() { String::new() } else { format!("\n\n{}", C_FIELDS.trim()) };
    let lamps = if firmware.lamps.is_empty() { String::new() } else { format!("\n\n{}", C_LAMPS.trim()) };
    let dense = firmware.picture.map_or(String::new(), |_| format!("\n\n{}", c_dense().trim()));
    text.push_str(&format!(
        "\n/* Define PAGELOOM_PLAYER_ELSEWHERE for every show of a firmware but one, so that the player is there once. */\n\
         #ifndef PAGELOOM_PLAYER_ELSEWHERE\n\n{}{dense}{fields}{lamps}\n\n#endif\n",
        c_source().trim()
    ));
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
