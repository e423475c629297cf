//! A bus that is shared: what the display and the other devices take of it in each scene, what is left, who waits for whom.

use super::{Budget, Figure, SceneLoad};
use crate::diag::{Finding, Findings, number};
use crate::panel::BusSettings;
use crate::player::SMALLEST_ALLOWANCE;
use crate::show::{Device, Scene, SceneId, Show};
use crate::units::{Hertz, Nanoseconds, grouped};
use crate::whole::rounded;

const PER_CENT: f64 = 100.0;
/// The share of the bus from which on it is called nearly full (common practice: a fifth stays free).
const NEARLY_FULL: f64 = 80.0;
const EXCHANGE: &str = "9 clocks × (1 + bytes written) + 9 clocks × (1 + bytes read) + hold and set-up times of START, repeated START and STOP + bus free time + clock stretching";
const BITS: &str = "UM10204 Rev 7.0 §3.1.5, §3.1.10 and Table 11; the script's `others`";
const COUNTED: &str = "frames of the bus budget; `others` of the script; without live fields";
const RULE: &str = "a single main loop: each call waits until the one before has returned";

/// Who has the bus in one scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SceneShare {
    /// The display's worst and mean frame in milliseconds.
    pub worst_milliseconds: f64,
    pub mean_milliseconds: f64,
    /// The display's and the other devices' share of the time, in per cent.
    pub display: f64,
    pub others: f64,
    /// The worst frame, and every transaction of the others that can fall into its time, in milliseconds.
    pub worst_together_milliseconds: f64,
    /// How long another device waits at most for one call of the player, in milliseconds.
    pub others_wait_milliseconds: f64,
    /// How long the player waits at most for one transaction of another device, and for one transaction of each of them.
    pub waits_for_one_milliseconds: f64,
    pub waits_for_all_milliseconds: f64,
}

impl SceneShare {
    /// The share that all take, in per cent.
    pub fn all(&self) -> f64 {
        self.display + self.others
    }
    /// The share that is left, in per cent; below 0 when the bus is asked for over 100 %.
    pub fn left(&self) -> f64 {
        PER_CENT - self.all()
    }
}

/// Who has the bus, scene by scene; empty when the display has it for itself.
pub fn scene_shares(show: &Show, loads: &[SceneLoad]) -> Vec<SceneShare> {
    if show.devices().is_empty() {
        return Vec::new();
    }
    loads.iter().enumerate().map(|(scene, load)| share(show, SceneId(scene), load)).collect()
}

fn share(show: &Show, scene: SceneId, load: &SceneLoad) -> SceneShare {
    let period = show.frame_rate().period().milliseconds();
    let most = |time: fn(&super::FrameLoad) -> Nanoseconds| {
        load.frames.iter().map(time).max().unwrap_or_default().milliseconds()
    };
    let total: f64 = load.frames.iter().map(|frame| frame.time.milliseconds()).sum();
    let (worst, mean) = (most(|frame| frame.time), total / load.frames.len().max(1) as f64);
    let asked: Vec<(&Device, f64)> = asked_in(show, scene).collect();
    // Of a device that is asked evenly, this many transactions at most begin within a frame's time.
    let in_a_frame = |device: &Device| (device.times_a_second * period / 1e3).ceil();
    SceneShare {
        worst_milliseconds: worst,
        mean_milliseconds: mean,
        display: mean / period * PER_CENT,
        others: asked.iter().map(|(device, time)| taken(device, *time)).sum(),
        worst_together_milliseconds: worst + asked.iter().map(|(device, time)| in_a_frame(device) * time).sum::<f64>(),
        others_wait_milliseconds: most(|frame| frame.longest_call),
        waits_for_one_milliseconds: asked.iter().map(|(_, time)| *time).fold(0.0, f64::max),
        waits_for_all_milliseconds: asked.iter().map(|(_, time)| *time).sum(),
    }
}

/// The devices that are asked in a scene, each with the milliseconds of one transaction.
fn asked_in(show: &Show, scene: SceneId) -> impl Iterator<Item = (&Device, f64)> {
    let asked = show.devices().iter().filter(move |device| device.asked_in(scene));
    asked.map(|device| (device, device.transaction_time(show.bus()).milliseconds()))
}

