//! The summary of a capture in words: the clock, what was recognised, frame times, other devices, and all faults.

use super::comparison::{Comparison, Deviation, What};
use super::course::ExpectedBytes;
use super::decoded::{Decoded, DisplayByte};
use super::meaning::{meaning, settings};
use super::pictures::{ReplayedPictures, draw, set_up, shown};
use super::trace::{PICOSECONDS_A_SECOND, Trace};
use crate::diag::{Finding, Findings, Place};
use crate::emulator::Emulator;
use crate::panel::set_up_commands;
use crate::render::Bitmap;
use crate::show::Show;

/// Samples of a clock period that tell its levels, at least, and better.
const LEAST_SAMPLES: f64 = 4.0;
const GOOD_SAMPLES: f64 = 10.0;
/// Most findings of one kind that are listed one by one.
const MOST_LISTED: usize = 5;
/// A frame is late if it comes this much later than at the rate of the show, in frames.
const LATE: f64 = 0.5;
const MILLISECONDS: f64 = 1e9;

/// What is held against what.
pub struct ReplaySubject<'a> {
    /// The capture.
    pub trace: &'a Trace,
    /// What was decoded from it.
    pub decoded: &'a Decoded,
    /// The bytes that went to the display.
    pub items: &'a [DisplayByte],
    /// Of the display.
    pub address: u8,
    /// The show, what it sends, how both compare, and its frames scene by scene; `None` without a show.
    pub show: Option<(&'a Show, &'a ExpectedBytes, &'a Comparison, &'a [Vec<Bitmap>])>,
}

fn milliseconds(picoseconds: u64) -> f64 {
    picoseconds as f64 / MILLISECONDS
}

fn seconds(picoseconds: u64) -> String {
    format!("{:.6} s", picoseconds as f64 / PICOSECONDS_A_SECOND)
}

/// The words, a line each; faults go to the findings.
pub fn summary(subject: &ReplaySubject<'_>, drawn: &ReplayedPictures, findings: &mut Findings) -> String {
    let mut lines = vec![clock(subject)];
    report_wires(subject, findings);
    lines.extend(bus(subject, findings));
    if let Some((show, course, comparison, frames)) = subject.show {
        lines.extend(recognised(subject, show, comparison));
        lines.extend(frame_times(subject, show, course, comparison, findings));
        lines.push(pictures(subject, show, comparison, frames, drawn, findings));
        report_set_up(show, drawn, comparison, findings);
        report_deviations(subject, show, comparison, findings);
    }
    for fault in drawn.faults.iter().take(MOST_LISTED) {
        findings.push(Finding::warning(Place::Nowhere, format!("the controller's data sheet forbids: {fault}")));
    }
    lines.join("\n")
}

fn clock(subject: &ReplaySubject<'_>) -> String {
    let Decoded { spi, .. } = *subject.decoded;
    let asked = subject
        .show
        .map_or(String::new(), |(show, ..)| format!("; the show asks for {}", show.bus().clock.0 / 1000) + " kHz");
    let name = if spi { "SPI" } else { "I²C" };
    let length = subject.trace.seconds();
    format!("{name}, clock {:.1} kHz{asked}; {length:.3} s captured", subject.decoded.hertz() / 1e3)
}

/// The rate of sampling that a clock needs.
fn report_sampling(subject: &ReplaySubject<'_>, findings: &mut Findings) -> bool {
    let resolution = subject.trace.resolution();
    let asked = subject.show.map_or(0.0, |(show, ..)| f64::from(show.bus().clock.0));
    let clock = subject.decoded.hertz().max(asked);
    if resolution == 0 || clock == 0.0 || PICOSECONDS_A_SECOND / clock >= LEAST_SAMPLES * resolution as f64 * 0.99 {
        return false;
    }
    if subject.decoded.broken() == 0 && !subject.items.is_empty() {
        let message = format!(
            "the capture has {:.1} samples per clock: enough to read bytes, but not to measure times within a byte",
            PICOSECONDS_A_SECOND / clock / resolution as f64
        );
        findings.push(Finding::note(Place::Nowhere, message));
        return false;
    }
    let message = format!(
        "the capture is too coarse: its samples are {:.3} µs apart, a clock of {:.0} kHz needs {:.2} million samples a second at least",
        resolution as f64 / 1e6,
        clock / 1e3,
        clock * LEAST_SAMPLES / 1e6
    );
    let hint = format!("capture at {:.1} million samples a second or more", clock * GOOD_SAMPLES / 1e6);
    findings.push(Finding::error(Place::Nowhere, message).hint(hint));
    true
}

