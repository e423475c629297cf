//! Reading the hardware: panel, mounting, bus and microcontroller, by name or described in the script.

use super::devices::read_devices;
use super::panel::read_panel_description;
use super::words::word;
use super::{Context, Names, Numeric};
use crate::diag::{Finding, Findings, Span};
use crate::panel::{
    BusSettings, Core, DataCommand, Microcontroller, Mounting, MountingTurn, OpeningPixels, Panel, PanelOpening, Wires,
    find, find_microcontroller, microcontrollers, panels,
};
use crate::show::{Device, Room};
use crate::source::{Fields, FromNode, Node, Placed, Shape, out_of_range, report_wrong};
use crate::units::{FlashBytes, Hertz, RamBytes, grouped};
use crate::whole::{limited, rounded};

/// The least and the most bytes of one transaction after its address: a control byte with the longest command group, and
/// what the reel's header can hold.
const WRITE_LIMITS: (f64, f64) = (9.0, 255.0);
/// Bytes that one tick of the player may send: its own least, and what its argument can hold.
const ALLOWANCES: (f64, f64) = (12.0, 255.0);
/// Clock of an I²C bus in hertz, up to Fast-mode Plus (UM10204 Rev 7.0 Table 11).
const I2C_CLOCKS: (f64, f64) = (1_000.0, 1_000_000.0);
/// Clock of SPI in hertz; each controller says which of them it takes.
const SPI_CLOCKS: (f64, f64) = (1_000.0, 40_000_000.0);
/// Seven-bit addresses that are not reserved (UM10204 Rev 7.0 §3.1.12).
const ADDRESSES: (f64, f64) = (8.0, 119.0);
/// The address when the chip's address pin is low (SSD1306 data sheet Rev 1.5 §8.1.5).
const USUAL_ADDRESS: u8 = 0x3C;
/// Whether the module's acknowledge counts. Some modules do not connect the pin that gives it (SSD1306 data sheet Rev 1.5 §8.1.5).
const ACKNOWLEDGE: &[(&str, bool)] = &[("Required", true), ("Ignored", false)];
/// What separates commands from display data on SPI.
const DATA_COMMAND: &[(&str, DataCommand)] = &[("Line", DataCommand::Line), ("Bit", DataCommand::Bit)];
/// CPU cycles of a bit that firmware moves by itself on an AVR: data low, or high if the bit is 1, then clock high and low
/// (examples/atmega328p-spi/bus.c as compiled: eight cycles for 0, nine for 1).
const AVR_CYCLES_PER_BIT: u32 = 9;
/// Millimetres that an opening may reach.
const OPENING_MILLIMETRES: (f64, f64) = (0.0, 200.0);

/// Reads `panel: "name"` or `panel: Panel(…)`.
pub fn read_panel(node: &Node, findings: &mut Findings) -> Option<Panel> {
    if node.head() == Some("Panel") {
        return read_panel_description(node, findings);
    }
    let name = Placed::<String>::from_node(node, findings)?;
    let known = panels().iter().map(|panel| panel.name.clone().into_owned());
    known_names("panel", known, &name).find(&name, findings)?;
    find(&name.value).cloned()
}

/// A list of names that were not declared in the script, for the nearest one.
fn known_names(kind: &'static str, known: impl Iterator<Item = String>, asked: &Placed<String>) -> Names {
    let mut names = Names::new(kind);
    for value in known {
        names.declare(Placed { value, span: asked.span }, &mut Findings::default());
    }
    names
}

