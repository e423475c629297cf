//! Drivers that others wrote, on the controllers' models: the picture that they send is the one that the model shows. What they sent
//! was written down once by `drivers.py`, which names them; the files lie in `tests/cases/drivers`.

use pageloom::emulator::{Emulator, FaultKind};
use pageloom::panel::{Panel, Wiring, find};
use pageloom::render::Bitmap;

/// The picture of `drivers.py`.
fn picture(width: u32, height: u32) -> Bitmap {
    let mut picture = Bitmap::new(width, height);
    for (x, y) in (0..width).flat_map(|x| (0..height).map(move |y| (x, y))) {
        picture.set(x as i32, y as i32, (7 * x + 13 * y + x * y) % 11 < 4);
    }
    picture
}

fn driven(panel: &Panel, file: &str) -> Emulator {
    let path = format!("{}/tests/cases/drivers/{file}.txt", env!("CARGO_MANIFEST_DIR"));
    let mut display = Emulator::new(panel);
    std::fs::read_to_string(path).expect("written down").lines().for_each(|line| send(&mut display, line));
    display
}

/// Sends a line: `c` and command bytes, or `d` and data bytes.
pub fn send(display: &mut Emulator, line: &str) {
    let mut words = line.split(' ');
    let data = words.next() == Some("d");
    for byte in words {
        display.byte_on_spi(u8::from_str_radix(byte, 16).expect("a byte"), data);
    }
}

/// A driver takes glasses to be wired as it likes, and sends some commands that the data sheet does not list: those are named here.
#[test]
fn pictures_of_other_drivers_are_shown_as_they_were_meant() {
    use FaultKind::{OutOfRange, Prohibited};
    let row = |name: &str| find(name).expect("a row of the table").clone();
    let wired = |name: &str, wiring: fn(Wiring) -> Wiring| {
        let panel = row(name);
        Panel { wiring: wiring(panel.wiring), ..panel }
    };
    let no_vcomh = OutOfRange { command: 0xDB, parameter: 0x40 };
    let lcd = |wiring| Wiring { first_column: 4, segments_reversed: true, commons_reversed: false, ..wiring };
    let cases: [(&str, Panel, &[FaultKind]); 9] = [
        (
            "ssd1305-128x64",
            wired("2.23in-128x64-ssd1305", |wiring| Wiring { first_column: 0, ..wiring }),
            &[Prohibited(0x8D), no_vcomh],
        ),
        ("ssd1309-128x64", row("1.54in-128x64-ssd1309"), &[Prohibited(0x8D), no_vcomh]),
        ("ssd1315-128x64", row("0.96in-128x64-ssd1315"), &[no_vcomh]),
        ("sh1106-128x64", row("1.3in-128x64-sh1106"), &[Prohibited(0x20), Prohibited(0x8D)]),
        ("sh1107-64x128", row("1.3in-64x128-sh1107"), &[Prohibited(0xDA)]),
        ("sh1107-128x128", row("1.12in-128x128-sh1107"), &[Prohibited(0xDA)]),
        ("st7567-128x64", wired("lcd-128x64-st7567a", lcd), &[]),
        ("uc1701x-128x64", wired("lcd-128x64-uc1701x", lcd), &[]),
        ("pcd8544-84x48", row("1.5in-84x48-pcd8544"), &[]),
    ];
    for (file, panel, faults) in cases {
        let display = driven(&panel, file);
        let wanted = picture(panel.width, panel.height);
        let shown = display.visible();
        assert!(shown == wanted, "{file}:\n{shown}\nwanted:\n{wanted}\n{:?}", display.faults());
        let kinds: Vec<FaultKind> = display.faults().iter().map(|fault| fault.kind).collect();
        assert_eq!(kinds, faults, "{file}");
    }
}
