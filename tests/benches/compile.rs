//! How long a compile takes: a minute of animation at 20 frames a second on two glasses, whole and stage by stage.

#[path = "common/mod.rs"]
mod common;

use common::{Drawn, drawn};
use pageloom::diag::Findings;
use pageloom::preview::{check_scenes, rehearse};
use pageloom::reel::compile;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// What a whole compile of a minute may take.
const GOAL: Duration = Duration::from_secs(1);
/// Each stage is run so often; the least time counts.
const RUNS: usize = 3;

const STAGES: [&str; 4] = ["read and draw", "plan and encode", "check scenes", "rehearse"];

fn main() {
    let minutes = ["minute", "minute-128x64"].map(script);
    println!(
        "{:20} {:>16} {:>16} {:>16} {:>16} {:>10} {:>8}",
        "show", STAGES[0], STAGES[1], STAGES[2], STAGES[3], "whole", "of goal"
    );
    for script in minutes {
        let (name, times) = stages(&script);
        let whole: Duration = times.iter().sum();
        let cells: Vec<String> = times.iter().map(|time| cell(*time, whole)).collect();
        let share = whole.as_secs_f64() / GOAL.as_secs_f64();
        println!("{name:20} {} {:>7.0} ms {share:>8.2}", cells.join(" "), milliseconds(whole));
    }
}

fn script(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/benches/scenes/{name}.ron"))
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

fn cell(time: Duration, whole: Duration) -> String {
    format!("{:>7.0} ms {:>3.0} %", milliseconds(time), 100.0 * time.as_secs_f64() / whole.as_secs_f64())
}

/// The show's name and the least time of each stage.
fn stages(script: &Path) -> (String, [Duration; 4]) {
    let mut least = [Duration::MAX; 4];
    let mut name = String::new();
    for _ in 0..RUNS {
        let mut findings = Findings::default();
        let (made, reading): (Drawn, _) = timed(|| drawn(script));
        let (reel, compiling) = timed(|| compile(&made.show, &made.frames, &mut findings));
        let reel = reel.unwrap_or_else(|| panic!("{} does not compile", made.name));
        let (same, checking) = timed(|| check_scenes(&made.show, &reel, &made.frames, &mut findings));
        let (rehearsal, rehearsing) = timed(|| rehearse(&made.show, &reel, &made.frames, &mut findings));
        assert!(same && rehearsal.is_some(), "{} is not shown as drawn", made.name);
        for (least, time) in least.iter_mut().zip([reading, compiling, checking, rehearsing]) {
            *least = time.min(*least);
        }
        name = made.name;
    }
    (name, least)
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let begun = Instant::now();
    let made = work();
    (made, begun.elapsed())
}
