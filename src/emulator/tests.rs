//! Rows, pins and pointer of the controller model against the data sheet's tables and examples.

use super::commons::Scan;
use super::{Emulator, FaultKind};
use crate::panel::{Mounting, MovedByShow, Panel, PanelState, find, panels, refresh_commands, set_up_commands};

fn scan(reversed: bool, multiplex: u8, display_offset: u8, start_line: u8) -> Scan {
    Scan { commons: 64, reversed, multiplex, display_offset, start_line, common_pins: 0x02, zoomed: false }
}

fn panel(name: &str) -> &'static Panel {
    find(name).expect("a row of the table")
}

/// One transaction at the usual address; true when every byte was acknowledged.
fn send(emulator: &mut Emulator, bytes: &[u8]) -> bool {
    let acknowledged = emulator.start(0x3C) && bytes.iter().all(|byte| emulator.write(*byte));
    emulator.stop();
    acknowledged
}

fn kinds(emulator: &Emulator) -> Vec<FaultKind> {
    emulator.faults().iter().map(|fault| fault.kind).collect()
}

/// SSD1306 data sheet Rev 1.5 Tables 10-1 and 10-2, first and last cells of columns, from memory.
#[test]
fn commons_show_the_rows_of_the_data_sheet_tables() {
    let shown = |scan: Scan, common| scan.row_of_common(common);
    assert_eq!([shown(scan(false, 64, 0, 0), 0), shown(scan(false, 64, 0, 0), 63)], [Some(0), Some(63)]);
    assert_eq!([shown(scan(false, 64, 8, 0), 0), shown(scan(false, 64, 8, 0), 56)], [Some(8), Some(0)]);
    assert_eq!([shown(scan(false, 64, 0, 8), 0), shown(scan(false, 64, 0, 8), 56)], [Some(8), Some(0)]);
    assert_eq!([shown(scan(false, 56, 0, 0), 55), shown(scan(false, 56, 0, 0), 56)], [Some(55), None]);
    assert_eq!([shown(scan(false, 56, 8, 0), 47), shown(scan(false, 56, 8, 0), 48)], [Some(55), None]);
    assert_eq!([shown(scan(false, 56, 8, 0), 56), shown(scan(false, 56, 0, 8), 55)], [Some(0), Some(63)]);
    assert_eq!([shown(scan(true, 64, 0, 0), 0), shown(scan(true, 64, 0, 0), 63)], [Some(63), Some(0)]);
    assert_eq!([shown(scan(true, 48, 0, 0), 0), shown(scan(true, 48, 0, 0), 48)], [Some(47), None]);
    assert_eq!([shown(scan(true, 48, 8, 0), 8), shown(scan(true, 48, 8, 0), 7)], [Some(47), None]);
    assert_eq!([shown(scan(true, 48, 0, 8), 0), shown(scan(true, 48, 0, 8), 47)], [Some(55), Some(8)]);
}

/// Worked from the same tables: a display on COM0–39 shows rows 24–63 with multiplex 64 and rows 0–39 with multiplex 40, scanned from the last.
#[test]
fn a_wrong_multiplex_looks_like_a_vertical_shift() {
    let rows = |multiplex| (0..40).filter_map(move |common| scan(true, multiplex, 0, 0).row_of_common(common));
    assert_eq!((rows(64).min(), rows(64).max()), (Some(24), Some(63)));
    assert_eq!((rows(40).min(), rows(40).max()), (Some(0), Some(39)));
}

/// HP7240 module specification Ver 1.0: 40 rows hang on COM0–19 and COM32–51 with DA 12.
#[test]
fn alternative_pins_interleave_the_halves() {
    let rows = Scan { common_pins: 0x12, ..scan(false, 40, 0, 0) }.rows_by_pin();
    let driven: Vec<usize> = (0..64).filter(|pin| rows[*pin].is_some()).collect();
    assert_eq!(driven, (0..20).chain(32..52).collect::<Vec<_>>());
    assert_eq!([rows[0], rows[32], rows[1], rows[51]], [Some(0), Some(1), Some(2), Some(39)]);
}

/// SSD1306 data sheet Rev 1.5 Table 10-3, from memory: with left/right remap row 0 leaves on COM32.
#[test]
fn left_right_remap_changes_the_halves_over() {
    let rows = |common_pins| Scan { common_pins, ..scan(false, 64, 0, 0) }.rows_by_pin();
    assert_eq!([rows(0x22)[32], rows(0x22)[0]], [Some(0), Some(32)]);
    assert_eq!([rows(0x32)[32], rows(0x32)[0], rows(0x32)[33]], [Some(0), Some(1), Some(2)]);
}

