//! Code beside the player: what the budgets count for the supervisor and the lamps, held to what compilers make of them.

use super::firmware::tools::{compile, run, workshop};
use pageloom::panel::{CompanionCode, Core, lamp_code_on, supervisor_code_on, text_code_on, threshold_code_on};
use std::path::Path;

/// Bytes of sections whose names begin so, by the size tool of a compiler's family.
fn section_bytes(tool: &str, object: &Path, section: &str) -> u32 {
    let listed = run(tool, &["-A".as_ref(), object.as_os_str()], "").good(tool);
    let rows = listed.lines().filter(|line| line.starts_with(section));
    rows.filter_map(|line| line.split_whitespace().nth(1)?.parse::<u32>().ok()).sum()
}

/// Bytes of stack that the compiler says a call of the supervisor takes, without what it calls.
fn stack_usage(compiler: &str, flags: &str, listing: &Path) -> u32 {
    let flags = format!("-DPAGELOOM_SUPERVISOR -fstack-usage {flags}");
    compile(compiler, &flags, &[&listing.with_extension("o"), Path::new("src/player/player.c")]);
    let listed = std::fs::read_to_string(listing).expect("a listing");
    let row = listed.lines().find(|line| line.contains(":pageloom_supervise\t")).expect("the supervisor's row");
    row.split('\t').nth(1).and_then(|bytes| bytes.parse().ok()).expect("a number of bytes")
}

type Row = fn(Core) -> &'static CompanionCode;

/// A player with a live value, as thresholds need one.
const LIVE: &str = "-DPAGELOOM_AREAS=2 -DPAGELOOM_LIVE=1";

#[test]
fn the_code_beside_the_player_takes_what_the_budgets_say() {
    let folder = workshop("companions");
    let [alone, with, variable] = ["player", "companion", "variable"].map(|name| folder.join(name).with_extension("o"));
    let source = folder.join("variable.c");
    std::fs::write(&source, "#include \"player.h\"\npageloom_supervisor supervisor = { 0 };\n").expect("written");
    for (core, compiler, size, flags) in [
        (Core::Avr, "avr-gcc", "avr-size", "-mmcu=atmega328p"),
        (Core::CortexM, "arm-none-eabi-gcc", "arm-none-eabi-size", "-mcpu=cortex-m3 -mthumb"),
    ] {
        let flags = format!("{flags} -Os -std=c99 -Wall -Wextra -Werror -pedantic -Isrc/player -c -o");
        let rows: [(&str, Row); 4] = [
            ("LAMPS", lamp_code_on),
            ("SUPERVISOR", supervisor_code_on),
            ("TEXTS", text_code_on),
            ("THRESHOLDS", threshold_code_on),
        ];
        for (name, row) in rows {
            let flags = if matches!(name, "TEXTS" | "THRESHOLDS") { format!("{LIVE} {flags}") } else { flags.clone() };
            compile(compiler, &flags, &[&alone, Path::new("src/player/player.c")]);
            compile(compiler, &format!("-DPAGELOOM_{name} {flags}"), &[&with, Path::new("src/player/player.c")]);
            let measured = section_bytes(size, &with, ".text") - section_bytes(size, &alone, ".text");
            let counted = row(core).flash.0;
            // 5 %, as for the player: compilers differ a little from version to version.
            assert!(
                measured.abs_diff(counted) * 20 <= counted,
                "{core:?} {name}: measured {measured}, counted {counted}"
            );
        }
        let stack = stack_usage(compiler, &flags, &with.with_extension("su"));
        assert_eq!(stack, supervisor_code_on(core).stack.0, "{core:?}");
        compile(compiler, &format!("-DPAGELOOM_SUPERVISOR {flags}"), &[&variable, &source]);
        assert_eq!(section_bytes(size, &variable, ".bss"), supervisor_code_on(core).ram.0, "{core:?}");
    }
}
