//! Time, predicted and measured: shows of the bench and seeded random ones are played on the simulated ATmega328P, and what the
//! model of bus and player predicts is held against the cycles that passed there.
//!
//! `cargo test --test root timing -- --nocapture` prints predicted against measured; `PAGELOOM_FIT=1` with it prints the cycles of
//! each unit of work as fitted anew, for `src/emulator/cycles.rs`, or with `PAGELOOM_FIT=Film,Area` of units whose names begin so.
//! `PAGELOOM_TIMED=film` plays only shows whose name contains that.

use super::cortex_m3;
use super::examples::ON_SPI;
use super::least_squares::fit;
use super::random_shows::{project_show, random_show};
use super::shows::write_sources;
use super::simulator::{Event, PLAYER, build_avr, simulate};
use super::tools::{root, workshop};
use pageloom::diag::Findings;
use pageloom::emit::Firmware;
use pageloom::emulator::{KINDS_OF_WORK, Playback, bus_cycles, cycles_of, kinds_of_work};
use pageloom::panel::{BusSettings, Core, find_microcontroller};
use pageloom::player::{Bus as PlayerBus, Status, Work, any_player};
use pageloom::reel::{Options, Reel, candidates, compile_as_film, compile_densely, compile_lean, period};
use pageloom::render::{Bitmap, render};
use pageloom::show::Show;
use pageloom::units::Hertz;
use rayon::prelude::*;
use std::path::PathBuf;

const CYCLES_A_MILLISECOND: f64 = 16_000.0;
/// A call that finds no frame due takes less.
const IDLE_CYCLES: f64 = 200.0;
/// Kinds of work whose cycles are fitted, then transactions and bytes.
const TRANSACTION: usize = KINDS_OF_WORK;
const BYTE: usize = TRANSACTION + 1;
const UNKNOWNS: usize = BYTE + 1;

/// Clocks of SPI, as the peripheral divides 16 MHz; all controllers of random shows take them.
const SPI_CLOCKS: [u32; 2] = [4_000_000, 1_000_000];

/// A show as compiled, and how it is played.
struct Case {
    name: String,
    show: Show,
    reel: Reel,
    clock: u32,
    budget: u8,
}

impl Case {
    /// A folder with the show's and the player's files.
    fn sources(&self) -> PathBuf {
        let folder = workshop(&format!("timing-{}", self.name));
        let (parts, panel) = (self.reel.parts, self.show.panel());
        let picture = parts.dense.then(|| (panel.width, panel.height.div_ceil(8)));
        let reel = self.reel.bytes.clone();
        write_sources(
            &[Firmware { name: "helm".into(), reel, picture, parts, spi: self.is_spi(), ..Firmware::default() }],
            &folder,
        );
        folder
    }

    fn is_spi(&self) -> bool {
        self.show.bus().is_spi()
    }

    fn firmware(&self, silent: bool, milliseconds: u32) -> PathBuf {
        let example = if self.is_spi() { "examples/atmega328p-spi" } else { "examples/atmega328p" };
        let (folder, example) = (self.sources(), root().join(example));
        let bus = if silent { root().join("tests/firmware/silent_bus.c") } else { example.join("bus.c") };
        let sources = [root().join("tests/firmware/atmega328p.c"), bus, folder.join("helm.c"), folder.join(PLAYER)];
        let rate = match self.is_spi() {
            true => format!("-DSPI_DIVIDER={}", 16_000_000 / self.clock),
            false => format!("-DBIT_RATE={}", (16_000_000 / self.clock - 16) / 2),
        };
        let step = if silent { "-DSTEP_MILLISECONDS=500" } else { "" };
        let run = format!("-DRUN_MILLISECONDS={milliseconds}u {rate} {step}");
        let defines = format!("-DALLOWANCE={} {run}", self.budget);
        build_avr(&folder, &format!("-mmcu=atmega328p -DF_CPU=16000000UL {defines} -I{}", example.display()), &sources)
    }