/// SSD1306 data sheet Rev 1.5 Table 9-1, D6: rows 0–31 fill the display, each twice.
#[test]
fn zoom_shows_each_row_twice() {
    let zoomed = Scan { zoomed: true, ..scan(false, 64, 0, 0) };
    assert_eq!([0, 1, 2, 63].map(|common| zoomed.row_of_common(common)), [Some(0), Some(0), Some(1), Some(31)]);
}

/// SSD1306 data sheet Rev 1.5 §10.1.3: columns 2–125, pages 1–6, horizontal: after (125, 6) comes (2, 1).
#[test]
fn a_window_returns_to_its_start_in_either_direction() {
    for (mode, at_second_line) in [(0, (2, 2)), (1, (1, 3))] {
        let mut emulator = Emulator::new(panel("0.96in-128x64-ssd1306"));
        assert!(send(&mut emulator, &[0x00, 0x20, mode, 0x21, 2, 125, 0x22, 1, 6]));
        let line = if mode == 0 { 124 } else { 6 };
        send(&mut emulator, &[&[0x40][..], &vec![0xAA; line]].concat());
        assert_eq!(emulator.position(), at_second_line);
        send(&mut emulator, &[&[0x40][..], &vec![0x55; 124 * 6 - line]].concat());
        assert_eq!(emulator.position(), (1, 2));
        assert_eq!([emulator.memory(1, 2), emulator.memory(6, 125)], [0xAA, 0x55]);
        assert!(emulator.faults().is_empty());
    }
}

/// SSD1306 data sheet Rev 1.5 §10.1.3: B2, 03, 10 points at page 2, column 3; at the end the page stays.
#[test]
fn page_addressing_stays_on_its_page() {
    let mut emulator = Emulator::new(panel("0.96in-128x64-ssd1306"));
    send(&mut emulator, &[0x00, 0xB2, 0x03, 0x10]);
    assert_eq!(emulator.position(), (2, 3));
    send(&mut emulator, &[&[0x40][..], &[7; 125]].concat());
    assert_eq!(emulator.position(), (2, 0));
    assert!(emulator.faults().is_empty());
}

/// SH1106 data sheet, excerpt: the column stops after 131 and the page does not change.
#[test]
fn a_stopping_pointer_loses_what_comes_after_the_last_column() {
    let mut emulator = Emulator::new(panel("1.3in-128x64-sh1106"));
    send(&mut emulator, &[0x00, 0xB1, 0x03, 0x18]);
    send(&mut emulator, &[0x40, 0x11, 0x22]);
    assert_eq!((emulator.position(), emulator.memory(1, 131)), ((1, 132), 0x11));
    assert_eq!(kinds(&emulator), [FaultKind::PastLastColumn]);
}

/// SH1106 commands E0 and EE (from memory): the column of E0 comes back at EE.
#[test]
fn a_kept_column_comes_back() {
    let mut emulator = Emulator::new(panel("1.3in-128x64-sh1106"));
    send(&mut emulator, &[0x00, 0x05, 0x11, 0xE0, 0x00, 0x10]);
    assert_eq!(emulator.position(), (0, 0));
    send(&mut emulator, &[0x00, 0xEE]);
    assert_eq!(emulator.position(), (0, 0x15));
}

/// SSD1306 data sheet Rev 1.5 §10.1.8 and §10.1.14: A0/A1 acts on later writes only, C0/C8 at once.
#[test]
fn remap_acts_on_later_writes_and_scan_at_once() {
    let mut emulator = Emulator::new(panel("0.96in-128x64-ssd1306"));
    for page in 0..8 {
        send(&mut emulator, &[0x00, 0xB0 | page, 0x00, 0x10]);
        send(&mut emulator, &[&[0x40][..], &[0; 128]].concat());
    }
    send(&mut emulator, &[0x00, 0xA1, 0xC8, 0x8D, 0x14, 0xAF, 0xB0, 0x00, 0x10]);
    send(&mut emulator, &[0x40, 0x01]);
    assert_eq!(emulator.visible().lit_pixels().collect::<Vec<_>>(), [(0, 0)]);
    send(&mut emulator, &[0x00, 0xA0]);
    assert_eq!(emulator.visible().lit_pixels().collect::<Vec<_>>(), [(0, 0)]);
    send(&mut emulator, &[0x00, 0xC0]);
    assert_eq!(emulator.visible().lit_pixels().collect::<Vec<_>>(), [(0, 63)]);
    send(&mut emulator, &[0x00, 0xB0, 0x00, 0x10]);
    send(&mut emulator, &[0x40, 0x01]);
    assert_eq!(emulator.visible().lit_pixels().collect::<Vec<_>>(), [(0, 63), (127, 63)]);
}

