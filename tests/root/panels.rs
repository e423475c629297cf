//! Panels, mountings and buses against published figures.

use pageloom::emulator::Emulator;
use pageloom::panel::*;
use pageloom::render::Bitmap;
use pageloom::units::{Hertz, Nanoseconds};
use proptest::prelude::*;

fn row(name: &str) -> &'static Panel {
    find(name).expect("a row of the table")
}

const TURNS: [MountingTurn; 4] = [MountingTurn::Upright, MountingTurn::Half, MountingTurn::Left, MountingTurn::Right];

fn mountings() -> impl Iterator<Item = Mounting> {
    TURNS.into_iter().flat_map(|turn| [false, true].map(|mirror| Mounting { turn, mirror, opening: None }))
}

/// Active areas as the panels' data sheets print them, in millimetres; 0.66, 0.69 and 1.54 inch from memory.
#[test]
fn active_areas_close_with_pitch_and_dot() {
    let published = [
        ("0.42in-72x40-ssd1306", 9.196, 5.18),
        ("0.49in-64x32-ssd1306", 11.18, 5.58),
        ("0.66in-64x48-ssd1306", 13.42, 10.06),
        ("0.69in-96x16-ssd1306", 17.26, 3.18),
        ("0.91in-128x32-ssd1306", 22.384, 5.584),
        ("0.96in-128x64-ssd1306", 21.744, 10.864),
        ("1.3in-128x64-sh1106", 29.42, 14.7),
        ("1.54in-128x64-ssd1309", 35.052, 17.516),
    ];
    for (name, width, height) in published {
        let (across, down) = row(name).active_area_millimetres();
        assert!((across - width).abs() < 1e-9 && (down - height).abs() < 1e-9, "{name}: {across} × {down}");
    }
}

#[test]
fn every_row_can_work_and_has_a_name_of_its_own() {
    for (index, panel) in panels().iter().enumerate() {
        assert_eq!(panel.complaints(), [], "{}", panel.name);
        assert!(panels()[..index].iter().all(|other| other.name != panel.name));
    }
}

/// SSD1306 data sheet Rev 1.5 §8.3 and SSD1315 Rev 1.1, worked by hand: multiplex, D9 → hertz.
#[test]
fn frame_frequencies_are_those_of_the_data_sheets() {
    let typical = |name: &str, multiplex, precharge| {
        let controller = controller(name).expect("a row of the table");
        controller.frame_frequency(0x80, precharge, multiplex).map(|found| f64::from(found.typical_millihertz) / 1000.0)
    };
    let expected = [
        ("SSD1306", 64, 0x22, 107.06),
        ("SSD1306", 64, 0xF1, 87.59),
        ("SSD1306", 48, 0xF1, 116.79),
        ("SSD1306", 40, 0x22, 171.30),
        ("SSD1306", 40, 0xF1, 140.15),
        ("SSD1306", 32, 0x22, 214.12),
        ("SSD1306", 16, 0xF1, 350.38),
        // 103 clocks a row at the SSD1315's shortest phases, two clocks each; D9 counts in steps of two.
        ("SSD1315", 64, 0x11, 104.37),
        ("SSD1315", 40, 0x11, 166.99),
    ];
    for (name, multiplex, precharge, hertz) in expected {
        let found = typical(name, multiplex, precharge).expect("a known clock");
        assert!((found - hertz).abs() <= 0.01, "{name} {multiplex} {precharge:02X}: {found}");
    }
    // Figure 10-7 read by eye: 370 kHz at code 8, 450 kHz at code C, so 410 kHz half way; divided by 2.
    let halved = controller("SSD1306").and_then(|row| row.frame_frequency(0xA1, 0x22, 64)).expect("a known clock");
    assert_eq!(halved.typical_millihertz, 59_317);
    let spread = row("0.96in-128x64-ssd1306").controller.frame_frequency(0x80, 0x22, 64).expect("a known clock");
    assert_eq!((spread.lowest_millihertz / 10, spread.highest_millihertz / 10), (9635, 11776));
}

/// SSD1306 data sheet Rev 1.5 Table 12-1: 100, 69 and 25 µA at contrast FF, AF and 3F.
#[test]
fn segment_currents_are_those_of_the_data_sheet() {
    let panel = row("0.96in-128x64-ssd1306");
    for (contrast, microamperes) in [(0xFF, 100), (0xAF, 69), (0x3F, 25)] {
        let found = panel.segment_current_nanoamperes(contrast).expect("a known model");
        assert!(found.abs_diff(microamperes * 1000) <= 1000, "{contrast:02X}: {found} nA");
    }
    // SSD1315 data sheet Rev 1.1, AD: at most 240 µA with the 30 µA reference, 150 µA with 19 µA.
    let bright = row("0.42in-72x40-ssd1315").segment_current_nanoamperes(0xFF).expect("a known model");
    assert!(bright.abs_diff(240_000) <= 1000, "{bright} nA");
}

