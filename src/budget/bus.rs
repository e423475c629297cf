//! Bus time: what the frames take on the wire, against the time between frames, and how long one call holds the main loop.

use super::{Budget, Figure, SceneLoad};
use crate::diag::{Finding, Findings};
use crate::panel::{Bus, MEASURED_ALLOWANCE, PlayerParts};
use crate::show::{Scene, Show};
use crate::units::{Hertz, Nanoseconds};

const TRANSACTION: &str =
    "9 clocks a byte, address counted, with start hold, stop set-up and bus free for each transaction";
const SOURCE: &str = "UM10204 Rev 7.0 §3.1 and Table 11, played by the player at per_call bytes a call";
/// Usual clocks of I²C buses, slowest first (UM10204 Rev 7.0 Table 11).
const USUAL_CLOCKS: [u32; 3] = [100_000, 400_000, 1_000_000];

/// The frame that takes longest.
struct Worst<'a> {
    scene: &'a Scene,
    frame: usize,
    time: Nanoseconds,
    bytes: u32,
}

/// Checks the bus; a frame that takes longer than the time between frames is an error.
pub fn bus(show: &Show, parts: PlayerParts, loads: &[SceneLoad], findings: &mut Findings) -> Budget {
    let period = show.frame_rate().period();
    let worst = worst(show, loads);
    let frames = || loads.iter().flat_map(|load| &load.frames);
    let count = frames().count().max(1) as f64;
    let total: f64 = frames().map(|frame| frame.time.milliseconds()).sum();
    let bytes: u32 = frames().map(|frame| frame.bytes.0).sum();
    let longest = frames().map(|frame| frame.longest_call).max().unwrap_or_default();
    let mut figures = Vec::new();
    if let Some(worst) = &worst {
        let name = format!("worst frame (scene {}, frame {})", worst.scene.name, worst.frame);
        figures.push(
            Figure::new(name, worst.time.milliseconds(), "ms").limit(period.milliseconds()).from(TRANSACTION, SOURCE),
        );
        figures.push(Figure::new("worst frame", f64::from(worst.bytes), "B").from("counted", SOURCE));
        if worst.time > period {
            report(show, worst, period, findings);
        }
    }
    figures.push(Figure::new("mean frame", total / count, "ms").from("mean over all frames of all scenes", SOURCE));
    figures.push(
        Figure::new("mean frame", f64::from(bytes) / count, "B").from("mean over all frames of all scenes", SOURCE),
    );
    let share = total / count / period.milliseconds() * 100.0;
    figures.push(Figure::new("bus in use", share, "%").headline().from("mean frame / time between frames", SOURCE));
    figures.push(
        Figure::new("longest hold of one call", longest.milliseconds(), "ms").headline().from(TRANSACTION, SOURCE),
    );
    figures.extend(software(show, parts, worst.as_ref(), longest));
    for (scene, load) in show.scenes().iter().zip(loads) {
        let time = load.frames.iter().map(|frame| frame.time).max().unwrap_or_default();
        let name = format!("worst frame of scene {}", scene.name);
        figures.push(Figure::new(name, time.milliseconds(), "ms").from(TRANSACTION, SOURCE));
    }
    Budget { title: "bus", figures }
}

/// What the firmware's own work adds to the time on the wire, where that was measured.
fn software(show: &Show, parts: PlayerParts, worst: Option<&Worst<'_>>, longest: Nanoseconds) -> Vec<Figure> {
    let (part, (player, measured)) = (show.microcontroller(), show.microcontroller().player_cost());
    let (Some(worst), Some(cycles)) = (worst, player.cycles_with(parts)) else { return Vec::new() };
    let milliseconds = |cycles: f64| cycles * 1e3 / f64::from(part.clock.0);
    let frame = worst.time.milliseconds() + milliseconds(f64::from(worst.bytes * cycles.a_byte));
    let share = f64::from(show.bus().per_call) / f64::from(MEASURED_ALLOWANCE);
    let call = longest.milliseconds() + milliseconds(f64::from(cycles.longest_call) * share);
    let formula = format!("wire + {} CPU cycles a byte at {} MHz", cycles.a_byte, part.clock.0 / 1_000_000);
    let held = format!("wire + {} CPU cycles for each {MEASURED_ALLOWANCE} bytes a call", cycles.longest_call);
    let frame = Figure::new("worst frame with the player's work", frame, "ms").from(formula, player.told(measured));
    let call = Figure::new("longest call with the player's work", call, "ms").from(held, player.told(measured));
    // What a frame takes of which the player makes a part, the CPU's budget tells.
    let figures = if parts.makes() { vec![call] } else { vec![frame, call] };
    figures.into_iter().map(|figure| if measured { figure } else { figure.rough() }).collect()
}

fn worst<'a>(show: &'a Show, loads: &[SceneLoad]) -> Option<Worst<'a>> {
    let frames = show.scenes().iter().zip(loads).flat_map(|(scene, load)| {
        load.frames.iter().enumerate().map(move |(frame, load)| Worst {
            scene,
            frame,
            time: load.time,
            bytes: load.bytes.0,
        })
    });
    frames.max_by_key(|worst| worst.time)
}

fn report(show: &Show, worst: &Worst<'_>, period: Nanoseconds, findings: &mut Findings) {
    let over = worst.time - period;
    let message = format!(
        "frame {} of scene `{}` takes {:.1} ms on the bus, {:.1} ms more than the {:.1} ms between frames",
        worst.frame,
        worst.scene.name,
        worst.time.milliseconds(),
        over.milliseconds(),
        period.milliseconds()
    );
    let mut finding = Finding::error(show.spans().bus, message).also(worst.scene.span, "this scene");
    let rate = 1e9 / worst.time.0 as f64;
    if rate >= 1.0 {
        finding = finding.hint(format!("`frame_rate: {}` would fit", rate.floor()));
    }
    if let Some(clock) = fitting_clock(show.bus(), worst.time, period) {
        finding =
            finding.hint(format!("`clock: {}_000` would fit, if every part on the bus bears it", clock.0 / 1_000));
    }
    findings.push(finding.hint("or change less of the picture from frame to frame in this scene"));
}

/// The slowest usual clock above the show's own at which the frame would fit.
pub fn fitting_clock(bus: &Bus, time: Nanoseconds, period: Nanoseconds) -> Option<Hertz> {
    let mut faster = USUAL_CLOCKS.into_iter().filter(|clock| *clock > bus.clock.0);
    let fits = |clock: &u32| time.0 as f64 * f64::from(bus.clock.0) / f64::from(*clock) <= period.0 as f64;
    faster.find(fits).map(Hertz)
}
