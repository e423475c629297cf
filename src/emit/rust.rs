//! Writes the show in Rust: a module for `no_std` firmware with its names and its reel. The files of the player are separate.

use super::firmware::Firmware;
use super::lamps::rust_lamps;
use super::namer::{Case, Namer};
use super::needs::{Needs, PARTS};
use super::text::{byte_rows, comment};
use super::times::rust_times;
use crate::reel::shares_bytes;

/// What is said of a field that shares bytes of the display with another one.
const SHARED_FIELD: &str = "\n/// It shares display bytes with other fields: call `tick_beside` with those.";

/// Writes a show as a Rust module that needs `core` only.
pub fn rust(firmware: &Firmware) -> String {
    let about: String = firmware.about.iter().map(|line| format!("//! {}\n", comment(line))).collect();
    let mut text = format!(
        "//! The show `{}`, written by pageloom from its script: edit the script, not this file.\n//!\n{about}//!\n\
         //! Plays with `show_player()`: call `tick` from the main loop, `trigger(Trigger::… as u8)` on an event.\n\
         #![allow(dead_code)] // firmware uses what it needs\n\nuse super::pageloom_config as config;\n\n",
        comment(&firmware.name),
    );
    text.push_str(&numbers("Scene", "A scene, as `Player::scene` gives it.", &firmware.scenes));
    text.push_str(&numbers("Trigger", "A trigger, for `Player::trigger`.", &firmware.triggers));
    text.push_str(&numbers("Cue", "A cue, as `Status::Cue` gives it.", &firmware.cues));
    text.push_str(&live_values(firmware));
    text.push_str(&rust_times(firmware));
    text.push_str(&format!("/// The reel.\n#[rustfmt::skip]\npub static REEL: [u8; {}] = [\n", firmware.reel.len()));
    for (heading, bytes) in firmware.pieces() {
        if let Some(heading) = heading {
            text.push_str(&format!("    // {}\n", comment(heading)));
        }
        text.push_str(&byte_rows(bytes));
    }
    text.push_str("];\n");
    text.push_str(&show_player(firmware));
    let mut namer = Namer::default();
    for field in &firmware.fields {
        let (name, size) = (namer.name("FIELD_", &field.name, Case::Capitals), field.table.len());
        text.push_str(&format!(
            "\n/// The field {words}: for `pageloom_player::field::Field::new(&{name}, [0; 2 * {name}_CELLS])`.{shared}\n#[rustfmt::skip]\npub static {name}: [u8; {size}] = [\n{rows}];\n\
             /// Its characters.\npub const {name}_CELLS: usize = {cells};\n",
            words = comment(&field.name),
            shared = if shares_bytes(&field.table) { SHARED_FIELD } else { "" },
            rows = byte_rows(&field.table),
            cells = field.cells
        ));
    }
    let mut namer = Namer::default();
    for (words, table) in &firmware.texts {
        text.push_str(&format!(
            "\n/// The live text {}, for `LiveValues::set_text`.\n#[rustfmt::skip]\npub static {}: [u8; {}] = [\n{}];\n",
            comment(words),
            namer.name("TEXT_", words, Case::Capitals),
            table.len(),
            byte_rows(table)
        ));
    }
    text.push_str(&rust_lamps(firmware));
    if !firmware.thresholds.is_empty() {
        text.push_str(&format!(
            "\n/// The thresholds, for `pageloom_player::threshold::Thresholds::new(&THRESHOLDS)`.\n#[rustfmt::skip]\npub static THRESHOLDS: [u8; {}] = [\n{}];\n",
            firmware.thresholds.len(),
            byte_rows(&firmware.thresholds)
        ));
    }
    if !firmware.display.is_empty() {
        text.push_str(&format!(
            "\n/// The display, for `pageloom_player::supervise::Supervisor::new(&DISPLAY)`.\n#[rustfmt::skip]\npub static DISPLAY: [u8; {}] = [\n{}];\n",
            firmware.display.len(),
            byte_rows(&firmware.display)
        ));
    }
    text
}

/// The show's player, and that the configuration has what the show needs.
fn show_player(firmware: &Firmware) -> String {
    let (needs, show) = (Needs::of(firmware), comment(&firmware.name));
    let mut text = String::from("\n// The player is built for this show.\n");
    let mut check = |condition: String, has: &str| {
        text.push_str(&format!(
            "const _: () = assert!(\n    {condition},\n    \"the show {show} {has}: build all shows together: pageloom build {show}.ron OTHER.ron\"\n);\n"
        ));
    };
    for part in PARTS.iter().filter(|part| needs.has(part.name)) {
        check(format!("config::{}", part.name), part.has);
    }
    match needs.picture {
        Some((columns, pages)) => check(
            format!("config::PICTURE.0 == {columns} && config::PICTURE.1 == {pages}"),
            "needs a picture copy of another size",
        ),
        None => check("config::LEAN".into(), "plays without a picture copy"),
    }
    let (live, handed) = match firmware.live.len() {
        0 => ("", "show_player(&REEL)"),
        _ => ("live: &'static config::LiveValues", "live_player(&REEL, live)"),
    };
    text + &format!(
        "\n/// A player at the start of the reel. The type is the same for all shows of the firmware.\n#[must_use]\n\
         pub const fn show_player({live}) -> config::ShowPlayer {{\n    config::{handed}\n}}\n"
    )
}

/// The live values: their numbers, and of each the lowest and the highest value, and the one that it begins with.
fn live_values(firmware: &Firmware) -> String {
    if firmware.live.is_empty() {
        return String::new();
    }
    let names: Vec<String> = firmware.live.iter().map(|live| live.name.clone()).collect();
    let rows: String = firmware
        .live
        .iter()
        .map(|live| format!("    [{}, {}, {}], // {}\n", live.lowest, live.highest, live.start, comment(&live.name)))
        .collect();
    numbers("Live", "A live value, for `LiveValues::set` and `get`.", &names)
        + &format!(
            "/// Of each live value the lowest, the highest and the first, for\n\
             /// `static LIVE: config::LiveValues = config::LiveValues::new(&LIVE_LIMITS);`.\n\
             #[rustfmt::skip]\npub static LIVE_LIMITS: [[i16; 3]; {count}] = [\n{rows}];\n\n",
            count = firmware.live.len()
        )
}

fn numbers(kind: &str, words: &str, names: &[String]) -> String {
    if names.is_empty() {
        return String::new();
    }
    let mut namer = Namer::default();
    let (mut entries, mut arms) = (String::new(), String::new());
    for (number, name) in names.iter().enumerate() {
        let identifier = namer.name("", name, Case::Words);
        entries.push_str(&format!("    /// {}\n    {identifier} = {number},\n", comment(name)));
        arms.push_str(&format!("            {number} => Some(Self::{identifier}),\n"));
    }
    format!(
        "/// {words}\n#[derive(Clone, Copy, Debug, PartialEq, Eq)]\n#[repr(u8)]\npub enum {kind} {{\n{entries}}}\n\n\
         impl {kind} {{\n    /// The entry with this number, if there is one.\n    #[must_use]\n    pub const fn from_number(number: u8) -> Option<Self> {{\n        \
         match number {{\n{arms}            _ => None,\n        }}\n    }}\n}}\n\n"
    )
}