fn bus(clock: u32, write_limit: u16) -> BusSettings {
    BusSettings {
        wires: Wires::I2c { address: 0x3C, acknowledged: true },
        clock: Hertz(clock),
        write_limit,
        per_call: 32,
    }
}

/// 9 clocks a byte (UM10204 Rev 7.0 §3.1.5) and the shortest times of its Table 11, worked by hand.
#[test]
fn bus_times_are_those_of_the_standard() {
    assert_eq!(BusSettings::clocks(1 + 1024), 9234);
    assert_eq!(BusSettings::clocks(1 + 360), 3258);
    // 9234 clocks and 0.6 + 0.6 + 1.3 µs; at 100 kHz 4.0 + 4.0 + 4.7 µs.
    assert_eq!(bus(400_000, 255).transaction_time(1025), Nanoseconds(23_085_000 + 2_500));
    assert_eq!(bus(100_000, 255).transaction_time(1025), Nanoseconds(92_340_000 + 12_700));
    assert_eq!(bus(1_000_000, 255).transaction_time(1), Nanoseconds(18_000 + 1_020));
    assert_eq!(bus(400_000, 255).transaction_time(361), Nanoseconds(8_145_000 + 2_500));
}

/// SPI, 8 clocks a byte (SSD1306 Rev 1.5 §8.1.3), worked by hand: 1024 bytes at 8 MHz take 1.024 ms, at 4 MHz 2.048 ms, and
/// chip select with D/C 120 + 60 + 150 ns (SSD1305 Rev 1.8 Table 13-4).
#[test]
fn bus_times_on_spi_are_those_of_the_sheets() {
    let with = |data_command, clock| BusSettings {
        wires: Wires::Spi { data_command },
        clock: Hertz(clock),
        write_limit: 255,
        per_call: 32,
    };
    let spi = |clock| with(DataCommand::Line, clock);
    assert_eq!(spi(8_000_000).display_time(1024), Nanoseconds(1_024_000 + 330));
    assert_eq!(spi(4_000_000).display_time(1024), Nanoseconds(2_048_000 + 330));
    assert_eq!(spi(10_000_000).display_time(3), Nanoseconds(2_400 + 330));
    // Four transactions of 254 bytes, and one of 8.
    assert_eq!(spi(8_000_000).data_time(1024), Nanoseconds(1_024_000 + 5 * 330));
    // Nine clocks a byte without a D/C line (SH1107 V2.1, 3-wire serial interface): 1024 bytes at 4 MHz take 2.304 ms.
    assert_eq!(with(DataCommand::Bit, 4_000_000).display_time(1024), Nanoseconds(2_304_000 + 330));
    // 100 and 250 ns a cycle: SSD1306 Rev 1.5 Table 13-4, SH1106 V2.2.
    let highest = |name: &str| controller(name).expect("a row").highest_spi_clock;
    assert_eq!([highest("SSD1306"), highest("SH1106")], [Some(Hertz(10_000_000)), Some(Hertz(4_000_000))]);
}

/// Window commands (72 clocks) and a whole frame in 31-byte pieces, clocks worked by hand.
#[test]
fn whole_frames_in_pieces_take_the_clocks_worked_out() {
    let expected = [(360_u32, 3528), (256, 2538), (384, 3762), (192, 1926), (512, 4986), (1024, 9900)];
    for (bytes, clocks) in expected {
        let pieces = u64::from(bytes.div_ceil(31));
        let wire = Nanoseconds((clocks - 72) * 10_000 + pieces * 12_700);
        assert_eq!(bus(100_000, 32).data_time(bytes), wire, "{bytes}");
    }
}

