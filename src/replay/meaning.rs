//! What a wrong byte means: which command it belongs to, what it sets there, and what the show would have set.

use super::comparison::Deviation;
use super::course::TaggedByte;
use super::decoded::DisplayByte;
use crate::emulator::{Emulator, Registers, command_words};
use crate::panel::Controller;

/// The command that bytes leave open: its code, and how many of its parameters there are.
fn open_command(controller: &Controller, items: impl Iterator<Item = TaggedByte>) -> Option<(u8, u8)> {
    let mut open: Option<(u8, u8)> = None;
    for (byte, data) in items {
        open = match open {
            _ if data => None,
            None => Some((byte, 0)),
            Some((opcode, have)) => Some((opcode, have + 1)),
        };
        if let Some((opcode, have)) = open
            && have >= command_words(controller, opcode).map_or(0, |words| words.1)
        {
            open = None;
        }
    }
    open
}

/// A deviation in words; `display` is the model before the wrong byte.
pub fn meaning(deviation: &Deviation, items: &[DisplayByte], controller: &Controller, display: &Emulator) -> String {
    let Some(item) = items.get(deviation.at) else { return "nothing more was sent".into() };
    let before = items[deviation.from..deviation.at].iter().map(|item| (item.byte, item.data));
    let open = open_command(controller, before);
    let what = |(byte, data): TaggedByte| match (data, open) {
        (true, _) => {
            let (page, column) = display.position();
            format!("display data {byte:02X} at page {page}, column {column}")
        }
        (false, Some((opcode, _))) => {
            let words = command_words(controller, opcode).map_or("a parameter", |words| words.0);
            format!("{words} {}", value(opcode, byte))
        }
        (false, None) => command(controller, byte),
    };
    let sent = what((item.byte, item.data));
    match deviation.expected {
        Some(expected) => format!("{sent} instead of {}", what(expected)),
        None => format!("{sent}, where nothing was expected"),
    }
}

/// A parameter as people speak of it.
fn value(opcode: u8, byte: u8) -> String {
    const MULTIPLEX: u8 = 0xA8;
    match opcode {
        MULTIPLEX => format!("{} ({byte:02X})", u16::from(byte) + 1),
        _ => format!("{byte} ({byte:02X})"),
    }
}

fn command(controller: &Controller, byte: u8) -> String {
    match command_words(controller, byte) {
        Some(("page", _)) => format!("page {}", byte & 0x0F),
        Some((words, 0)) => format!("{words} ({byte:02X})"),
        Some((words, _)) => format!("the command {byte:02X} ({words})"),
        None => format!("{byte:02X}, which is not a command of the {}", controller.name),
    }
}

/// The settings in which two set-ups differ: what is set, and what should be.
pub fn settings(is: &Registers, should: &Registers) -> Vec<String> {
    let numbers = [
        ("multiplex ratio", is.multiplex, should.multiplex),
        ("display offset", is.display_offset, should.display_offset),
        ("start line", is.start_line, should.start_line),
        ("contrast", is.contrast, should.contrast),
    ];
    let codes = [
        ("COM pins", is.common_pins, should.common_pins),
        ("clock", is.clock, should.clock),
        ("precharge", is.precharge, should.precharge),
        ("VCOMH level", is.deselect, should.deselect),
        ("current reference", is.reference, should.reference),
    ];
    let switches = [
        ("display", is.on, should.on, ["off", "on"]),
        ("all pixels", is.all_on, should.all_on, ["from memory", "lit"]),
        ("inversion", is.inverted, should.inverted, ["off", "on"]),
        ("columns", is.segments_reversed, should.segments_reversed, ["in order (A0)", "reversed (A1)"]),
        ("rows", is.commons_reversed, should.commons_reversed, ["in order (C0)", "reversed (C8)"]),
        ("charge pump", is.pump, should.pump, ["off", "on"]),
    ];
    let numbers =
        numbers.iter().filter(|row| row.1 != row.2).map(|row| format!("{} {} instead of {}", row.0, row.1, row.2));
    let codes = codes
        .iter()
        .filter(|row| row.1 != row.2)
        .map(|row| format!("{} {:02X} instead of {:02X}", row.0, row.1, row.2));
    let switches = switches.iter().filter(|row| row.1 != row.2).map(|(name, is, should, words)| {
        format!("{name} {} instead of {}", words[usize::from(*is)], words[usize::from(*should)])
    });
    numbers.chain(codes).chain(switches).collect()
}