fn report_wires(subject: &ReplaySubject<'_>, findings: &mut Findings) {
    if report_sampling(subject, findings) {
        return;
    }
    let decoded = subject.decoded;
    if subject.items.is_empty() {
        let seen: Vec<String> = decoded.devices().iter().map(|device| format!("{:02X}", device.address)).collect();
        let message = match (decoded.spi, seen.is_empty()) {
            (true, _) => "no byte was sent while the display was selected".to_owned(),
            (false, true) => "no I²C transaction is in the capture".to_owned(),
            (false, false) => {
                format!("nothing was sent to address {:02X}; the capture has {}", subject.address, seen.join(", "))
            }
        };
        let hint = if decoded.spi {
            "check which line is which: --clk, --mosi, --dc, --cs"
        } else {
            "check which line is which: the clock (--scl) and the data line (--sda) may be swapped"
        };
        findings.push(Finding::error(Place::Nowhere, message).hint(hint));
    }
    if decoded.broken() > 0 {
        let message = format!("{} incomplete bytes were seen", decoded.broken());
        findings.push(
            Finding::warning(Place::Nowhere, message).hint("shorten the wires, or check the pull-ups and the ground"),
        );
    }
}

fn bus(subject: &ReplaySubject<'_>, findings: &mut Findings) -> Vec<String> {
    let decoded = subject.decoded;
    if decoded.spi {
        return vec![format!("{} bytes to the display", subject.items.len())];
    }
    let mut lines = Vec::new();
    if decoded.stretched > 0 {
        let longest = decoded.longest_stretch as f64 / 1e6;
        lines.push(format!("clock stretched {} times, by {longest:.1} µs at most", decoded.stretched));
    }
    if decoded.glitches > 0 {
        lines.push(format!("{} glitches below 50 ns left out", decoded.glitches));
    }
    let all = (subject.trace.seconds() * PICOSECONDS_A_SECOND).max(1.0);
    for device in decoded.devices() {
        let display = device.address == subject.address;
        let name = if display { "the display" } else { "another device" };
        lines.push(format!(
            "address {:02X}, {name}: {} transactions, {} bytes, {} refused, {:.1} % of the time",
            device.address,
            device.transactions,
            device.bytes,
            device.refused,
            device.picoseconds as f64 * 100.0 / all
        ));
        if display && device.refused == device.transactions + device.bytes {
            let message = "the display acknowledged nothing: it is not there, or its module does not connect the pin that acknowledges";
            let hint = "for such a module write `acknowledge: Ignored` in the script's `I2c`";
            findings.push(Finding::warning(Place::Nowhere, message).hint(hint));
        } else if display && device.refused > 0 {
            let message = format!("the display refused {} bytes or addresses", device.refused);
            findings
                .push(Finding::warning(Place::Nowhere, message).hint("check its supply, the pull-ups and the clock"));
        }
    }
    lines
}

fn name_of(show: &Show, what: What) -> String {
    match what {
        What::SetUp => "the set-up".into(),
        What::Refresh => "the set-up sent again".into(),
        What::Field => "a live field".into(),
        What::Frame { scene, frame } => {
            let scene = &show.scenes()[scene];
            let frame = if crate::whole::limited::<u32, usize>(frame) >= scene.frames.0 { 0 } else { frame };
            format!("frame {frame} of scene `{}`", scene.name)
        }
    }
}

/// What was recognised, a line for each stretch of one scene.
fn recognised(subject: &ReplaySubject<'_>, show: &Show, comparison: &Comparison) -> Vec<String> {
    let mut lines = Vec::new();
    if comparison.before > 0 {
        lines.push(format!(
            "the capture begins in the middle of the show: {} bytes come before the first recognised frame",
            comparison.before
        ));
    }
    let mut at = 0;
    while let Some(seen) = comparison.seen.get(at) {
        let time = seconds(subject.items[seen.from].begun);
        let scene_of = |what: What| if let What::Frame { scene, .. } = what { Some(scene) } else { None };
        let run = match scene_of(seen.what) {
            None => 1,
            scene => comparison.seen[at..].iter().take_while(|next| scene_of(next.what) == scene).count(),
        };
        let name = name_of(show, seen.what);
        lines.push(match run {
            1 => format!("{time}  {name}"),
            _ => format!("{time}  {name} and {} frames that follow", run - 1),
        });
        at += run;
    }
    lines
}