    /// The events of a run on the simulated part.
    fn played(&self, silent: bool, milliseconds: u32) -> Vec<(u64, Event)> {
        let firmware = self.firmware(silent, milliseconds);
        let most = (u64::from(milliseconds) + 500) * 16_000;
        simulate(
            &firmware,
            &format!(
                "-g 3E,4A,4B {} -p pageloom_tick -c -e -W player+6 -x {most}",
                if self.is_spi() { ON_SPI } else { "" }
            ),
        )
        .good()
        .events
    }
}

/// Counts the work of one call.
#[derive(Clone, Debug)]
struct Counter([f64; UNKNOWNS]);

impl PlayerBus for Counter {
    type Error = ();
    fn start(&mut self, _: u8) -> Result<(), ()> {
        self.0[TRANSACTION] += 1.0;
        Ok(())
    }
    fn write(&mut self, _: u8) -> Result<(), ()> {
        self.0[BYTE] += 1.0;
        Ok(())
    }
    fn stop(&mut self) -> Result<(), ()> {
        Ok(())
    }
    fn work(&mut self, work: Work, units: u16) {
        let kind = kinds_of_work().iter().position(|kind| *kind == work).expect("a kind that is fitted");
        self.0[kind] += f64::from(units);
    }
}

/// The work of each call that found a frame due, frame by frame, as long as `frames` frames last.
fn work(reel: &[u8], budget: u8, frames: u32) -> Vec<[f64; UNKNOWNS]> {
    let mut player = any_player(reel);
    let mut calls = Vec::new();
    for frame in 0..frames {
        loop {
            let mut counter = Counter([0.0; UNKNOWNS]);
            let status = player.tick(&mut counter, (frame * 500) as u16, budget);
            calls.push(counter.0);
            assert_ne!(status, Status::Fault);
            if status == Status::Idle {
                break;
            }
        }
    }
    calls
}

/// A show and its frames as a reel.
type Compile = fn(&Show, &[Vec<Bitmap>], &mut Findings) -> Option<Reel>;

/// A lean reel whose player composes areas, if one is worth a look.
fn compile_with_areas(show: &Show, frames: &[Vec<Bitmap>], findings: &mut Findings) -> Option<Reel> {
    let options = Options { quickly: true, ..Options::default() };
    candidates(options, show, frames, findings)?.into_iter().find(|reel| reel.parts.areas > 0)
}

