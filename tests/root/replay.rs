//! Captures of the display's wires: what is read, what is decoded, and what is said of those that are wrong. Waves are made by the
//! rules of UM10204 Rev 7.0 §3.1; those of a real firmware are in firmware/replayed.rs.

use pageloom::diag::{Findings, Severity};
use pageloom::emulator::Emulator;
use pageloom::reel::{Reel, compile_lean};
use pageloom::render::{Bitmap, render};
use pageloom::replay::*;
use pageloom::show::{Show, load};
use pageloom::source::{Disk, Reader};
use proptest::prelude::*;
use std::fmt::Write;
use std::path::Path;
use std::sync::OnceLock;

/// A quarter of a clock of 400 kHz, in nanoseconds.
const QUARTER: u64 = 625;
const ADDRESS: u8 = 0x3C;

/// Edges of the two lines: time in nanoseconds, clock, data.
#[derive(Clone, Default)]
struct Wave {
    rows: Vec<(u64, bool, bool)>,
    now: u64,
}

impl Wave {
    fn set(&mut self, clock: bool, data: bool) {
        self.rows.push((self.now, clock, data));
        self.now += QUARTER;
    }
    fn bit(&mut self, high: bool) {
        self.set(false, high);
        self.set(true, high);
        self.now += QUARTER;
        self.set(false, high);
    }
    fn byte(&mut self, byte: u8, refused: bool) {
        (0..8).rev().for_each(|bit| self.bit(byte >> bit & 1 == 1));
        self.bit(refused);
    }
    fn transaction(&mut self, address: u8, bytes: &[u8]) {
        [(true, true), (true, false), (false, false)].into_iter().for_each(|(clock, data)| self.set(clock, data));
        self.byte(address << 1, false);
        bytes.iter().for_each(|byte| self.byte(*byte, false));
        [(false, false), (true, false), (true, true)].into_iter().for_each(|(clock, data)| self.set(clock, data));
        self.now += 4 * QUARTER;
    }
    /// Commands and display data, in transactions of at most 16 bytes.
    fn parts(&mut self, parts: &[(u8, bool)]) {
        for run in parts.chunk_by(|one, next| one.1 == next.1) {
            for piece in run.chunks(16) {
                let control = if run[0].1 { 0x40 } else { 0x00 };
                let bytes: Vec<u8> = std::iter::once(control).chain(piece.iter().map(|part| part.0)).collect();
                self.transaction(ADDRESS, &bytes);
            }
        }
    }
    fn csv(&self, head: &str) -> String {
        let mut text = format!("{head}\n");
        for (time, clock, data) in &self.rows {
            let _ = writeln!(text, "{:.9},{},{}", *time as f64 / 1e9, u8::from(*clock), u8::from(*data));
        }
        text
    }
    /// Samples so many nanoseconds apart.
    fn sampled(&self, apart: u64) -> String {
        let mut text = "Time [s],SCL,SDA\n".to_owned();
        let mut rows = self.rows.iter().peekable();
        let mut last = self.rows[0];
        for time in (0..self.now).step_by(apart as usize) {
            while let Some(row) = rows.next_if(|row| row.0 <= time) {
                last = *row;
            }
            let _ = writeln!(text, "{:.9},{},{}", time as f64 / 1e9, u8::from(last.1), u8::from(last.2));
        }
        text
    }
}

struct Example {
    show: Show,
    reel: Reel,
    frames: Vec<Vec<Bitmap>>,
    course: ExpectedBytes,
}

fn example() -> &'static Example {
    static EXAMPLE: OnceLock<Example> = OnceLock::new();
    EXAMPLE.get_or_init(|| of("examples/attiny85/beacon.ron"))
}

fn spi_example() -> &'static Example {
    static EXAMPLE: OnceLock<Example> = OnceLock::new();
    EXAMPLE.get_or_init(|| of("examples/atmega328p-spi/lightship.ron"))
}

fn of(script: &str) -> Example {
    let (mut reader, mut findings) = (Reader::new(&Disk), Findings::default());
    let show = load(&mut reader, Path::new(script), &mut findings).expect("a show");
    let frames = render(&show);
    let reel = compile_lean(&show, &frames, &mut findings).expect("a reel");
    Example { course: course(&show, &reel), show, reel, frames }
}

/// Clock, data, D/C and chip select at 8 MHz in mode 0: the set-up and the first frames, 40 ms apart.
fn on_spi(course: &ExpectedBytes) -> Vec<(u64, [bool; 4])> {
    const HALF: u64 = 62;
    let (mut rows, mut now) = (vec![(0, [false, false, false, true])], 100);
    let frames = course.scenes[0].iter().take(FRAMES).map(|frame| &frame.parts);
    for (number, parts) in std::iter::once(&course.set_up).chain(frames).enumerate() {
        now = now.max(number as u64 * 40_000_000);
        for run in parts.chunk_by(|one, next| one.1 == next.1) {
            let command = run[0].1;
            let mut set = |clock, data, select| {
                rows.push((now, [clock, data, command, select]));
                now += HALF;
            };
            set(false, false, false);
            for bit in run.iter().flat_map(|(byte, _)| (0..8).rev().map(move |bit| byte >> bit & 1 == 1)) {
                set(false, bit, false);
                set(true, bit, false);
            }
            set(false, false, false);
            set(false, false, true);
        }
    }
    rows
}