/// Real frame times against those predicted.
fn frame_times(
    subject: &ReplaySubject<'_>,
    show: &Show,
    course: &ExpectedBytes,
    comparison: &Comparison,
    findings: &mut Findings,
) -> Option<String> {
    // The time predicted for an opening frame counts the set-up in front of it.
    let from = |at: usize| match at.checked_sub(1).map(|before| comparison.seen[before]) {
        Some(before) if before.what == What::SetUp => before.from,
        _ => comparison.seen[at].from,
    };
    let frames: Vec<(usize, usize, f64, f64)> = comparison
        .seen
        .iter()
        .enumerate()
        .filter_map(|(at, seen)| match seen.what {
            What::Frame { scene, frame } => {
                let (begun, done) = (subject.items[from(at)].begun, subject.items[seen.to - 1].time);
                Some((scene, frame, milliseconds(begun), milliseconds(done)))
            }
            _ => None,
        })
        .collect();
    let longest = frames.iter().max_by(|one, other| (one.3 - one.2).total_cmp(&(other.3 - other.2)))?;
    let (scene, frame, begun, done) = *longest;
    let predicted = course.scenes[scene][frame].taken.milliseconds();
    let period = show.frame_rate().period().milliseconds();
    let following = frames.windows(2).filter(|pair| pair[0].0 == pair[1].0 && pair[0].1 + 1 == pair[1].1);
    let between: Vec<f64> = following.map(|pair| pair[1].2 - pair[0].2).collect();
    let late = between.iter().filter(|time| **time > period * (1.0 + LATE)).count();
    if late > 0 {
        let message = format!("{late} frames came more than half a frame later than the frame rate requires");
        findings.push(
            Finding::warning(Place::Nowhere, message)
                .hint("call the player more often, or let one call send more (per_call)"),
        );
    }
    let mean = between.iter().sum::<f64>() / between.len().max(1) as f64;
    let mean = if between.is_empty() {
        String::new()
    } else {
        format!("frames {mean:.2} ms apart, {period:.2} by the script; ")
    };
    Some(format!("{mean}the longest took {:.2} ms, the prediction was {predicted:.2} ms", done - begun))
}

/// How many pictures are as previewed; the first that is not, with its pixels.
fn pictures(
    subject: &ReplaySubject<'_>,
    show: &Show,
    comparison: &Comparison,
    frames: &[Vec<Bitmap>],
    drawn: &ReplayedPictures,
    findings: &mut Findings,
) -> String {
    let (mut same, mut all) = (0, 0);
    for seen in &comparison.seen {
        let What::Frame { scene, frame } = seen.what else { continue };
        let Some((_, picture)) = drawn.at.iter().find(|(through, _)| *through == seen.to) else { continue };
        let wanted = &frames[scene][frame % frames[scene].len()];
        let (width, height) = (wanted.width().cast_signed(), wanted.height().cast_signed());
        let pixels = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let differ = pixels.filter(|(x, y)| picture.get(*x, *y) != wanted.get(*x, *y)).count();
        all += 1;
        same += usize::from(differ == 0);
        if differ > 0 && all - same <= MOST_LISTED && show.scenes()[scene].fields.is_empty() {
            let time = seconds(subject.items[seen.to - 1].time);
            let message = format!("at {time} {differ} pixels of {} differ from the preview", name_of(show, seen.what));
            findings.push(Finding::warning(Place::Nowhere, message));
        }
    }
    format!("{all} frames recognised, {same} of their pictures as previewed, pixel by pixel")
}

/// In what the settings that were sent differ from the show's.
fn report_set_up(show: &Show, drawn: &ReplayedPictures, comparison: &Comparison, findings: &mut Findings) {
    if comparison.deviations.is_empty() || comparison.before > 0 {
        return;
    }
    let mut should = Emulator::new(show.panel());
    let contrast = show.scenes().get(show.start().0).map_or(0, |scene| scene.contrast_at(0.0));
    let groups = set_up_commands(show.panel(), show.mounting(), contrast).concat();
    groups.into_iter().chain(shown(show.panel(), contrast)).for_each(|byte| should.byte_on_spi(byte, false));
    let mut should = *should.registers();
    // What frames may move.
    let is = drawn.display.registers();
    (should.start_line, should.inverted, should.contrast) = (is.start_line, is.inverted, is.contrast);
    let differing = settings(is, &should);
    if !differing.is_empty() {
        let message = format!("the set-up of the display differs from the show's: {}", differing.join("; "));
        findings.push(
            Finding::broken_limit(Place::Nowhere, message).hint("was it flashed with the firmware of another panel?"),
        );
    }
}

fn report_deviations(subject: &ReplaySubject<'_>, show: &Show, comparison: &Comparison, findings: &mut Findings) {
    for deviation in comparison.deviations.iter().take(MOST_LISTED) {
        findings.push(deviation_finding(subject, show, deviation));
    }
    if let Some(more) = comparison.deviations.len().checked_sub(MOST_LISTED).filter(|more| *more > 0) {
        findings.push(Finding::note(Place::Nowhere, format!("{more} more places differ from the show")));
    }
}

fn deviation_finding(subject: &ReplaySubject<'_>, show: &Show, deviation: &Deviation) -> Finding {
    let before = &subject.items[..deviation.at];
    let display = draw(subject.decoded, before, set_up(show.panel(), show.mounting()), show.mounting(), &[]).display;
    let words = meaning(deviation, subject.items, show.panel().controller, &display);
    let time = subject.items.get(deviation.at).or(subject.items.last()).map_or(0, |item| item.time);
    let message = format!(
        "at {}, {} differs from the show: its byte {} is {words}",
        seconds(time),
        name_of(show, deviation.what),
        deviation.at - deviation.from
    );
    let finding = Finding::broken_limit(Place::Nowhere, message);
    match deviation.again.and_then(|again| subject.items.get(again)) {
        Some(item) => finding.hint(format!("the show is recognised again from {} on", seconds(item.begun))),
        None => finding.hint("nothing after it is recognised: was the firmware built from exactly this script?"),
    }
}
