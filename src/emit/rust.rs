//! The show in Rust: a module for `no_std` firmware with its names, the reel and the player.

use super::firmware::Firmware;
use super::lamps::rust_lamps;
use super::namer::{Case, Namer};
use super::text::{byte_rows, comment};
use super::times::rust_times;
use crate::player::{
    RUST_BEAM, RUST_BUS, RUST_CANVAS, RUST_DENSE, RUST_FIELDS, RUST_GRAIN, RUST_LAMPS, RUST_REEL, RUST_ROLL,
    RUST_SOURCE, RUST_TURN,
};

/// Writes a show as a Rust module that needs `core` only.
pub fn rust(firmware: &Firmware) -> String {
    let about: String = firmware.about.iter().map(|line| format!("//! {}\n", comment(line))).collect();
    let mut text = format!(
        "//! The show `{}`, made by pageloom from its script: change that, not this file.\n//!\n{about}//!\n\
         //! Plays with `show_player()`: call `tick` from the main loop, `trigger(Trigger::… as u8)` on an event.\n\
         #![allow(dead_code)] // a firmware uses what it needs\n\n",
        comment(&firmware.name),
    );
    text.push_str(&numbers("Scene", "A scene, as `Player::scene` gives it.", &firmware.scenes));
    text.push_str(&numbers("Trigger", "A trigger, for `Player::trigger`.", &firmware.triggers));
    text.push_str(&numbers("Cue", "A cue, as `Status::Cue` gives it.", &firmware.cues));
    text.push_str(&rust_times(firmware));
    text.push_str(&format!("/// The reel.\npub static REEL: [u8; {}] = [\n", firmware.reel.len()));
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
            "\n/// The field {words}: for `field::Field::new(&{name}, [0; 2 * {name}_CELLS])`.\npub static {name}: [u8; {size}] = [\n{rows}];\n\
             /// Its characters.\npub const {name}_CELLS: usize = {cells};\n",
            words = comment(&field.name),
            rows = byte_rows(&field.table),
            cells = field.cells
        ));
    }
    text.push_str(&rust_lamps(firmware));
    text.push_str(&module("Reels.", "reel", RUST_REEL));
    text.push_str(&module("The bus.", "bus", RUST_BUS));
    text.push_str(&module("The player.", "player", RUST_SOURCE));
    if firmware.picture.is_some() || firmware.parts.beam {
        text.push_str(&module("A beam that turns.", "beam", RUST_BEAM));
    }
    if let Some((columns, pages)) = firmware.picture {
        let (cells, marks) = (columns * pages, columns.div_ceil(8) * pages);
        text.push_str(&format!(
            "\n/// What the player keeps of the picture.\npub type Picture = dense::Picture<{cells}, {marks}>;\n"
        ));
        text.push_str(&module("The copy of the picture.", "canvas", RUST_CANVAS));
        text.push_str(&module("Draws from a copy of the picture.", "dense", RUST_DENSE));
    } else if firmware.parts.beam {
        text.push_str(&module("What the beam changes as it turns.", "turn", RUST_TURN));
    }
    if firmware.parts.grains {
        text.push_str(&module("Noise.", "grain", RUST_GRAIN));
    }
    if firmware.parts.rolls {
        text.push_str(&module("Lines that roll.", "roll", RUST_ROLL));
    }
    if !firmware.fields.is_empty() {
        text.push_str(&module("Fields that the firmware fills.", "field", RUST_FIELDS));
    }
    if !firmware.lamps.is_empty() {
        text.push_str(&module("The level of a lamp over time.", "lamp", RUST_LAMPS));
    }
    text
}

/// The type of the player that the reel needs, and how one begins.
fn show_player(firmware: &Firmware) -> String {
    let parts = firmware.parts;
    let (keeps, begun) = match firmware.picture {
        Some(_) => ("Picture".to_owned(), "Picture::new()".to_owned()),
        None => {
            let parts = [(parts.beam, "turn::Turning"), (parts.grains, "grain::Grains"), (parts.rolls, "roll::Rolls")];
            let used =
                parts.iter().filter(|part| part.0).map(|(_, name)| ((*name).to_owned(), format!("{name}::new()")));
            let both = |(one, new): (String, String), (other, also): (String, String)| {
                (format!("bus::Both<{one}, {other}>"), format!("bus::Both::new({new}, {also})"))
            };
            used.reduce(both).unwrap_or(("player::Lean".to_owned(), "player::Lean".to_owned()))
        }
    };
    format!(
        "\n/// A player of this show.\npub type ShowPlayer = player::Player<'static, {keeps}>;\n\n\
         /// A player at the start of the reel.\npub fn show_player() -> ShowPlayer {{\n    player::Player::keeping(&REEL, {begun})\n}}\n"
    )
}

/// A file of the player as a module inside the show's.
fn module(words: &str, name: &str, source: &str) -> String {
    let mut text = format!("\n/// {words}\npub mod {name} {{\n");
    for line in source.lines() {
        text.push_str(format!("    {line}").trim_end());
        text.push('\n');
    }
    text + "}\n"
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
         impl {kind} {{\n    /// The entry of a number, if there is one.\n    pub const fn from_number(number: u8) -> Option<Self> {{\n        \
         match number {{\n{arms}            _ => None,\n        }}\n    }}\n}}\n\n"
    )
}