/// The share of the bus that a device takes, in per cent, from the milliseconds of one transaction.
fn taken(device: &Device, milliseconds: f64) -> f64 {
    device.times_a_second * milliseconds / 1e3 * PER_CENT
}

/// Computes the load of a shared bus. Returns nothing if the display is the only device. A load above 100 % and late frames are
/// warnings, because the rates come from the script.
pub fn shared(show: &Show, loads: &[SceneLoad], findings: &mut Findings) -> Budget {
    let shares = scene_shares(show, loads);
    let scenes: Vec<(&Scene, &SceneShare)> = show.scenes().iter().zip(&shares).collect();
    let mut figures = Vec::new();
    if let Some((scene, share)) = fullest(&scenes) {
        let name = format!("bus in use by all devices, busiest scene ({})", scene.name);
        figures.push(Figure::new(name, share.all(), "%").limit(PER_CENT).from("display + others", COUNTED));
        figures.extend(waits(&shares));
        figures.extend(devices(show));
        figures.extend(scenes.iter().flat_map(|(scene, share)| of_scene(show, scene, share)));
        report(show, &scenes, findings);
        report_late_devices(show, &shares, findings);
    }
    Budget { title: "shared bus", figures }
}

fn fullest<'a>(scenes: &[(&'a Scene, &'a SceneShare)]) -> Option<(&'a Scene, &'a SceneShare)> {
    scenes.iter().copied().max_by(|one, other| one.1.all().total_cmp(&other.1.all()))
}

fn waits(shares: &[SceneShare]) -> [Figure; 4] {
    let most = |of: fn(&SceneShare) -> f64| shares.iter().map(of).fold(0.0, f64::max);
    let figure = |name: &str, value: f64, formula: &str| Figure::new(name, value, "ms").from(formula, RULE);
    [
        figure(
            "longest wait of other devices",
            most(|share| share.others_wait_milliseconds),
            "longest call of the player",
        )
        .headline(),
        figure(
            "longest wait of other devices, if the main loop calls the player until the frame is sent",
            most(|share| share.worst_milliseconds),
            "worst frame",
        ),
        figure(
            "longest wait of the player for one device",
            most(|share| share.waits_for_one_milliseconds),
            "longest transaction of the other devices",
        ),
        figure(
            "longest wait of the player for one device of each",
            most(|share| share.waits_for_all_milliseconds),
            "their transactions one after another",
        ),
    ]
}

fn devices(show: &Show) -> impl Iterator<Item = Figure> {
    show.devices().iter().flat_map(|device| {
        let time = device.transaction_time(show.bus()).milliseconds();
        let share = format!("transaction × {} a second", device.times_a_second);
        [
            Figure::new(format!("a transaction with {}", device.name), time, "ms").from(EXCHANGE, BITS),
            Figure::new(format!("taken by {}", device.name), taken(device, time), "%").from(share, BITS),
        ]
    })
}

fn of_scene(show: &Show, scene: &Scene, share: &SceneShare) -> [Figure; 4] {
    let period = show.frame_rate().period().milliseconds();
    let figure = |name: &str, value: f64, unit: &'static str, formula: &str| {
        Figure::new(format!("{name}, scene {}", scene.name), value, unit).from(formula, COUNTED).detail()
    };
    let meanwhile = "worst frame + for each device: transaction time × most transactions within one frame";
    [
        figure("display", share.display, "%", "mean frame / time between frames"),
        figure("others", share.others, "%", "sum of transaction × times a second"),
        figure("left", share.left(), "%", "100 % − display − others"),
        Figure {
            limit: Some(period),
            ..figure("other devices during the worst frame", share.worst_together_milliseconds, "ms", meanwhile)
        },
    ]
}