/// Reads `mounting: Mounting(turn: Half, mirror: false, opening: …)`.
pub fn read_mounting(node: Option<&Node>, findings: &mut Findings) -> Option<Mounting> {
    const TURNS: &[(&str, MountingTurn)] = &[
        ("Upright", MountingTurn::Upright),
        ("Half", MountingTurn::Half),
        ("Left", MountingTurn::Left),
        ("Right", MountingTurn::Right),
    ];
    let Some(node) = node else { return Some(Mounting::default()) };
    if node.head().is_some_and(|head| head != "Mounting") {
        report_wrong(node, "Mounting(turn: …, mirror: …, opening: …)", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Mounting", findings)?;
    let turn = match fields.node("turn") {
        Some(node) => word(node, "turn", TURNS, findings),
        None => Some(MountingTurn::Upright),
    };
    let mirror = fields.or("mirror", false, findings);
    let opening = match fields.node("opening") {
        Some(node) => read_opening(node, findings).map(Some),
        None => Some(None),
    };
    fields.close(findings);
    Some(Mounting { turn: turn?, mirror: mirror?, opening: opening? })
}

fn read_opening(node: &Node, findings: &mut Findings) -> Option<PanelOpening> {
    let Some(unit @ ("Pixels" | "Millimetres")) = node.head() else {
        report_wrong(node, "Millimetres(left: …, top: …, width: …, height: …) or Pixels(…)", findings);
        return None;
    };
    let mut fields = Fields::open(node, unit, findings)?;
    let opening =
        if unit == "Pixels" {
            let sides = ["left", "top", "width", "height"].map(|side| fields.required::<u32>(side, findings));
            let [left, top, width, height] = sides;
            Option::zip(left.zip(top), width.zip(height))
                .map(|((left, top), (width, height))| PanelOpening::Pixels(OpeningPixels { left, top, width, height }))
        } else {
            let sides = ["left", "top", "width", "height"].map(|side| millimetres(&mut fields, side, findings));
            let [left, top, width, height] = sides;
            Option::zip(left.zip(top), width.zip(height))
                .map(|((left, top), (width, height))| PanelOpening::Millimetres { left, top, width, height })
        };
    fields.close(findings);
    opening
}

fn millimetres(fields: &mut Fields<'_>, side: &'static str, findings: &mut Findings) -> Option<f64> {
    let placed = fields.required::<Placed<f64>>(side, findings)?;
    let (lowest, highest) = OPENING_MILLIMETRES;
    if (lowest..=highest).contains(&placed.value) {
        return Some(placed.value);
    }
    findings.push(out_of_range(placed.span, side, placed.value, OPENING_MILLIMETRES, " millimetres"));
    None
}

/// Reads `bus: I2c(…)` or `bus: Spi(…)`: the bus, and what else is on it.
pub fn read_bus(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<(BusSettings, Vec<Device>)> {
    match node.head() {
        Some("I2c") => read_i2c(node, context, findings),
        Some("Spi") => Some((read_spi(node, context, findings)?, Vec::new())),
        _ => {
            let forms = "I2c(clock: …, address: …, write_limit: …, per_call: …, acknowledge: …) or Spi(clock: …, data_command: …, per_call: …)";
            report_wrong(node, forms, findings);
            None
        }
    }
}

/// Reads `bus: Spi(clock: 8_000_000, data_command: Line, per_call: 32)`, the display on wires of its own.
fn read_spi(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<BusSettings> {
    let mut fields = Fields::open(node, "Spi", findings)?;
    let mut number = |name, (lowest, highest): (f64, f64), usual: Option<f64>| {
        Numeric::plain(name, lowest, highest).take_whole(&mut fields, usual, context, findings)
    };
    let clock = number("clock", SPI_CLOCKS, None);
    let per_call = number("per_call", ALLOWANCES, Some(32.0));
    let data_command = match fields.node("data_command") {
        Some(node) => word(node, "data_command", DATA_COMMAND, findings),
        None => Some(DataCommand::Line),
    };
    fields.close(findings);
    let (clock, per_call, data_command) = (Hertz(clock?), limited(per_call?), data_command?);
    Some(BusSettings { wires: Wires::Spi { data_command }, clock, write_limit: rounded(WRITE_LIMITS.1), per_call })
}

/// Reads `bus: I2c(clock: 400_000, address: 0x3C, write_limit: 32, per_call: 16, others: […])`.
fn read_i2c(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<(BusSettings, Vec<Device>)> {
    let mut fields = Fields::open(node, "I2c", findings)?;
    let mut number = |name, (lowest, highest): (f64, f64), usual: Option<f64>| {
        Numeric::plain(name, lowest, highest).take_whole(&mut fields, usual, context, findings)
    };
    let clock = number("clock", I2C_CLOCKS, None);
    let write_limit = number("write_limit", WRITE_LIMITS, Some(32.0));
    let per_call = number("per_call", ALLOWANCES, Some(32.0));
    let address = match fields.node("address") {
        Some(node) => read_address(node, context, findings),
        None => Some(u32::from(USUAL_ADDRESS)),
    };
    let others = match fields.node("others") {
        Some(node) => read_devices(node, address, context, findings),
        None => Some(Vec::new()),
    };
    let acknowledged = match fields.node("acknowledge") {
        Some(node) => word(node, "acknowledge", ACKNOWLEDGE, findings),
        None => Some(true),
    };
    fields.close(findings);
    let (clock, address, write_limit, per_call) = (clock?, address?, write_limit?, per_call?);
    if clock > BusSettings::HIGHEST_I2C_CLOCK.0 {
        let message =
            format!("{clock} Hz exceeds the specification of these controllers ({})", BusSettings::HIGHEST_I2C_CLOCK);
        let hint = "it often works, but `clock: 400_000` is safe";
        findings.push(Finding::warning(node.span, message).hint(hint));
    }
    let bus = BusSettings {
        wires: Wires::I2c { address: limited(address), acknowledged: acknowledged? },
        clock: Hertz(clock),
        write_limit: limited(write_limit),
        per_call: limited(per_call),
    };
    Some((bus, others?))
}

/// Checks whether the controller and the microcontroller can use this bus.
pub fn check_wires(span: Span, bus: &BusSettings, panel: &Panel, part: &Microcontroller, findings: &mut Findings) {
    let controller = panel.controller;
    let (kind, other, highest) = match bus.wires {
        Wires::I2c { .. } => ("I²C", "Spi(clock: …)", controller.highest_i2c_clock),
        Wires::Spi { .. } => ("SPI", "I2c(clock: …)", controller.highest_spi_clock),
    };
    let Some(highest) = highest else {
        let message = format!("{} has no {kind}", controller.name);
        findings.push(Finding::error(span, message).hint(format!("write `bus: {other}`")));
        return;
    };
    if !bus.is_spi() {
        return;
    }
    if bus.has_nine_bits() && !controller.takes_nine_bits {
        let message = format!("{} is not known to have 3-wire SPI, whose bytes have nine bits", controller.name);
        let hint = "leave out `data_command: Bit`, and wire the D/C line";
        findings.push(Finding::error(span, message).hint(hint));
    }
    // Half the CPU clock is the fastest of the peripheral's dividers (ATmega328P data sheet, SPI chapter, from memory).
    let (part_highest, why) = match (part.core, bus.has_nine_bits()) {
        (Core::Avr, false) => (part.clock.0 / 2, "half its CPU clock"),
        (Core::Avr, true) => (part.clock.0 / AVR_CYCLES_PER_BIT, "each bit takes 9 cycles of its CPU"),
        _ => (u32::MAX, ""),
    };
    let limits = [(controller.name, highest.0, controller.spi_source.text), (&*part.name, part_highest, why)];
    for (name, limit, source) in limits.into_iter().filter(|limit| bus.clock.0 > limit.1) {
        let (limit_words, asked) = (grouped(limit), grouped(bus.clock.0));
        let message = format!("{asked} Hz on SPI exceeds the limit of {name}: {limit_words} Hz ({source})");
        let allowed = grouped(limit.min(highest.0).min(part_highest));
        findings.push(Finding::error(span, message).hint(format!("write `clock: {allowed}`")));
    }
}

/// Reads an address of seven bits. Data sheets often give its 8-bit form, which is reported.
pub fn read_address(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<u32> {
    let (lowest, highest) = ADDRESSES;
    if let Shape::Number(value) = node.shape
        && value > highest
        && (lowest..=highest).contains(&(value / 2.0).floor())
        && value.fract() == 0.0
    {
        let eight: u32 = rounded(value);
        let seven = eight / 2;
        let message = format!("{eight:#04X} is the 8-bit form of the address {seven:#04X}");
        findings.push(Finding::error(node.span, message).hint(format!("write `address: {seven:#04X}`")));
        return None;
    }
    Numeric::plain("address", lowest, highest).read_whole(node, context, findings)
}

/// Reads `microcontroller: Part(name: "ATmega328P", flash_left: 12_000, ram_left: 600)`.
pub fn read_microcontroller(
    node: &Node,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<(Microcontroller, Room)> {
    let (name, mut fields) = match (&node.shape, node.head()) {
        (Shape::Text(_), _) => (Placed::<String>::from_node(node, findings), None),
        (_, Some("Part")) => {
            let mut fields = Fields::open(node, "Part", findings)?;
            (fields.required::<Placed<String>>("name", findings), Some(fields))
        }
        _ => {
            report_wrong(node, "the name of a part in quotes, or Part(name: …, flash_left: …, ram_left: …)", findings);
            return None;
        }
    };
    let part = name.and_then(|name| {
        let known = microcontrollers().iter().map(|part| part.name.clone().into_owned());
        known_names("microcontroller", known, &name).find(&name, findings)?;
        find_microcontroller(&name.value).cloned()
    });
    let mut left = |field: &'static str, whole: Option<u32>| {
        let whole = whole.unwrap_or(u32::MAX);
        let Some(fields) = &mut fields else { return Some(whole) };
        let number = Numeric::plain(field, 0.0, f64::from(whole));
        number.take(fields, Some(f64::from(whole)), context, findings).map(|value| rounded(value.floor()))
    };
    let flash = left("flash_left", part.as_ref().map(|part| part.flash.0));
    let ram = left("ram_left", part.as_ref().map(|part| part.ram.0));
    if let Some(fields) = fields {
        fields.close(findings);
    }
    Some((part?, Room { flash: FlashBytes(flash?), ram: RamBytes(ram?) }))
}
