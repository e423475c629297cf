//! Builds firmware for an 8-bit part, runs it on the simulated part, and reads what happened there.

use super::shows::TestShow;
use super::tools::{Ran, compile, root, run, workshop};
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Something that happened on the simulated part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// START and the seven-bit address; whether the display acknowledged.
    Start(u8, bool),
    /// A byte; whether the display acknowledged.
    Byte(u8, bool),
    Stop,
    /// The firmware let go of the bus inside a transaction.
    Abandoned,
    /// A call of a watched function ended: its cycles, and those of them that the bus was busy.
    Call(u32, u32),
    /// A byte from the serial port.
    Serial(u8),
    /// A mark by the firmware: which register, and the value.
    Mark(u8, u8),
    /// A watched byte of memory: its number in the order of the options, and its new value.
    Watch(u8, u8),
    /// A pin was set from outside: port, number, level.
    Pin(char, u8, bool),
    /// The display was plugged in, so that it knows nothing, or unplugged.
    Present(bool),
}

/// A run of a firmware.
#[derive(Debug, Default)]
pub struct Run {
    /// What happened, each with the CPU cycle.
    pub events: Vec<(u64, Event)>,
    /// The summary: "FUNCTION pageloom_tick most" and so on, to its number.
    pub figures: BTreeMap<String, u64>,
    /// The simulator's exit code: see tests/firmware/simulator/simulator.h.
    pub code: i32,
    /// What it said about a firmware that does not run well.
    pub complaint: String,
}

impl Run {
    /// A number of the summary, by line and name.
    pub fn figure(&self, name: &str) -> u64 {
        *self.figures.get(name).unwrap_or_else(|| panic!("no {name} in {:?}", self.figures))
    }
    /// The run, if the firmware did nothing wrong.
    pub fn good(self) -> Self {
        assert_eq!(self.code, 0, "{}", self.complaint);
        self
    }
}

fn program() -> &'static PathBuf {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let (folder, sources) = (workshop("simulator"), root().join("tests/firmware/simulator"));
        for (header, package) in
            [("/usr/include/simavr/sim_avr.h", "libsimavr-dev"), ("/usr/include/libelf.h", "libelf-dev")]
        {
            let missing = "the tests need it; on Debian it comes with";
            assert!(Path::new(header).exists(), "{header} is not there: {missing} {package}");
        }
        let program = folder.join("simulator");
        let files =
            ["main.c", "device.c", "events.c", "inputs.c", "twowire.c", "spi.c", "nine_bits.c", "wave.c", "pins.c"]
                .map(|name| sources.join(name));
        let mut paths: Vec<&Path> = vec![&program];
        paths.extend(files.iter().map(PathBuf::as_path));
        let libraries = ["-lsimavr", "-lelf"].map(Path::new);
        paths.extend(libraries);
        compile("cc", "-std=gnu11 -O2 -Wall -Wextra -Werror -I/usr/include/simavr -o", &paths);
        program
    })
}

/// The player, once in every firmware.
pub const PLAYER: &str = "pageloom_player.c";

/// Builds the test firmware for an ATmega328P on the bus of the example; `defines` are further options of the compiler.
pub fn build_atmega328p(show: &TestShow, name: &str, defines: &str) -> PathBuf {
    let folder = workshop(name);
    show.write_c(&folder, "helm");
    let example = root().join(if show.spi { "examples/atmega328p-spi" } else { "examples/atmega328p" });
    let sources =
        [root().join("tests/firmware/atmega328p.c"), example.join("bus.c"), folder.join("helm.c"), folder.join(PLAYER)];
    let options = format!("-mmcu=atmega328p -DF_CPU=16000000UL {defines} -I{}", example.display());
    build_avr(&folder, &options, &sources)
}