/// HP7240 module specification Ver 1.0 §10 lists these settings, in its own order.
#[test]
fn set_up_of_the_smallest_glass_holds_its_specification() {
    let groups = set_up_commands(row("0.42in-72x40-ssd1306"), &Mounting::default(), 0x2F);
    let bytes = groups.concat();
    let listed: [&[u8]; 13] = [
        &[0xAE],
        &[0x40],
        &[0x81, 0x2F],
        &[0x20, 0x02],
        &[0xA0],
        &[0xA4],
        &[0xA6],
        &[0xA8, 0x27],
        &[0xC0],
        &[0xD3, 0x00],
        &[0xD5, 0x80],
        &[0xD9, 0x22],
        &[0xDA, 0x12],
    ];
    // SSD1306 data sheet Rev 1.5 §10.2: scrolling is stopped before anything else.
    assert_eq!(bytes[..2], [0xAE, 0x2E]);
    let more: [&[u8]; 3] = [&[0xAD, 0x30], &[0xDB, 0x20], &[0x8D, 0x14]];
    for command in listed.iter().chain(&more) {
        assert!(bytes.windows(command.len()).any(|window| window == *command), "{command:02X?} in {bytes:02X?}");
    }
    assert!(!bytes.contains(&0xAF), "the first picture switches the display on");
}

/// 1.3 inch SH1106 panel specification §4.4, internal pump.
#[test]
fn set_up_of_the_page_only_controller_holds_its_specification() {
    let bytes = set_up_commands(row("1.3in-128x64-sh1106"), &Mounting::default(), 0xFF).concat();
    let listed: [&[u8]; 11] = [
        &[0xAE],
        &[0x40],
        &[0x81, 0xFF],
        &[0xA1],
        &[0xA6],
        &[0xA8, 0x3F],
        &[0xAD, 0x8B, 0x33],
        &[0xC8],
        &[0xD3, 0x00],
        &[0xD9, 0x1F],
        &[0xDA, 0x12],
    ];
    for command in listed {
        assert!(bytes.windows(command.len()).any(|window| window == command), "{command:02X?} in {bytes:02X?}");
    }
    assert!(!bytes.contains(&0x20), "it knows no windows");
}

fn send(display: &mut Emulator, control: u8, bytes: &[u8]) {
    assert!(display.start(0x3C) && display.write(control) && bytes.iter().all(|byte| display.write(*byte)));
    display.stop();
}

/// Sets the panel up, writes the viewer's picture by the memory mapping and returns what the viewer sees.
fn shown(panel: &Panel, mounting: &Mounting, picture: &Bitmap) -> Bitmap {
    let mut display = Emulator::new(panel);
    for group in set_up_commands(panel, mounting, panel.drive.contrast) {
        assert!(group.len() <= 8, "a command group of {} bytes", group.len());
        send(&mut display, 0x00, &group);
    }
    let window = mounting.memory_window(panel);
    let mut pages = vec![vec![0_u8; usize::from(window.columns)]; usize::from(window.pages())];
    for (x, y) in picture.lit_pixels() {
        let (column, row) = mounting.memory_pixel(panel, x as u32, y as u32);
        pages[row as usize / 8][column as usize - usize::from(window.first_column)] |= 1 << (row % 8);
    }
    for (page, bytes) in pages.iter().enumerate() {
        let (low, high) = (window.first_column & 15, window.first_column >> 4);
        match panel.controller.command_set {
            CommandSet::Paged => send(&mut display, 0x00, &[0xB0 | page as u8, low, 0x10 | high]),
            CommandSet::Banked => send(&mut display, 0x00, &[0x40 | page as u8, 0x80 | window.first_column]),
        }
        send(&mut display, 0x40, bytes);
    }
    let state = PanelState { on: true, inverted: false, contrast: Some(panel.drive.contrast) };
    send(&mut display, 0x00, &panel.controller.state_commands(None, state));
    assert_eq!(display.faults(), [], "{} {mounting:?}", panel.name);
    display.as_mounted(mounting)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]
    #[test]
    fn the_viewer_sees_the_picture_whatever_panel_and_mounting(bits in prop::collection::vec(any::<bool>(), 128 * 128)) {
        for panel in panels() {
            for mounting in mountings() {
                let (width, height) = mounting.view_size(panel);
                let mut picture = Bitmap::new(width, height);
                for (n, lit) in bits.iter().take((width * height) as usize).enumerate() {
                    picture.set((n as u32 % width) as i32, (n as u32 / width) as i32, *lit);
                }
                let seen = shown(panel, &mounting, &picture);
                prop_assert!(seen == picture, "{} {:?}\n{}\n{}", panel.name, mounting, seen, picture);
            }
        }
    }
}