fn cases() -> Vec<Case> {
    let profiles: [(&str, Compile); 4] =
        [("lean", compile_lean), ("dense", compile_densely), ("areas", compile_with_areas), ("film", compile_as_film)];
    let bench =
        ["boot", "alert", "marquee", "sweep", "gauges", "pages", "noise", "grains", "boot-128x64", "sweep-128x64"];
    let (clocks, budgets) = ([400_000, 100_000, 1_000_000], [16u8, 12, 32, 255]);
    let mut wanted: Vec<(String, Show, usize, usize)> = Vec::new();
    for (number, name) in bench.iter().enumerate() {
        for profile in 0..2 {
            wanted.push((
                format!("{name}-{profile}"),
                project_show(&format!("bench/{name}.ron")),
                number + profile,
                profile,
            ));
        }
    }
    for seed in 0..36u64 {
        let number = seed as usize;
        let (clock, budget) = (clocks[number % 3], budgets[number % 4]);
        let show = random_show(seed, &format!("I2c(clock: {clock}, per_call: {budget})"), 10).0;
        wanted.push((format!("random-{seed}"), show, number, number / 12 % 2));
    }
    for (number, clock) in SPI_CLOCKS.into_iter().cycle().take(12).enumerate() {
        let show = random_show(number as u64, &format!("Spi(clock: {clock})"), 10).0;
        wanted.push((format!("spi-{number}"), show, number, number / 3 % 2));
    }
    // At 8 MHz, lean as its script says.
    wanted.push(("spi-lightship".into(), project_show("../examples/atmega328p-spi/lightship.ron"), 0, 0));
    wanted.push(("board".to_owned(), project_show("bench/board.ron"), 0, 2));
    for seed in 36..66u64 {
        let number = seed as usize;
        let (clock, budget) = (clocks[number % 3], budgets[number % 4]);
        let show = random_show(seed, &format!("I2c(clock: {clock}, per_call: {budget})"), 10).0;
        wanted.push((format!("random-{seed}"), show, number, 2));
    }
    let films = ["film-wire", "film-fire", "gauges-128x32"];
    for (number, name) in films.iter().enumerate() {
        let show = project_show(&format!("bench/{name}.ron"));
        wanted.push((format!("{name}-{number}"), show, number, 3));
    }
    for seed in 66..68u64 {
        let number = seed as usize;
        let (clock, budget) = (clocks[number % 3], budgets[number % 4]);
        let show = random_show(seed, &format!("I2c(clock: {clock}, per_call: {budget})"), 10).0;
        wanted.push((format!("random-{seed}"), show, number, 3));
    }
    for profile in [1, 3] {
        let show = project_show("../tests/cases/good/over-copy.ron");
        wanted.push(("over-copy".to_owned(), show, profile + 1, profile));
    }
    let only = std::env::var("PAGELOOM_TIMED").unwrap_or_default();
    wanted.retain(|(name, .., profile)| format!("{name}-{}", profiles[*profile].0).contains(&only));
    let case = |(name, show, number, profile): (String, Show, usize, usize)| {
        let reel = profiles[profile].1(&show, &render(&show), &mut Findings::default())?;
        let name = format!("{name}-{}", profiles[profile].0);
        let clock = if show.bus().is_spi() { show.bus().clock.0 } else { clocks[number % 3] };
        Some(Case { name, show, reel, clock, budget: budgets[number % 4] })
    };
    wanted.into_par_iter().filter_map(case).collect()
}

/// Each call of a case that found a frame due: its work, and its cycles over a bus that takes no time.
fn silent_calls(case: &Case) -> Vec<([f64; UNKNOWNS], f64)> {
    const MILLISECONDS: u32 = 60_000;
    let mut bytes = case.reel.bytes.clone();
    bytes[3..6].copy_from_slice(&[244, 1, 0]); // 500 ms, so that each frame is sent before the next is due
    let slow = Case {
        reel: Reel { bytes, ..case.reel.clone() },
        show: case.show.clone(),
        name: format!("{}-silent", case.name),
        ..*case
    };
    let events = slow.played(true, MILLISECONDS);
    let measured = events.iter().filter_map(|event| match event.1 {
        Event::Call(cycles, _) => Some(f64::from(cycles)),
        _ => None,
    });
    let modelled = work(&slow.reel.bytes, slow.budget, MILLISECONDS / 500 + 1);
    modelled.into_iter().zip(measured.collect::<Vec<f64>>()).collect()
}