const FRAMES: usize = 40;

/// The set-up and the first frames of the example, 100 ms apart.
fn played(set_up: &[(u8, bool)]) -> Wave {
    let mut wave = Wave::default();
    wave.parts(set_up);
    for (frame, sent) in example().course.scenes[0].iter().take(FRAMES).enumerate() {
        wave.now = wave.now.max(frame as u64 * 100_000_000);
        wave.parts(&sent.parts);
    }
    wave.now += 10_000_000;
    wave.set(true, true);
    wave
}

/// What is said of a capture of the example.
fn replayed(text: &str, given: &Given) -> (String, Vec<(Severity, String)>, Comparison) {
    let Example { show, frames, course, .. } = example();
    let mut findings = Findings::default();
    let found = read(text)
        .and_then(|trace| DisplayLines::find(&trace, given, Some(show.bus().wires)).map(|lines| (trace, lines)));
    let (words, comparison) = match found {
        Err(finding) => {
            findings.push(finding);
            (String::new(), Comparison::default())
        }
        Ok((trace, lines)) => {
            let decoded = decode(&trace, &lines);
            let items = decoded.items(ADDRESS);
            let comparison = compare(show, course, &items);
            let ends: Vec<usize> = comparison.seen.iter().map(|seen| seen.to).collect();
            let drawn = draw(&decoded, &items, Emulator::new(show.panel()).blank(), show.mounting(), &ends);
            let against = Some((show, course, &comparison, frames.as_slice()));
            let (trace, decoded, items) = (&trace, &decoded, &items[..]);
            let subject = ReplaySubject { trace, decoded, items, address: ADDRESS, show: against };
            (summary(&subject, &drawn, &mut findings), comparison.clone())
        }
    };
    let said = findings
        .iter()
        .map(|finding| (finding.severity, format!("{} help: {}", finding.message, finding.hints.join(" "))));
    (words, said.collect(), comparison)
}

fn errors(text: &str, given: &Given) -> String {
    let (_, said, _) = replayed(text, given);
    said.into_iter().filter(|said| said.0 == Severity::Error).map(|said| said.1).collect::<Vec<_>>().join("\n")
}

#[test]
fn what_the_show_sends_is_recognised_frame_by_frame() {
    assert!(!example().reel.bytes.is_empty());
    let (words, said, comparison) =
        replayed(&played(&example().course.set_up).csv("Time [s],SCL,SDA"), &Given::default());
    assert_eq!(said, [], "{words}");
    let sent = example().course.scenes[0].iter().take(FRAMES).filter(|frame| !frame.parts.is_empty()).count();
    assert_eq!(comparison.seen.len(), 1 + sent, "{words}");
    assert!(words.contains(&format!("{sent} frames recognised, {sent} of their pictures as previewed")), "{words}");
    assert!(words.contains("clock 400.0 kHz"), "{words}");
}

#[test]
fn a_set_up_of_another_panel_is_told_in_words() {
    let mut set_up = example().course.set_up.clone();
    let at = set_up.iter().position(|part| part.0 == 0xA8).expect("the multiplex ratio") + 1;
    set_up[at].0 = 0x3F;
    let said = errors(&played(&set_up).csv("t,scl,sda"), &Given::default());
    assert!(said.contains("multiplex ratio 64 (3F) instead of multiplex ratio 40 (27)"), "{said}");
    assert!(said.contains("set-up of the display differs from the show's: multiplex ratio 64 instead of 40"), "{said}");
    assert!(said.contains("recognised again from"), "{said}");
}

#[test]
fn captures_that_cannot_be_used_say_why() {
    let wave = played(&example().course.set_up);
    let columns = wave.csv("Time [s],SCL,SDA");
    let given = |scl: &str, sda: &str| Given { scl: Some(scl.into()), sda: Some(sda.into()), ..Given::default() };
    for (text, given, wanted) in [
        (wave.csv("Time [s],one,two"), Given::default(), "names no clock line help: its lines are `one` ("),
        (columns.clone(), given("SCK", "SDA"), "has no line `SCK` (--scl) help: its lines are `SCL` ("),
        (columns.clone(), given("SDA", "SCL"), "the clock (--scl) and the data line (--sda) may be swapped"),
        (columns.replace(",1,", ",0,"), Given::default(), "the clock line `SCL` never changes"),
        (wave.sampled(2_000), Given::default(), "needs 0.80 million samples a second at least"),
        ("a,b\nc,d\n".into(), Given::default(), "none of its rows has a time and levels"),
        ("$date $end $var wire 1 ! x $end".into(), Given::default(), "its header has no end"),
    ] {
        let said = errors(&text, &given);
        assert!(said.contains(wanted), "{wanted}:\n{said}");
    }
    // Four samples a clock and more are enough.
    assert_eq!(errors(&wave.sampled(500), &Given::default()), "");
    let mut other = Wave::default();
    other.transaction(0x3D, &[0, 0xAE]);
    assert!(errors(&other.csv("t,scl,sda"), &Given::default()).contains("to address 3C; the capture has 3D"));
}