#[test]
fn the_glass_is_dark_until_it_is_on_and_has_its_voltage() {
    let mut emulator = Emulator::new(panel("0.42in-72x40-ssd1306"));
    send(&mut emulator, &[0x00, 0xA5]);
    assert_eq!(emulator.visible().lit(), 0);
    send(&mut emulator, &[0x00, 0xAF]);
    assert_eq!((emulator.visible().lit(), kinds(&emulator)), (0, vec![FaultKind::NoHighVoltage]));
    send(&mut emulator, &[0x00, 0xAE, 0x8D, 0x14, 0xAF]);
    assert_eq!(emulator.visible().lit(), 72 * 40);
    send(&mut emulator, &[0x00, 0xA8, 0x0F]);
    assert_eq!(emulator.visible().lit(), 72 * 16, "only the rows driven are lit");
}

/// SSD1306 data sheet Rev 1.5 §8.1.5: Co = 1 announces one byte before the next control byte.
#[test]
fn control_bytes_may_precede_each_byte() {
    let mut emulator = Emulator::new(panel("0.96in-128x64-ssd1306"));
    send(&mut emulator, &[0x80, 0x81, 0x80, 0x42, 0xC0, 0x5A, 0x80, 0xA7, 0x40, 1, 2]);
    assert_eq!((emulator.contrast(), emulator.inverted()), (0x42, true));
    assert_eq!([0, 1, 2].map(|column| emulator.memory(0, column)), [0x5A, 1, 2]);
    assert!(emulator.faults().is_empty());
    assert!(!emulator.start(0x3D), "another device's address is not acknowledged");
    assert!(!emulator.write(0));
}

#[test]
fn each_fault_is_named_with_its_byte() {
    let narrow = "0.91in-128x32-ssd1306";
    let cases: &[(&str, &[u8], FaultKind)] = &[
        (narrow, &[0x01], FaultKind::ControlByte(0x01)),
        (narrow, &[0x00, 0xFF], FaultKind::Prohibited(0xFF)),
        (narrow, &[0x00, 0xAD], FaultKind::Prohibited(0xAD)),
        (narrow, &[0x00, 0xA8, 14], FaultKind::OutOfRange { command: 0xA8, parameter: 14 }),
        (narrow, &[0x00, 0xDB, 0x40], FaultKind::OutOfRange { command: 0xDB, parameter: 0x40 }),
        (narrow, &[0x00, 0x20, 3], FaultKind::OutOfRange { command: 0x20, parameter: 3 }),
        (narrow, &[0x00, 0x8D, 0x94], FaultKind::OutOfRange { command: 0x8D, parameter: 0x94 }),
        (narrow, &[0x00, 0x20, 0, 0xB0], FaultKind::PageCommandInWindowMode(0xB0)),
        (narrow, &[0x00, 0x21, 0, 9], FaultKind::WindowCommandInPageMode(0x21)),
        (narrow, &[0x00, 0x20, 0, 0x22, 5, 4], FaultKind::OutOfRange { command: 0x22, parameter: 4 }),
        (narrow, &[0x00, 0xD5], FaultKind::Unfinished { command: 0xD5, missing: 1 }),
        (narrow, &[0x80, 0x81, 0x40, 1], FaultKind::DataForParameter { command: 0x81 }),
        (narrow, &[0x00, 0x2F], FaultKind::ScrollNotSetUp),
        (narrow, &[0x00, 0x23, 0x10], FaultKind::OutOfRange { command: 0x23, parameter: 0x10 }),
        (narrow, &[0x00, 0xD6, 2], FaultKind::OutOfRange { command: 0xD6, parameter: 2 }),
        (narrow, &[0x00, 0xD9, 0x20], FaultKind::OutOfRange { command: 0xD9, parameter: 0x20 }),
        (narrow, &[0x00, 0xDA, 0x00], FaultKind::OutOfRange { command: 0xDA, parameter: 0 }),
        (narrow, &[0x00, 0xD3, 64], FaultKind::OutOfRange { command: 0xD3, parameter: 64 }),
        (narrow, &[0x00, 0xA3, 8, 57], FaultKind::OutOfRange { command: 0xA3, parameter: 57 }),
        (narrow, &[0x00, 0x26, 0, 3, 0, 2, 0, 0xFF], FaultKind::OutOfRange { command: 0x26, parameter: 2 }),
        (narrow, &[0x00, 0x18], FaultKind::OutOfRange { command: 0x18, parameter: 0x80 }),
        ("0.96in-128x64-ssd1315", &[0x00, 0xAD, 0x8B], FaultKind::OutOfRange { command: 0xAD, parameter: 0x8B }),
        ("1.3in-128x64-sh1106", &[0x00, 0xAD, 0x30], FaultKind::OutOfRange { command: 0xAD, parameter: 0x30 }),
        (narrow, &[0x80, 0x20, 0x80, 0, 0x80, 0x21, 0x80, 0, 0x80, 1, 0x80, 0x20, 0x80, 2, 0x40, 1, 2, 3], {
            FaultKind::PastForgottenWindow
        }),
        ("0.96in-128x64-ssd1315", &[0x00, 0x81, 0], FaultKind::OutOfRange { command: 0x81, parameter: 0 }),
        ("0.96in-128x64-ssd1315", &[0x00, 0x1F], FaultKind::Prohibited(0x1F)),
        ("0.96in-128x64-ssd1315", &[0x00, 0x29, 0, 0, 0, 7, 1], FaultKind::Unfinished { command: 0x29, missing: 2 }),
        ("1.3in-128x64-sh1106", &[0x00, 0x20], FaultKind::Prohibited(0x20)),
        ("1.3in-128x64-sh1106", &[0x00, 0xAF, 0xAD, 0x8A], FaultKind::PumpWhileOn),
        ("1.54in-128x64-ssd1309", &[0x00, 0x8D], FaultKind::Prohibited(0x8D)),
        ("1.54in-128x64-ssd1309", &[0x00, 0xFD, 0x16, 0xAF], FaultKind::Locked(0xAF)),
    ];
    for &(name, bytes, expected) in cases {
        let mut emulator = Emulator::new(panel(name));
        assert!(send(&mut emulator, bytes));
        assert_eq!(kinds(&emulator), [expected], "{name} {bytes:02X?}");
        assert!((1..=bytes.len() as u64).contains(&emulator.faults()[0].byte));
    }
}

