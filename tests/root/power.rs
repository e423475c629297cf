//! Displays switched on and off by the supervisor, in Rust and in C: the order of the commands and the waits between them, held
//! against data sheets.

use pageloom::build::{BuildOptions, build};
use pageloom::player::{Bus, Status, Supervisor, any_player};
use pageloom::source::FilesInMemory;
use std::fmt::Write;
use std::process::Command;

/// As in harness/supervised.c.
const SWITCHED_OFF_AT: u32 = 1300;

/// Writes down what it is sent, and when.
#[derive(Default)]
struct Record {
    text: String,
    now: u32,
    has_begun: bool,
}

impl Bus for Record {
    type Error = ();
    fn start(&mut self, _: u8) -> Result<(), ()> {
        self.has_begun = true;
        Ok(())
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        let _ = match std::mem::take(&mut self.has_begun) {
            true => write!(self.text, "{} {}", self.now, if byte == 0x40 { 'd' } else { 'c' }),
            false => write!(self.text, " {byte:02X}"),
        };
        Ok(())
    }
    fn stop(&mut self) -> Result<(), ()> {
        self.text.push('\n');
        Ok(())
    }
    fn reset(&mut self) {
        let _ = writeln!(self.text, "{} reset", self.now);
    }
}

fn in_rust(reel: &[u8], display: &[u8]) -> String {
    let (mut bus, mut player, mut supervisor) = (Record::default(), any_player(reel), Supervisor::new(display));
    supervisor.every = 1;
    while !supervisor.is_off() {
        assert!(bus.now < 2000, "it never goes off:\n{}", bus.text);
        if bus.now == SWITCHED_OFF_AT {
            supervisor.switch_off();
        }
        let now = bus.now as u16;
        while supervisor.tick(&mut player, &mut bus, now, 30) == Status::Busy {}
        bus.now += 1;
    }
    let now = bus.now;
    bus.text + &format!("{now} off\n")
}

/// Both players of a show on a panel; what they sent, which must be the same.
fn supervised(panel: &str, bus: &str) -> String {
    let script = format!(
        r#"Show(name: "buoy", panel: "{panel}", bus: {bus}, microcontroller: "ATmega328P", frame_rate: 4, profile: Lean,
            fonts: {{"small": Shipped("cleat")}}, start: "a",
            scenes: [Scene(name: "a", seconds: 1, then: Repeat, layers: [
                Text(text: "BUOY", font: "small", at: (2, 2), blink: Blink(on: 0.5, off: 0.5)),
            ])])"#
    );
    let files = FilesInMemory::default().with("show.ron", script);
    let built = build("show.ron", &BuildOptions { files: &files, ..BuildOptions::default() });
    let production = built.production.as_ref().unwrap_or_else(|| panic!("{}", built.words()));
    let firmware = production.firmware();
    let rust = in_rust(&firmware.reel, &firmware.display);
    let folder = tempfile::tempdir().expect("a folder");
    let files = built.files().expect("files").iter().filter(|file| file.firmware);
    files.for_each(|file| std::fs::write(folder.path().join(&file.path), &file.bytes).expect("written"));
    std::fs::write(folder.path().join("main.c"), include_str!("harness/supervised.c")).expect("written");
    let run = |tool: &str, arguments: &str| {
        let output = Command::new(tool).current_dir(folder.path()).args(arguments.split_whitespace()).output();
        let output = output.unwrap_or_else(|why| panic!("{tool} is needed for this test: {why}"));
        assert!(output.status.success(), "{tool}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).expect("text")
    };
    run("gcc", "-std=c99 -Wall -Wextra -Werror -pedantic -O1 main.c buoy.c pageloom_player.c -o in_c");
    assert_eq!(run("./in_c", ""), rust, "{panel}: C and Rust");
    rust
}

/// The lines of what was sent up to the set-up of the display, and those of the switching off, which begins with the call behind.
fn ends(sent: &str, set_up: &str) -> (Vec<String>, Vec<String>) {
    let lines: Vec<String> = sent.lines().map(str::to_owned).collect();
    let first = lines.iter().position(|line| line.contains(set_up)).unwrap_or_else(|| panic!("no {set_up}:\n{sent}"));
    let last = lines.iter().position(|line| line.starts_with(&format!("{} ", SWITCHED_OFF_AT + 1)));
    let last = last.unwrap_or_else(|| panic!("{sent}"));
    (lines[..first].to_vec(), lines[last..].to_vec())
}

/// SSD1306 data sheet Rev 1.5 §8.9.2: 8D 14 and AF need no wait between; off are AE, then 8D 10, 100 ms before the supplies go.
#[test]
fn an_oled_is_switched_on_without_a_wait_and_off_with_one() {
    let sent = supervised("0.96in-128x64-ssd1306", "I2c(clock: 400_000)");
    let (on, off) = ends(&sent, " AE");
    assert_eq!(on, ["100 reset"]);
    assert_eq!(off, ["1301 c AE 8D 10", "1402 off"]);
    // The set-up is sent again after a second, and the show goes on.
    assert!(sent.lines().any(|line| line.starts_with("1101 c")), "{sent}");
}

/// SH1106 data sheet V2.2: the pump is switched while the display is off, and needs about 100 ms before AF.
#[test]
fn the_pump_of_an_sh1106_has_its_time() {
    let (on, off) = ends(&supervised("1.3in-128x64-sh1106", "I2c(clock: 400_000)"), "201 c AE D5 ");
    assert_eq!(on, ["100 reset", "101 c AE AD 8B 33"]);
    assert_eq!(off, ["1301 c AE AD 8A", "1402 off"]);
}

/// ST7567A data sheet Ver 1.2a: 2C, 2E and 2F one after another, 2F within 5 ms of the reset; off are AE and A5, then 250 ms.
#[test]
fn the_circuits_of_an_lcd_are_switched_on_one_after_another() {
    let (on, off) = ends(&supervised("lcd-128x64-st7567a", "I2c(clock: 400_000)"), "104 c AE 40 ");
    assert_eq!(on, ["100 reset", "101 c 2C", "102 c 2E", "103 c 2F"]);
    assert_eq!(off, ["1301 c AE A5", "1552 off"]);
}

/// UC1701x data sheet A1.0: 6 ms after the reset, counted by a clock that may be a millisecond short; off is E2, then 3 ms.
#[test]
fn a_uc1701x_is_given_its_six_milliseconds() {
    let (on, off) = ends(&supervised("lcd-128x64-uc1701x", "Spi(clock: 4_000_000)"), "110 c AE 40 ");
    assert_eq!(on, ["100 reset", "107 c 2C", "108 c 2E", "109 c 2F"]);
    assert_eq!(off, ["1301 c E2", "1306 off"]);
}

/// A display that is not there, or not yet, is off at once.
#[test]
fn what_is_not_on_is_off_when_asked() {
    let mut supervisor = Supervisor::new(&[100, 5, 6, 1, 0, 0, 0, 1, 0xAE, 100, 0]);
    let (mut bus, mut player) = (Record::default(), any_player(&[]));
    supervisor.switch_off();
    assert_eq!(supervisor.tick(&mut player, &mut bus, 0, 16), Status::Idle);
    assert!(supervisor.is_off() && bus.text.is_empty());
}