/// IEEE 1364: identifiers may begin with any printable sign, vectors are filled up on the left, unknown levels count as high.
#[test]
fn value_changes_are_read_by_position() {
    let text = "$date today $end $timescale\n 10 us $end $scope module top $end $var wire 1 #0 SCL $end\n\
                $var wire 1 $x SDA [0] $end $var reg 4 b! bus [3:0] $end $upscope $end $enddefinitions $end\n\
                $dumpvars 1#0 x$x b0 b! $end #5 0#0 #7 b101 b! 0$x #8\n";
    let trace = read(text).expect("a dump");
    assert_eq!(trace.names, ["SCL", "SDA", "bus[0]", "bus[1]", "bus[2]", "bus[3]"]);
    let edges: Vec<_> = (0..6).map(|line| trace.edges(line).last().copied().expect("a level")).collect();
    let microseconds = |time: u64| time * 1_000_000;
    assert!(!edges[0].1);
    assert_eq!((edges[1], edges[2].1, edges[3].1, edges[4].1), ((microseconds(20), false), true, false, true));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Edges are lost, pulses come in, the end is cut off: nothing panics, and frames behind the damage are recognised again.
    #[test]
    fn damage_is_survived_and_the_show_found_again(
        lost in prop::collection::vec(0usize..3000, 0..6),
        pulses in prop::collection::vec((0usize..3000, 1u64..400), 0..6),
    ) {
        let mut wave = played(&example().course.set_up);
        for (at, length) in pulses {
            let (time, clock, data) = wave.rows[at];
            wave.rows.extend([(time + 1, !clock, data), (time + 1 + length, clock, data)]);
        }
        for at in lost {
            wave.rows.remove(at);
        }
        wave.rows.sort_by_key(|row| row.0);
        let (_, _, comparison) = replayed(&wave.csv("t,scl,sda"), &Given::default());
        let later = comparison.seen.iter().filter(|seen| matches!(seen.what, What::Frame { scene: 0, frame } if frame > 15)).count();
        prop_assert!(later > 10, "{:?}", comparison.deviations);
    }

    /// The same on SPI, where chip select finds the bytes again: pulses on the clock and lost edges of any line.
    #[test]
    fn damage_on_spi_is_survived_and_the_show_found_again(
        lost in prop::collection::vec(0usize..20_000, 0..6),
        pulses in prop::collection::vec((0usize..20_000, 1u64..40), 0..6),
        cut in 0usize..400,
    ) {
        let mut rows = on_spi(&spi_example().course);
        for (at, length) in pulses {
            let (time, [clock, data, command, select]) = rows[at % rows.len()];
            rows.extend([(time + 1, [!clock, data, command, select]), (time + 1 + length, [clock, data, command, select])]);
        }
        for at in lost {
            rows.remove(at % rows.len());
        }
        rows.sort_by_key(|row| row.0);
        rows.truncate(rows.len() - cut);
        let mut text = "t,clk,mosi,dc,cs\n".to_owned();
        for (time, lines) in &rows {
            let levels = lines.map(|high| u8::from(high).to_string()).join(",");
            let _ = writeln!(text, "{:.9},{levels}", *time as f64 / 1e9);
        }
        let trace = read(&text).expect("a capture");
        let lines = DisplayLines::find(&trace, &Given::default(), Some(spi_example().show.bus().wires)).expect("its lines");
        let decoded = decode(&trace, &lines);
        let Example { show, course, .. } = spi_example();
        let items = decoded.items(0);
        let comparison = compare(show, course, &items);
        let later = comparison.seen.iter().filter(|seen| matches!(seen.what, What::Frame { scene: 0, frame } if frame > 15)).count();
        prop_assert!(later > 5, "{:?}", comparison.deviations);
        let (panel, _) = guess_panel(&items, true);
        draw(&decoded, &items, Emulator::new(panel).blank(), show.mounting(), &[]);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "[$#01xzb! ,;.a-z\\n]{0,200}", head in prop::sample::select(vec!["", "$timescale 1ns $end ", "t,scl,sda\n"])) {
        let _ = read(&format!("{head}{text}"));
    }
}