/// A display of one's own: driven with more rows than it has, off centre, with a start line; all turns must still come right.
#[test]
fn a_glass_of_ones_own_is_turned_with_its_offsets() {
    let stock = row("0.96in-128x64-ssd1306");
    for (multiplex, display_offset, start_line, commons_reversed) in
        [(64, 0, 24, true), (64, 24, 0, true), (56, 3, 0, false), (48, 0, 0, true), (64, 60, 0, false)]
    {
        let wiring =
            Wiring { first_column: 5, multiplex, display_offset, start_line, commons_reversed, ..stock.wiring };
        let panel = Panel { name: "own".into(), width: 70, height: 40, wiring, ..stock.clone() };
        assert_eq!(panel.complaints(), []);
        for mounting in mountings() {
            let (width, height) = mounting.view_size(&panel);
            let mut picture = Bitmap::new(width, height);
            for n in 0..width as i32 {
                picture.set(n, n * n % height as i32, true);
                picture.set(n, 0, true);
            }
            let seen = shown(&panel, &mounting, &picture);
            assert!(seen == picture, "{wiring:?} {mounting:?}\n{seen}\n{picture}");
        }
    }
}

/// The same where columns are commons (SH1107): the start line (DC) moves columns, and each turn still comes right.
#[test]
fn a_glass_whose_columns_are_commons_is_turned_with_its_offsets() {
    let stock = row("1.3in-64x128-sh1107");
    let own = |(first_column, multiplex, display_offset, start_line, commons_reversed)| {
        let wiring = Wiring { first_column, multiplex, display_offset, start_line, commons_reversed, ..stock.wiring };
        Panel { name: "own".into(), wiring, ..stock.clone() }
    };
    for wiring in [(0, 64, 96, 0, false), (32, 128, 0, 0, true), (32, 64, 5, 32, false), (20, 100, 7, 3, true)] {
        let panel = own(wiring);
        assert_eq!(panel.complaints(), [], "{wiring:?}");
        for mounting in mountings() {
            let (width, height) = mounting.view_size(&panel);
            let mut picture = Bitmap::new(width, height);
            for n in 0..width as i32 {
                picture.set(n, n * n % height as i32, true);
                picture.set(n, 0, true);
            }
            let seen = shown(&panel, &mounting, &picture);
            assert!(seen == picture, "{wiring:?} {mounting:?}\n{seen}\n{picture}");
        }
    }
    // Columns 32 to 95 with 64 lines driven need start line 32.
    let complaints = own((32, 64, 5, 0, false)).complaints();
    assert_eq!(complaints.iter().map(|complaint| complaint.field).collect::<Vec<_>>(), ["start_line"]);
    assert!(complaints[0].message.contains("a column of the panel on line 64"), "{complaints:?}");
}

#[test]
fn impossible_glasses_are_refused_with_every_fault() {
    let stock = row("0.96in-128x64-ssd1306");
    let wiring = Wiring { first_column: 1, multiplex: 8, common_pins: 0x00, ..stock.wiring };
    let drive = Drive { precharge: 0x0F, deselect: 0x40, reference: Some(0x30), ..stock.drive };
    let panel = Panel { wiring, drive, dot_micrometres: [0, 154], ..stock.clone() };
    let fields: Vec<_> = panel.complaints().iter().map(|complaint| complaint.field).collect();
    assert_eq!(fields, ["dot", "first_column", "multiplex", "common_pins", "precharge", "deselect", "reference"]);
}

/// Pitch 0.128 × 0.13 mm, dot 0.108 × 0.11 mm (HP7240 module specification Ver 1.0 §5): dot n starts at n × pitch.
#[test]
fn an_opening_shows_only_whole_dots() {
    let panel = row("0.42in-72x40-ssd1306");
    let upright = Mounting::default();
    let pixels = |mounting: &Mounting, left, top, width, height| {
        PanelOpening::Millimetres { left, top, width, height }.pixels(panel, mounting)
    };
    assert_eq!(pixels(&upright, -1.0, -1.0, 20.0, 20.0), OpeningPixels { left: 0, top: 0, width: 72, height: 40 });
    // 0.128 to 0.364 mm holds dots 1 (0.128–0.236) and 2 (0.256–0.364).
    assert_eq!(pixels(&upright, 0.128, 0.0, 0.236, 0.11), OpeningPixels { left: 1, top: 0, width: 2, height: 1 });
    assert_eq!(pixels(&upright, 0.13, 0.0, 0.233, 0.11).width, 0);
    let turned = Mounting { turn: MountingTurn::Left, ..upright };
    assert_eq!(pixels(&turned, 0.13, 0.128, 0.24, 0.108), OpeningPixels { left: 1, top: 1, width: 2, height: 1 });
    let clipped = PanelOpening::Pixels(OpeningPixels { left: 70, top: 10, width: 9, height: 4 });
    assert_eq!(clipped.pixels(panel, &upright), OpeningPixels { left: 70, top: 10, width: 2, height: 4 });
}