#[test]
fn fit_of_the_cycles() {
    if std::env::var_os("PAGELOOM_FIT").is_none() {
        return;
    }
    let cases = cases();
    let rows: Vec<(String, Vec<_>)> = cases.par_iter().map(|case| (case.name.clone(), silent_calls(case))).collect();
    let wanted = std::env::var("PAGELOOM_FIT").unwrap_or_default();
    let bus = bus_cycles(Core::Avr, false);
    let is_fitted = |kind: &Work| wanted.split(',').any(|start| format!("{kind:?}").starts_with(start));
    let known: Vec<Option<f64>> = (kinds_of_work().iter())
        .map(|kind| (!is_fitted(kind)).then(|| f64::from(cycles_of(*kind, Core::Avr))))
        .chain([bus.begin, bus.byte].map(|cycles| (!wanted.is_empty()).then_some(f64::from(cycles))))
        .collect();
    let left = |(mut counts, mut cycles): ([f64; UNKNOWNS], f64)| {
        for (count, known) in counts.iter_mut().zip(&known) {
            if let Some(known) = known {
                cycles -= std::mem::take(count) * known;
            }
        }
        (counts, cycles.max(1.0))
    };
    let all: Vec<_> = rows.iter().flat_map(|row| row.1.iter().copied()).map(left).collect();
    let mut fitted = fit(&all);
    for (fitted, known) in fitted.iter_mut().zip(&known) {
        *fitted = known.unwrap_or(*fitted);
    }
    for (kind, cycles) in kinds_of_work().iter().zip(fitted) {
        println!("    row(Work::{kind:?}, {cycles:.0}, …),");
    }
    println!("    begin: {:.0}, byte: {:.0}", fitted[TRANSACTION], fitted[BYTE]);
    let predicted =
        |counts: &[f64; UNKNOWNS]| counts.iter().zip(fitted).map(|(count, cycles)| count * cycles).sum::<f64>();
    for (name, rows) in rows {
        let ratios: Vec<f64> = rows.iter().map(|row| predicted(&row.0) / row.1).collect();
        let (least, most) =
            ratios.iter().fold((f64::MAX, 0.0f64), |(least, most), ratio| (least.min(*ratio), most.max(*ratio)));
        let longest = rows.iter().max_by(|a, b| a.1.total_cmp(&b.1)).expect("calls");
        let sum = rows.iter().map(|row| predicted(&row.0)).sum::<f64>() / rows.iter().map(|row| row.1).sum::<f64>();
        println!(
            "{name:30} {:6} calls, predicted/measured {least:.2} to {most:.2}, sum {sum:.3}, longest {:.0} {:.3} {:?}",
            rows.len(),
            longest.1,
            predicted(&longest.0) / longest.1,
            longest.0.map(|count| count as u32)
        );
    }
}

/// The display's end of a bus that nothing listens to.
struct Nothing;

impl PlayerBus for Nothing {
    type Error = ();
    fn start(&mut self, _: u8) -> Result<(), ()> {
        Ok(())
    }
    fn write(&mut self, _: u8) -> Result<(), ()> {
        Ok(())
    }
    fn stop(&mut self) -> Result<(), ()> {
        Ok(())
    }
}

/// A run: for each frame when it began and when it was whole, and the longest call; in milliseconds.
#[derive(Debug, Default)]
struct Timing {
    frames: Vec<(f64, f64)>,
    longest: f64,
}

const RUN_MILLISECONDS: u32 = 2_500;
/// Predicted times may be so much less than measured ones, and so much more.
const LEAST: f64 = 0.96;
const MOST: f64 = 1.20;
/// A single call, whose work is less even than that of a frame.
const LEAST_OF_A_CALL: f64 = 0.91;
const MOST_OF_A_CALL: f64 = 1.25;
/// The timer of the test firmware counts whole milliseconds, so that a frame may begin so much later.
const TIMER_MILLISECONDS: f64 = 1.0;
/// With a byte budget and a clock like these a call takes no longer than this: work that sends nothing takes of the budget too.
const SMALL_BUDGET: u8 = 16;
const FAST_CLOCK: u32 = 400_000;
const LONGEST_CALL_MILLISECONDS: f64 = 2.2;

/// What the model predicts.
fn predicted(case: &Case) -> Timing {
    let part = find_microcontroller("ATmega328P").expect("a row");
    let wire = BusSettings { clock: Hertz(case.clock), per_call: case.budget.into(), ..*case.show.bus() };
    let (milliseconds, fraction) = period(case.show.frame_rate());
    let period = u64::from(milliseconds) << 8 | u64::from(fraction);
    let mut playback = Playback::new(&case.reel.bytes, Nothing, period, &wire, part);
    let mut timing = Timing::default();
    loop {
        let time = playback.frame().unwrap_or_else(|why| panic!("{}: {why}", case.name)).time;
        if time.done.milliseconds() > f64::from(RUN_MILLISECONDS) {
            return timing;
        }
        timing.frames.push((time.begun.milliseconds(), time.done.milliseconds()));
        timing.longest = timing.longest.max(time.longest_call.milliseconds());
    }
}

