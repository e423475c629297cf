//! How long a compile takes: a minute of animation at 20 frames a second on two displays, whole and stage by stage; and how
//! long the frames of the busiest show take to draw on one core.

#[path = "common/mod.rs"]
mod common;

use common::{Drawn, drawn};
use pageloom::budget::compile;
use pageloom::diag::Findings;
use pageloom::preview::{check_scenes, rehearse};
use pageloom::render::draw;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// What a whole compile of a minute may take.
const GOAL: Duration = Duration::from_secs(1);
/// Each stage is run so often; the least time counts.
const RUNS: usize = 3;

/// Frames of the busiest show, and what they may take on one core.
const BUSY_FRAMES: usize = 1000;
const BUSY_GOAL: Duration = Duration::from_millis(500);

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
    println!("\n{BUSY_FRAMES} frames drawn on one core, of a goal of {:.0} ms", milliseconds(BUSY_GOAL));
    for name in ["busy-128x64", "minute-128x64"] {
        let time = drawing(&script(name));
        println!("{name:20} {:>7.0} ms {:>8.2}", milliseconds(time), time.as_secs_f64() / BUSY_GOAL.as_secs_f64());
    }
}

/// The least time of drawing frames one after another, from the first scene on and again from its start.
fn drawing(script: &Path) -> Duration {
    let Drawn { show, .. } = drawn(script);
    let frames = || show.scenes().iter().flat_map(|scene| (0..scene.frames.0).map(move |frame| (scene, frame)));
    let lit =
        || frames().cycle().take(BUSY_FRAMES).map(|(scene, frame)| draw(&show, scene, frame).lit()).sum::<usize>();
    let run = |_| {
        let (lit, time) = timed(lit);
        assert!(lit > 0, "{} shows nothing", script.display());
        time
    };
    (0..RUNS).map(run).min().unwrap_or_default()
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