/// The fullest scene, if it is full or nearly so; else the scene whose worst frame comes too late.
fn report(show: &Show, scenes: &[(&Scene, &SceneShare)], findings: &mut Findings) {
    let period = show.frame_rate().period();
    let Some((scene, share)) = fullest(scenes) else { return };
    let amounts = format!(
        "in scene `{}` the display uses {} % of the bus time and the other devices {} %",
        scene.name,
        number(share.display),
        number(share.others)
    );
    if share.all() > PER_CENT {
        let message = format!("{amounts}: more than 100 %");
        findings.push(with_fix(show, Finding::warning(show.spans().bus, message), scene, share.all() / PER_CENT));
        return;
    }
    // What the display cannot do alone is reported by the budget of time.
    let late = scenes.iter().filter(|(_, share)| share.worst_milliseconds <= period.milliseconds());
    let late =
        late.max_by(|one, other| one.1.worst_together_milliseconds.total_cmp(&other.1.worst_together_milliseconds));
    if let Some((scene, share)) = late
        && share.worst_together_milliseconds > period.milliseconds()
    {
        let message = format!(
            "the worst frame of scene `{}` takes {} ms and the other devices up to {} ms: more than the {} ms between frames",
            scene.name,
            number(share.worst_milliseconds),
            number(share.worst_together_milliseconds - share.worst_milliseconds),
            number(period.milliseconds())
        );
        let times = share.worst_together_milliseconds / period.milliseconds();
        findings.push(with_fix(show, Finding::warning(show.spans().bus, message), scene, times));
    } else if share.all() > NEARLY_FULL {
        let message = format!("{amounts}: {} % are free", number(share.left()));
        let finding = Finding::note(show.spans().bus, message).also(scene.span, "this scene");
        findings.push(finding.hint("add no more traffic, or read the other devices less often"));
    }
}

/// Per cent of the bus from which on a device is worth asking less often.
const WORTH_NAMING: f64 = 1.0;

/// Adds how to fix a bus that must carry `times` as much as it can.
fn with_fix(show: &Show, finding: Finding, scene: &Scene, times: f64) -> Finding {
    let mut finding = finding.also(scene.span, "this scene");
    let at = show.scenes().iter().position(|known| std::ptr::eq(known, scene)).map(SceneId);
    let most = at.into_iter().flat_map(|at| asked_in(show, at));
    if let Some((device, time)) = most.max_by(|one, other| taken(one.0, one.1).total_cmp(&taken(other.0, other.1))) {
        let name = &device.name;
        let taken = taken(device, time);
        if taken >= WORTH_NAMING {
            finding = finding.hint(format!("read `{name}` less often: it alone uses {} %", number(taken)));
        }
    }
    let needed = Nanoseconds(rounded((show.frame_rate().period().0 as f64 * times).floor()));
    let stretched = show.devices().iter().any(|device| device.stretch.0 > 0);
    if !stretched && let Some(clock) = fitting_clock(show.bus(), needed, show.frame_rate().period()) {
        let written = grouped(clock.0);
        finding = finding.hint(format!("`clock: {written}` is enough, if every device on the bus supports it"));
    }
    finding.hint("or change less of the picture in each frame, or move the other devices to a second bus")
}

/// The slowest common clock, faster than that of the show, at which this bus time would fit.
fn fitting_clock(bus: &BusSettings, time: Nanoseconds, period: Nanoseconds) -> Option<Hertz> {
    let mut faster = bus.usual_clocks().iter().copied().filter(|clock| *clock > bus.clock);
    let fits = |clock: &Hertz| time.0 as f64 * f64::from(bus.clock.0) / f64::from(clock.0) <= period.0 as f64;
    faster.find(fits)
}

/// Devices that wait longer behind one call of the player than from one of their transactions to the next.
fn report_late_devices(show: &Show, shares: &[SceneShare], findings: &mut Findings) {
    for device in show.devices() {
        let asked = shares.iter().enumerate().filter(|(scene, _)| device.asked_in(SceneId(*scene)));
        let wait = asked.map(|(_, share)| share.others_wait_milliseconds).fold(0.0, f64::max);
        let between = 1e3 / device.times_a_second;
        if wait > between {
            let message = format!(
                "`{}` is read every {} ms, but one call of the player takes up to {} ms",
                device.name,
                number(between),
                number(wait)
            );
            let less = (f64::from(show.bus().per_call) * between / wait).floor();
            let hint = if less >= f64::from(SMALLEST_ALLOWANCE) {
                format!("use about `per_call: {less}`, or read it less often")
            } else {
                "read it less often, or move it to a second bus".to_owned()
            };
            findings.push(Finding::warning(device.span, message).hint(hint));
        }
    }
}
