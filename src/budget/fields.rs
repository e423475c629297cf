//! Live fields: their code and tables in flash, their cells in RAM, and what filling them puts on the bus.

use super::wire::bus_source;
use super::{Budget, Figure};
use crate::diag::number;
use crate::panel::Core;
use crate::reel::{FieldTable, Reel, shares_bytes};
use crate::show::Show;
use crate::whole::limited;

/// Flash of the fields' C code, which firmware carries when its show has a field.
struct CodeSize {
    core: Core,
    bytes: u32,
    source: &'static str,
    measured: bool,
}

/// Measured at -Os: what `src/player/player.c` takes more with `PAGELOOM_FIELDS` than without.
const CODE_SIZES: [CodeSize; 3] = [
    CodeSize { core: Core::Avr, bytes: 914, source: "avr-gcc 5.4 -Os, ATmega328P, avr-size", measured: true },
    CodeSize { core: Core::CortexM, bytes: 612, source: "arm-none-eabi-gcc 12.2 -Os, Cortex-M3", measured: true },
    CodeSize { core: Core::RiscV, bytes: 612, source: "estimated as Cortex-M3", measured: false },
];
/// The same for what a field that shares bytes of the display takes more, in code and in its state.
const SHARED_CODE: [(Core, u32); 3] = [(Core::Avr, 334), (Core::CortexM, 248), (Core::RiscV, 248)];
const SHARED_STATE: [(Core, u32); 3] = [(Core::Avr, 4), (Core::CortexM, 8), (Core::RiscV, 8)];
/// Bytes of a field's state with 16-bit pointers, and of the wider pointers of 32-bit parts.
const STATE_BYTES: [(Core, u32); 3] = [(Core::Avr, 8), (Core::CortexM, 12), (Core::RiscV, 12)];
/// Bytes for each character: what is wanted and what is shown.
const CELL_BYTES: u32 = 2;

/// CPU cycles of the longest call of a field beyond the time on the wire: the look-up of the first cell that differs,
/// and one piece of 6 columns. Measured, avr-gcc 5.4 -Os, `tests/cases/good/fields.ron` on the simulated ATmega328P.
const CALL_CYCLES: u32 = 648;
const CALL_SOURCE: &str = "measured on a simulated ATmega328P: avr-gcc 5.4 -Os, fields of 4 and 5 characters";

/// Flash of the fields in all: code and tables; none without fields.
pub fn field_flash(show: &Show, reel: &Reel) -> u32 {
    if reel.fields.is_empty() { 0 } else { code_bytes(show, reel) + tables(reel) }
}

/// Flash of the fields' code on the show's microcontroller, in bytes; `shared` if fields of it share bytes of the display.
pub fn field_code_bytes(show: &Show, shared: bool) -> u32 {
    code(show).bytes + if shared { of_core(show.microcontroller().core, &SHARED_CODE) } else { 0 }
}

fn code_bytes(show: &Show, reel: &Reel) -> u32 {
    field_code_bytes(show, any_shared(reel))
}

fn any_shared(reel: &Reel) -> bool {
    reel.fields.iter().any(|field| shares_bytes(&field.bytes))
}

/// Bytes of the fields' code on any microcontroller of an instruction set.
pub fn field_code_bytes_on(core: Core) -> u32 {
    code_on(core).bytes
}

/// Additional bytes of flash for fields that share bytes of the display, and bytes of state for each such field.
pub fn shared_fields_cost_on(core: Core) -> (u32, u32) {
    (of_core(core, &SHARED_CODE), of_core(core, &SHARED_STATE))
}

fn of_core(core: Core, table: &[(Core, u32)]) -> u32 {
    table.iter().find(|(known, _)| *known == core).map_or(0, |(_, bytes)| *bytes)
}

/// CPU cycles of the longest call of a field, without the time on the wire. `None` for cores on which it was not measured.
pub fn field_call_cycles(show: &Show) -> Option<u32> {
    (show.microcontroller().core == Core::Avr).then_some(CALL_CYCLES)
}

/// RAM of the fields in all.
pub fn field_ram(show: &Show, reel: &Reel) -> u32 {
    let shared = if any_shared(reel) { of_core(show.microcontroller().core, &SHARED_STATE) } else { 0 };
    let state = of_core(show.microcontroller().core, &STATE_BYTES) + shared;
    reel.fields.iter().map(|field| state + CELL_BYTES * field.cells).sum()
}

fn code(show: &Show) -> &'static CodeSize {
    code_on(show.microcontroller().core)
}

fn code_on(core: Core) -> &'static CodeSize {
    CODE_SIZES.iter().find(|row| row.core == core).unwrap_or(&CODE_SIZES[0])
}

fn tables(reel: &Reel) -> u32 {
    reel.fields.iter().map(|field| limited::<u32, usize>(field.bytes.len())).sum()
}

/// The figures of the fields; none without fields.
pub fn fields(show: &Show, reel: &Reel) -> Budget {
    let mut figures = Vec::new();
    if !reel.fields.is_empty() {
        let code = code(show);
        let size =
            Figure::new("code of the fields", f64::from(code_bytes(show, reel)), "B").from("code size, C", code.source);
        figures.push(if code.measured { size } else { size.rough() });
        figures.push(
            Figure::new("tables of the fields", f64::from(tables(reel)), "B").from(
                "8 + characters + (characters + cells) × pages × columns, for each field",
                "the tables themselves",
            ),
        );
        figures.push(
            Figure::new("RAM of the fields", f64::from(field_ram(show, reel)), "B")
                .headline()
                .from("state + 2 B for each character, for each field", "player.h"),
        );
    }
    figures.extend(reel.fields.iter().map(|field| filling(show, field)));
    figures.extend(reel.fields.iter().filter_map(|field| call(show, field)));
    Budget { title: "fields", figures }
}

/// Milliseconds on the bus for one piece of a character.
fn piece_time(show: &Show, field: &FieldTable) -> f64 {
    /// Command bytes that set page and column.
    const SEEK: u32 = 3;
    (show.bus().display_time(SEEK) + show.bus().display_time(field.cell_columns)).milliseconds()
}

/// The time on the bus when every character of a field changes.
fn filling(show: &Show, field: &FieldTable) -> Figure {
    let time = piece_time(show, field) * f64::from(field.pieces());
    let formula = format!("{} pieces of {} B, one piece per call", field.pieces(), field.piece_bytes());
    Figure::new(format!("whole field {}", field.name), time, "ms").headline().from(formula, bus_source(show.bus()))
}

/// The time that one call of a field holds the main loop: one piece on the wire, and the code's own work.
fn call(show: &Show, field: &FieldTable) -> Option<Figure> {
    let cycles = field_call_cycles(show)?;
    let clock = show.microcontroller().clock.0;
    let time = piece_time(show, field) + f64::from(cycles) * 1000.0 / f64::from(clock);
    let formula =
        format!("one piece on the bus, and {} cycles at {} MHz", number(cycles.into()), number(f64::from(clock) / 1e6));
    Some(Figure::new(format!("longest call of field {}", field.name), time, "ms").from(formula, CALL_SOURCE))
}
