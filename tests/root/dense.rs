//! Dense reels: films keep time, and a beam is predicted however the display is mounted.

use pageloom::budget::choose;
use pageloom::diag::Findings;
use pageloom::reel::{Options, compile_densely};
use pageloom::render::render;
use pageloom::show::load;
use pageloom::source::{Disk, FilesInMemory, Reader};
use std::path::Path;

/// The films of the bench at fifteen frames a second on an ATmega328P: what a general compressor makes of them, all orders and with
/// and without the former frame (xz -9e; `cargo bench --bench reel` prints the best of several), and whether they keep time.
#[test]
fn films_keep_time_on_an_8_bit_part() {
    for (name, general) in [("film-wire", 9749), ("film-bodies", 3892)] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenes/bench/{name}.ron"));
        let mut findings = Findings::default();
        let show = load(&mut Reader::new(&Disk), &path, &mut findings).expect("a show");
        let choice = choose(Options::default(), &show, &render(&show), &mut findings).expect("a reel");
        let fit = choice.profiles.iter().find(|fit| fit.profile == "dense").expect("a dense one");
        println!("{name}: {fit:?}");
        assert!(fit.fits() && !fit.falls_behind, "{name}: {fit:?}");
        assert!(fit.reel_bytes * 10 <= general * 11, "{name}: {} bytes", fit.reel_bytes);
    }
}

/// What the script of the sweep reads.
const FONTS: [&str; 3] = ["cleat", "binnacle", "chandlery"];

/// However the display is mounted, the player predicts the sweep: its reel stays as small as that of the display upright.
#[test]
fn a_beam_is_foreseen_on_a_glass_that_is_mounted_in_any_way() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/bench/sweep-128x64.ron");
    let script = std::fs::read_to_string(&path).expect("the script is there").replace("../../fonts", "fonts");
    let bytes = |mounting: &str| {
        let mounted = script.replace("    bus: I2c", &format!("    mounting: {mounting},\n    bus: I2c"));
        let mut files = FilesInMemory::default().with("show.ron", mounted);
        for name in FONTS.iter().flat_map(|font| ["ron", "png"].map(|ending| format!("fonts/{font}.{ending}"))) {
            let font = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(&name)).expect("a font");
            files = files.with(name, font);
        }
        let mut findings = Findings::default();
        let show = load(&mut Reader::new(&files), Path::new("show.ron"), &mut findings);
        let show = show.unwrap_or_else(|| panic!("{mounting} is at fault: {findings:?}"));
        let reel = compile_densely(&show, &render(&show), &mut findings).expect("it is dense");
        assert!(reel.parts.beam, "{mounting}: no beam is predicted");
        reel.bytes.len()
    };
    let upright = bytes("Mounting(turn: Upright)");
    for turn in ["Upright", "Half", "Left", "Right"] {
        for mirror in [false, true] {
            let mounting = format!("Mounting(turn: {turn}, mirror: {mirror})");
            let bytes = bytes(&mounting);
            assert!(bytes * 2 <= upright * 3, "{mounting}: {bytes} bytes, upright {upright}");
        }
    }
}