/// SSD1306 data sheet Rev 1.5 §10.2: while scrolling no memory access; afterwards memory must be rewritten.
#[test]
fn scrolling_forbids_data_and_spoils_the_memory() {
    let mut emulator = Emulator::new(panel("0.96in-128x64-ssd1306"));
    send(&mut emulator, &[&[0x40][..], &[0; 128]].concat());
    send(&mut emulator, &[0x00, 0x26, 0, 0, 7, 7, 0, 0xFF, 0x2F]);
    assert!(emulator.faults().is_empty());
    send(&mut emulator, &[0x40, 0]);
    assert_eq!(kinds(&emulator), [FaultKind::WhileScrolling]);
    send(&mut emulator, &[0x00, 0x2E]);
    assert!((0..128).any(|column| emulator.memory(0, column) != 0));
}

#[test]
fn memory_is_noise_at_power_up_and_the_same_noise_again() {
    let lit = |seed| {
        let mut emulator = Emulator::new(panel("0.96in-128x64-ssd1306")).with_noise(seed);
        send(&mut emulator, &[0x00, 0x8D, 0x14, 0xAF]);
        emulator.visible()
    };
    assert_eq!(lit(1), lit(1));
    assert_ne!(lit(1), lit(2));
}

/// On every panel, after each byte of the set-up that is sent again; in the midst of a command's parameters nothing has changed yet.
#[test]
fn the_set_up_that_is_sent_again_is_never_seen() {
    for panel in panels() {
        let (mounting, contrast) = (Mounting::default(), panel.drive.contrast);
        let mut display = Emulator::new(panel).with_noise(21);
        let state = PanelState { on: true, inverted: false, contrast: Some(contrast) };
        let mut groups = set_up_commands(panel, &mounting, contrast);
        groups.push(panel.controller.state_commands(None, state));
        groups.concat().iter().for_each(|byte| display.byte_on_spi(*byte, false));
        let before = display.as_mounted(&mounting);
        assert!(display.is_on() && before.lit() > 100, "{}", panel.name);
        let moved = MovedByShow { power: false, contrast: false, start_line: false, inversion: false };
        for (number, byte) in refresh_commands(panel, &mounting, contrast, moved).concat().iter().enumerate() {
            display.byte_on_spi(*byte, false);
            assert!(
                display.is_on() && display.as_mounted(&mounting) == before,
                "{}: {byte:02X} at {number}",
                panel.name
            );
        }
        assert_eq!(display.faults(), [], "{}", panel.name);
    }
}
