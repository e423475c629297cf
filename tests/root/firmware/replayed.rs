//! What simavr itself traces of the wires (VCD, IEEE 1364) while an ATmega328P plays a show, replayed to the very preview.

use super::examples::{ON_SPI, WATCHED};
use super::simulator::{build_avr, simulate};
use super::tools::{root, run, workshop};
use std::ffi::OsStr;
use std::path::PathBuf;

/// Builds an example with what `pageloom build` writes for a script, and traces it for so many milliseconds.
fn traced(example: &str, script: &str, stem: &str, milliseconds: u32, options: &str) -> PathBuf {
    let folder = workshop(&format!("built-{stem}"));
    let built = pageloom(&["build".as_ref(), script.as_ref(), "--out".as_ref(), folder.as_ref()]);
    assert_eq!(built.2, Some(0), "{}", built.1);
    let mut sources: Vec<PathBuf> = Vec::new();
    for folder in [root().join("examples").join(example), folder.clone()] {
        sources.extend(std::fs::read_dir(folder).expect("a folder").flatten().map(|file| file.path()));
    }
    // What `make` may have left in the example is not what was built here.
    let made = |path: &PathBuf| !path.starts_with(&folder) && folder.join(path.file_name().expect("a file")).exists();
    sources.retain(|path| path.extension() == Some("c".as_ref()) && !made(path));
    sources.sort();
    let firmware = build_avr(&folder, "-mmcu=atmega328p -DF_CPU=16000000UL", &sources);
    let capture = workshop(&format!("traced-{stem}")).join(format!("{stem}.vcd"));
    let cycles = u64::from(milliseconds) * 16_000;
    simulate(&firmware, &format!("{options} -v {} -e -q -x {cycles} {WATCHED}", capture.display())).good();
    capture
}

fn pageloom(arguments: &[&OsStr]) -> (String, String, Option<i32>) {
    let ran = run(env!("CARGO_BIN_EXE_pageloom"), arguments, "");
    (ran.out, ran.err, ran.code)
}

fn replay(arguments: &[&OsStr]) -> (String, String, Option<i32>) {
    pageloom(&[&[OsStr::new("replay")], arguments].concat())
}

fn as_previewed(script: &str, capture: &PathBuf, wires: &str) {
    let stem = capture.file_stem().and_then(OsStr::to_str).expect("a name");
    let out = workshop(&format!("replayed-{stem}"));
    let (words, err, code) =
        replay(&[capture.as_ref(), "--show".as_ref(), script.as_ref(), "--out".as_ref(), out.as_ref()]);
    println!("{words}\n{err}");
    assert_eq!(code, Some(0), "{err}");
    let pictures = words.lines().find(|line| line.contains("frames recognised")).expect("a line on pictures");
    let numbers: Vec<u32> = pictures.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    assert!(numbers.len() == 2 && numbers[0] == numbers[1] && numbers[0] >= 10, "{pictures}");
    assert!(words.contains(wires) && words.contains("the set-up\n"), "{words}");
    assert!(
        std::fs::read_dir(out).expect("a folder").flatten().any(|file| file.path().extension() == Some("gif".as_ref()))
    );
    // Without the show it is drawn all the same.
    let (words, err, code) = replay(&[capture.as_ref(), "--out".as_ref(), workshop(&format!("alone-{stem}")).as_ref()]);
    assert_eq!(code, Some(0), "{err}");
    assert!(words.contains("SSD1306"), "{words}");
}

#[test]
fn the_show_on_i2c_is_replayed_to_its_preview() {
    let idle = "-i c0:D2=1 -i c0:D3=0 -i c0:D4=1 ";
    let capture = traced("atmega328p", "scenes/helm.ron", "helm", 1500, idle);
    as_previewed("scenes/helm.ron", &capture, "I²C, clock 400.0 kHz");
}

/// Clock, data and chip select, which the firmware moves by itself; the dump is of the very pins.
const ON_THREE_WIRES: &str = "-n B5,B3,B2 -i c0:D2=1 ";

#[test]
fn the_show_on_three_wires_is_replayed_to_its_preview() {
    let script = workshop("three-wires").join("lightship.ron");
    let text =
        std::fs::read_to_string(root().join("examples/atmega328p-spi/lightship.ron")).expect("the example's show");
    let text = text.replace("Spi(clock: 8_000_000,", "Spi(clock: 1_777_777, data_command: Bit,");
    let text = text.replace("\"../../fonts/cleat.ron\"", "Shipped(\"cleat\")");
    std::fs::write(&script, text).expect("written");
    let script = script.to_str().expect("a path in Unicode");
    let capture = traced("atmega328p-spi", script, "three-wires", 1200, ON_THREE_WIRES);
    as_previewed(script, &capture, "SPI, clock");
}

#[test]
fn the_show_on_spi_is_replayed_to_its_preview() {
    let capture = traced("atmega328p-spi", "examples/atmega328p-spi/lightship.ron", "lightship", 800, ON_SPI);
    as_previewed("examples/atmega328p-spi/lightship.ron", &capture, "SPI, clock");
}
