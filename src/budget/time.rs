//! Time: what making and sending frames takes of bus and CPU together, frames that come late, and the longest time in one call.

use super::choice::{Choice, ProfileFit};
use super::timing::{SceneTiming, timings};
use super::wire::{bus_formula, bus_source, frame_formula};
use super::{Budget, Figure, SceneLoad, measure};
use crate::diag::{Finding, Findings, number, number_of, percent};
use crate::panel::{BusSettings, Core};
use crate::show::{Scene, Show};
use crate::units::{FrameRate, Hertz, Nanoseconds, grouped};

const PER_CENT: f64 = 100.0;
const MEASURED: &str = "the shipped player on a modelled bus and CPU; cycles of its work fitted to the C player on a simulated ATmega328P \
                        (simavr 1.6, avr-gcc 5.4 -Os, the bus driver of examples/atmega328p), within −3 and +20 % there, \
                        −8 and +20 % where areas are composed";
const ESTIMATED: &str = "the shipped player on a modelled bus and CPU; cycles of this core estimated at two thirds of an AVR's, near 1.5 for \
                         each instruction that QEMU counts on a Cortex-M3";
/// Byte budgets of a call to try; larger ones spare transactions.
const BYTE_BUDGETS: [u16; 4] = [32, 64, 128, 255];

/// Checks the time. A scene that is late and never catches up is an error; single late frames are a warning. `slower` is a frame
/// rate at which the show keeps time.
pub fn time(show: &Show, choice: &Choice, slower: Option<FrameRate>, findings: &mut Findings) -> Budget {
    let loads = &choice.fitted.loads;
    let timings = timings(show, loads);
    report(show, choice, &timings, slower, findings);
    let source = if show.microcontroller().core == Core::Avr { MEASURED } else { ESTIMATED };
    let rough = |figure: Figure| if show.microcontroller().core == Core::Avr { figure } else { figure.rough() };
    let mut figures = Vec::new();
    let scenes = || show.scenes().iter().zip(&timings);
    if let Some((scene, timing)) = scenes().max_by(|one, other| one.1.worst_share.total_cmp(&other.1.worst_share)) {
        let name = format!("worst frame (scene {}, frame {})", scene.name, timing.worst_frame);
        figures.push(share(name, timing.worst_share).limit(PER_CENT).from(frame_formula(show.bus()), source));
        figures.push(milliseconds("worst frame", timing.worst).from(frame_formula(show.bus()), source));
    }
    if let Some((scene, timing)) = scenes().max_by(|one, other| one.1.mean_share.total_cmp(&other.1.mean_share)) {
        let name = format!("mean frame, busiest scene ({})", scene.name);
        figures.push(share(name, timing.mean_share).limit(PER_CENT).from("mean of all frames after the first", source));
    }
    let late: usize = timings.iter().map(|timing| timing.late_frames).sum();
    let latest = timings.iter().map(|timing| timing.latest).max().unwrap_or_default();
    figures.push(
        Figure::new("late frames", late as f64, "")
            .headline()
            .from("frames not complete when the next one is due", source),
    );
    figures.push(
        milliseconds("delay of the latest frame", latest)
            .from("time complete − time due − time between frames", source),
    );
    let longest = loads.iter().flat_map(|load| &load.frames).map(|frame| frame.longest_call).max().unwrap_or_default();
    let call = format!("bus and CPU of one call at {} bytes", show.bus().per_call);
    figures.push(milliseconds("longest time in one call", longest).headline().from(call, source));
    figures = figures.into_iter().map(rough).collect();
    figures.extend(bus_figures(show, loads));
    figures.extend(scenes().flat_map(|(scene, timing)| of_scene(show, scene, timing, source).map(rough)));
    figures.extend(show.scenes().iter().zip(loads).map(|(scene, load)| worst_bus_time(show, scene, load)));
    Budget { title: "time", figures }
}

fn share(name: impl Into<String>, share: f64) -> Figure {
    Figure::new(name, share * PER_CENT, "%")
}

fn milliseconds(name: impl Into<String>, time: Nanoseconds) -> Figure {
    Figure::new(name, time.milliseconds(), "ms")
}

fn bus_figures(show: &Show, loads: &[SceneLoad]) -> [Figure; 4] {
    let frames = || loads.iter().flat_map(|load| &load.frames);
    let count = frames().count().max(1) as f64;
    let total: f64 = frames().map(|frame| frame.time.milliseconds()).sum();
    let bytes: f64 = frames().map(|frame| f64::from(frame.bytes.0)).sum();
    let most = frames().map(|frame| frame.bytes.0).max().unwrap_or_default();
    let in_use = total / count / show.frame_rate().period().milliseconds();
    [
        share("bus in use", in_use)
            .headline()
            .from("mean bus time of a frame / time between frames", bus_source(show.bus())),
        Figure::new("mean frame, bus", total / count, "ms")
            .from("mean over all frames of all scenes", bus_source(show.bus())),
        Figure::new("mean frame", bytes / count, "B")
            .from("mean over all frames of all scenes", bus_source(show.bus())),
        Figure::new("largest frame", f64::from(most), "B").from("counted", bus_source(show.bus())),
    ]
}

fn worst_bus_time(show: &Show, scene: &Scene, load: &SceneLoad) -> Figure {
    let worst = load.frames.iter().map(|frame| frame.time).max().unwrap_or_default();
    milliseconds(format!("worst bus time of a frame, scene {}", scene.name), worst)
        .from(bus_formula(show.bus()), bus_source(show.bus()))
        .detail()
}