/// Builds an example of `examples/` with a show under the name that its sources include.
pub fn build_example(example: &str, show: &TestShow, stem: &str, options: &str) -> PathBuf {
    // Tests that build the same example at once do not share a folder.
    static BUILT: AtomicUsize = AtomicUsize::new(0);
    let folder = workshop(&format!("example-{example}-{}", BUILT.fetch_add(1, Ordering::Relaxed)));
    let example = root().join("examples").join(example);
    show.write_c(&folder, stem);
    let files = std::fs::read_dir(&example).unwrap_or_else(|error| panic!("{}: {error}", example.display()));
    let mut sources: Vec<PathBuf> = files.map(|file| file.expect("a folder that can be read").path()).collect();
    // What `make` may have left there is not the show that is tested.
    let made = [Some(stem.as_ref()), Path::new(PLAYER).file_stem()];
    sources.retain(|path| path.extension() == Some("c".as_ref()) && !made.contains(&path.file_stem()));
    sources.sort();
    sources.extend([folder.join(format!("{stem}.c")), folder.join(PLAYER)]);
    build_avr(&folder, options, &sources)
}

/// Builds a firmware; includes from the folder come first, so the emitted header is the one just written there.
pub fn build_avr(folder: &Path, options: &str, sources: &[PathBuf]) -> PathBuf {
    let firmware = folder.join("firmware.elf");
    let strict = "-Os -std=gnu99 -Wall -Wextra -Werror";
    let mut paths: Vec<&Path> = vec![&firmware];
    paths.extend(sources.iter().map(PathBuf::as_path));
    compile("avr-gcc", &format!("-I{} {options} {strict} -o", folder.display()), &paths);
    firmware
}

/// Runs a firmware; `options` are the simulator's own, separated by blanks.
pub fn simulate(firmware: &Path, options: &str) -> Run {
    let mut arguments: Vec<OsString> = options.split_whitespace().map(OsString::from).collect();
    arguments.push(firmware.into());
    let arguments: Vec<_> = arguments.iter().map(OsString::as_os_str).collect();
    let Ran { out, err, code } = run(program(), &arguments, "");
    let mut result = Run { events: Vec::new(), figures: BTreeMap::new(), code: code.unwrap_or(-1), complaint: err };
    for line in out.lines() {
        read_line(line, &mut result);
    }
    result
}

/// Reads a line of what a simulator or a firmware prints: an event behind its cycle, or figures.
pub fn read_line(line: &str, run: &mut Run) {
    let words: Vec<&str> = line.split_whitespace().collect();
    if let Some(Ok(cycle)) = words.first().map(|word| word.parse::<u64>()) {
        run.events.push((cycle, event(&words[1..])));
        return;
    }
    let name: Vec<&str> = words.iter().copied().take_while(|word| !word.contains('=')).collect();
    for (key, value) in words.iter().filter_map(|word| word.split_once('=')) {
        let value = value.parse().unwrap_or_else(|error| panic!("{line}: {error}"));
        run.figures.insert(format!("{} {key}", name.join(" ")), value);
    }
}

fn event(words: &[&str]) -> Event {
    let hex = |at: usize| u16::from_str_radix(words[at], 16).expect("a number in base 16");
    let decimal = |at: usize| words[at].parse::<u8>().expect("a number");
    let cycles = |at: usize| words[at].parse::<u32>().expect("a number of cycles");
    match words[0] {
        "START" => Event::Start(hex(1) as u8, words[2] == "ACK"),
        "BYTE" => Event::Byte(hex(1) as u8, words[2] == "ACK"),
        "PRESENT" => Event::Present(true),
        "ABSENT" => Event::Present(false),
        "STOP" => Event::Stop,
        "ABANDONED" => Event::Abandoned,
        "SERIAL" => Event::Serial(hex(1) as u8),
        "MARK" => Event::Mark(decimal(1), decimal(2)),
        "CALL" => Event::Call(cycles(1), cycles(2)),
        "WATCH" => Event::Watch(decimal(1), decimal(2)),
        "PIN" => {
            Event::Pin(words[1].chars().next().expect("a port"), words[1][1..].parse().expect("a pin"), words[2] == "1")
        }
        other => panic!("an event that is not known: {other}"),
    }
}