/// What was measured on the simulated part: a frame is whole when the player puts the time on at which the next one is due.
fn measured(case: &Case) -> Timing {
    let period = period(case.show.frame_rate()).0 as u8;
    let mut timing = Timing::default();
    let (mut due, mut zero, mut whole) = (0u8, None, 0.0f64);
    let (mut ends, mut begun) = (Vec::new(), None);
    for (cycle, event) in case.played(false, RUN_MILLISECONDS) {
        let now = cycle as f64 / CYCLES_A_MILLISECOND;
        match event {
            Event::Watch(0, value) => {
                if (period..=period.wrapping_add(1)).contains(&value.wrapping_sub(due)) {
                    ends.push(now);
                }
                due = value;
            }
            Event::Call(cycles, _) => {
                let taken = f64::from(cycles) / CYCLES_A_MILLISECOND;
                let zero = *zero.get_or_insert(now - taken);
                timing.longest = timing.longest.max(taken);
                if f64::from(cycles) > IDLE_CYCLES {
                    begun.get_or_insert((now - taken).max(whole));
                }
                for end in ends.drain(..) {
                    timing.frames.push((begun.unwrap_or(end) - zero, end - zero));
                    (begun, whole) = (None, end);
                }
                // A call that goes on with the next frame when one is whole.
                if f64::from(cycles) > IDLE_CYCLES && whole > now - taken && now - whole > 0.1 {
                    begun = Some(whole);
                }
            }
            _ => {}
        }
    }
    timing
}

/// How many frames are whole by a time.
fn whole_by(timing: &Timing, time: f64) -> usize {
    timing.frames.iter().filter(|frame| frame.1 <= time).count()
}

#[test]
fn frames_and_calls_take_the_time_that_is_predicted() {
    let cases = cases();
    let runs: Vec<(Timing, Timing)> = cases.par_iter().map(|case| (predicted(case), measured(case))).collect();
    println!("predicted / measured on a simulated ATmega328P at 16 MHz; milliseconds");
    let mut faults = Vec::new();
    for (case, (model, chip)) in cases.iter().zip(&runs) {
        let taken = |frame: &(f64, f64)| frame.1 - frame.0;
        let pairs = model.frames.iter().zip(&chip.frames).map(|(model, chip)| (taken(model), taken(chip)));
        let ratios: Vec<f64> = pairs.filter(|pair| pair.1 > 0.5).map(|pair| pair.0 / pair.1).collect();
        let least = ratios.iter().copied().fold(f64::MAX, f64::min);
        let most = ratios.iter().copied().fold(0.0, f64::max);
        let worst = |timing: &Timing| timing.frames.iter().skip(1).map(taken).fold(0.0, f64::max);
        let call = model.longest / chip.longest;
        let apart = (0..RUN_MILLISECONDS / 10).map(|at| {
            let time = f64::from(at) * 10.0;
            let early = whole_by(chip, time - TIMER_MILLISECONDS).saturating_sub(whole_by(model, time));
            early.max(whole_by(model, time).saturating_sub(whole_by(chip, time)))
        });
        let apart = apart.max().unwrap_or_default();
        println!(
            "  {:26} {:5} kHz {:3} B: {:3} of {:3} frames, each {least:.2} to {most:.2}, first {:6.1} / {:6.1}, worst \
             {:6.2} / {:6.2}, longest call {:6.2} / {:6.2} = {call:.2}, {apart} apart",
            case.name,
            case.clock / 1000,
            case.budget,
            model.frames.len(),
            chip.frames.len(),
            model.frames.first().map_or(0.0, taken),
            chip.frames.first().map_or(0.0, taken),
            worst(model),
            worst(chip),
            model.longest,
            chip.longest,
        );
        // A show that falls behind for good is refused; its frames may add up to more.
        let keeps_time = chip.frames.len() as u32 >= RUN_MILLISECONDS / u32::from(period(case.show.frame_rate()).0) - 1;
        let most_apart = if keeps_time { 2 } else { (chip.frames.len() / 8).max(1) };
        if case.budget <= SMALL_BUDGET && case.clock >= FAST_CLOCK && chip.longest > LONGEST_CALL_MILLISECONDS {
            faults.push(&case.name);
        }
        if least < LEAST || most > MOST || !(LEAST_OF_A_CALL..=MOST_OF_A_CALL).contains(&call) || apart > most_apart {
            faults.push(&case.name);
        }
    }
    assert!(faults.is_empty(), "beyond what is allowed: {faults:?}");
}