fn of_scene(show: &Show, scene: &Scene, timing: &SceneTiming, source: &str) -> [Figure; 3] {
    let name = |what: &str| format!("{what}, scene {}", scene.name);
    [
        share(name("mean frame"), timing.mean_share).from("mean of all frames after the first", source).detail(),
        share(name("worst frame"), timing.worst_share).from(frame_formula(show.bus()), source).detail(),
        Figure::new(name("late frames"), timing.late_frames as f64, "")
            .from("frames not complete when the next one is due", source)
            .detail(),
    ]
}

/// The scene that falls behind most as an error, with what would keep time; each other scene with late frames as a warning.
fn report(show: &Show, choice: &Choice, timings: &[SceneTiming], slower: Option<FrameRate>, findings: &mut Findings) {
    let period = show.frame_rate().period();
    let mut fixes: Option<Vec<String>> = None;
    for (scene, timing) in show.scenes().iter().zip(timings) {
        if timing.falls_behind {
            let message = format!(
                "scene `{}` falls behind and never catches up: its frames take {} ms on average, but only {} ms lie between frames",
                scene.name,
                number(timing.mean_share * period.milliseconds()),
                number(period.milliseconds())
            );
            let fixes = fixes.get_or_insert_with(|| what_keeps_time(show, choice, slower));
            let finding = Finding::broken_limit(scene.span, message);
            findings.push(fixes.iter().fold(finding, |finding, fix| finding.hint(fix)));
        } else if timing.late_frames > 0 {
            let message = format!(
                "{} late in scene `{}`: frame {} is complete {} ms after the next one is due",
                number_of(timing.late_frames, "frame"),
                scene.name,
                timing.latest_frame,
                number(timing.latest.milliseconds())
            );
            let finding = Finding::warning(scene.span, message);
            findings.push(without_lateness(show, choice).into_iter().fold(finding, Finding::hint));
        }
    }
}

/// A word on the profile that fits and keeps time, if another one does.
pub fn other_profile(choice: &Choice) -> Option<String> {
    let taken = &choice.fitted.fit;
    let fit = choice.profiles.iter().find(|fit| fit.profile != taken.profile && fit.fits() && !fit.falls_behind)?;
    Some(format!("`profile: {}` fits and keeps time: {}", profile_word(fit), against(fit, taken)))
}

fn profile_word(fit: &ProfileFit) -> &'static str {
    if fit.profile == "dense" { "Dense" } else { "Lean" }
}

/// What a profile takes against another one.
fn against(fit: &ProfileFit, other: &ProfileFit) -> String {
    let ram = i64::from(fit.ram_bytes) - i64::from(other.ram_bytes);
    let word = if ram < 0 { "less" } else { "more" };
    format!(
        "{} B of flash, {} B {word} RAM, {} of the time at worst",
        number(fit.flash_bytes.into()),
        number(ram.unsigned_abs() as f64),
        percent(fit.worst_time_share)
    )
}

/// Each change that was tried and keeps time.
fn what_keeps_time(show: &Show, choice: &Choice, slower: Option<FrameRate>) -> Vec<String> {
    let keeps = |wire: &BusSettings| {
        !timings(show, &measure(show, &choice.fitted.reel.bytes, wire)).iter().any(|timing| timing.falls_behind)
    };
    let mut fixes: Vec<String> = other_profile(choice).into_iter().collect();
    fixes.extend(faster_clock(show, keeps).map(clock_word));
    let larger = BYTE_BUDGETS.into_iter().filter(|budget| *budget > show.bus().per_call);
    let larger = larger.map(|per_call| BusSettings { per_call, ..*show.bus() }).find(|wire| keeps(wire));
    fixes.extend(larger.map(|wire| format!("`per_call: {}` keeps time, with longer calls", wire.per_call)));
    fixes.extend(slower.map(|rate| format!("`frame_rate: {}` keeps time", rate.frames_per_second())));
    fixes.push("or change less of the picture in each frame of this scene".to_owned());
    fixes
}

/// The clock at which no frame is late, if there is one.
fn without_lateness(show: &Show, choice: &Choice) -> Vec<String> {
    let none_late = |wire: &BusSettings| {
        timings(show, &measure(show, &choice.fitted.reel.bytes, wire)).iter().all(|timing| timing.late_frames == 0)
    };
    let clock = faster_clock(show, none_late).map(|clock| format!("{}: then no frame is late", clock_word(clock)));
    clock
        .into_iter()
        .chain(["the preview shows this delay; the first frame of a scene sends the whole picture".to_owned()])
        .collect()
}

fn faster_clock(show: &Show, keeps: impl Fn(&BusSettings) -> bool) -> Option<Hertz> {
    let controller = show.panel().controller;
    let highest = if show.bus().is_spi() { controller.highest_spi_clock } else { None };
    let bears = |clock: &Hertz| *clock > show.bus().clock && highest.is_none_or(|highest| *clock <= highest);
    let faster = show.bus().usual_clocks().iter().copied().filter(bears);
    faster.map(|clock| BusSettings { clock, ..*show.bus() }).find(keeps).map(|wire| wire.clock)
}

fn clock_word(clock: Hertz) -> String {
    format!("`clock: {}` keeps time, if every device on the bus supports it", grouped(clock.0))
}