/// Instructions that QEMU's timer counts for a tick of it: it runs at 25 MHz, and an instruction takes a nanosecond there.
const INSTRUCTIONS_A_TICK: f64 = 40.0;
/// Cycles of an instruction on a Cortex-M3 with flash that keeps up, roughly: most take one, loads and taken branches two or three
/// (Arm DDI 0337, instruction timing; the mean is common practice).
const CYCLES_AN_INSTRUCTION: f64 = 1.5;

/// QEMU counts instructions, no cycles, so the times of other cores are estimates; this holds them near what it counts.
#[test]
fn a_cortex_m3_takes_about_as_many_instructions_as_its_cycles_are_estimated_from() {
    let (mut counted, mut estimated) = (0.0, 0.0);
    for case in cases().iter().filter(|case| case.name.contains("random-") && case.budget == 16) {
        const MILLISECONDS: u32 = 12_000;
        let mut bytes = case.reel.bytes.clone();
        bytes[3..6].copy_from_slice(&[244, 1, 0]);
        let cycles = |counts: &[f64; UNKNOWNS]| {
            kinds_of_work()
                .iter()
                .zip(counts)
                .map(|(kind, count)| f64::from(cycles_of(*kind, Core::CortexM)) * count)
                .sum::<f64>()
        };
        let bus = bus_cycles(Core::CortexM, false);
        let own: f64 = work(&bytes, 16, MILLISECONDS / 500)
            .iter()
            .map(|counts| {
                cycles(counts) + f64::from(bus.begin) * counts[TRANSACTION] + f64::from(bus.byte) * counts[BYTE]
            })
            .sum();
        let slow = Case {
            reel: Reel { bytes, ..case.reel.clone() },
            show: case.show.clone(),
            name: format!("m3-{}", case.name),
            ..*case
        };
        let folder = slow.sources();
        let sources = ["tests/firmware/counted.c", "tests/firmware/silent_bus.c"].map(|file| root().join(file));
        let sources = [&sources[..], &[folder.join("helm.c"), folder.join(PLAYER)]].concat();
        let run = cortex_m3::play(&cortex_m3::build_with(
            &folder,
            &sources,
            &["board.c", "startup.c"],
            &format!("-DRUN_MILLISECONDS={MILLISECONDS}u"),
        ));
        let ticks = run.figure("RAM ticks") as f64;
        println!(
            "  {:20} {:.0} instructions, {own:.0} cycles estimated: {:.2}",
            case.name,
            ticks * INSTRUCTIONS_A_TICK,
            own / (ticks * INSTRUCTIONS_A_TICK)
        );
        counted += ticks * INSTRUCTIONS_A_TICK;
        estimated += own;
    }
    let ratio = estimated / (counted * CYCLES_AN_INSTRUCTION);
    println!("  cycles estimated / counted instructions × {CYCLES_AN_INSTRUCTION}: {ratio:.2}");
    assert!((0.8..=1.4).contains(&ratio), "{ratio:.2}");
}
