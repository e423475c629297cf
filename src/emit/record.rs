//! Everything that is known of a built show, for other programs: its parts, its figures with their sources, its findings.

use crate::budget::{Budget, Choice, ProfileFit, SceneLoad, verdict};
use crate::diag::{Findings, Severity};
use crate::reel::{LampTable, Reel};
use crate::show::{Device, Lamp, Reaction, SceneId, Show, Then, TriggerId};
use serde::Serialize;

/// A built show; the file is this, field by field.
#[derive(Clone, Debug, Serialize)]
pub struct Record<'a> {
    /// The name of the show.
    pub show: &'a str,
    /// Does it fit, does it keep time.
    pub verdict: String,
    /// The best reel of each profile that was made, and which was taken.
    pub profiles: &'a [ProfileFit],
    /// The name of the panel.
    pub panel: &'a str,
    /// The name of its controller.
    pub controller: &'a str,
    /// The name of the microcontroller.
    pub microcontroller: &'a str,
    /// Frames per second.
    pub frames_a_second: u16,
    /// The bus.
    pub bus: BusRecord<'a>,
    /// The name of the first scene.
    pub start: &'a str,
    /// The scenes, by number.
    pub scenes: Vec<SceneRecord<'a>>,
    /// Names of the triggers, by number.
    pub triggers: &'a [String],
    /// Names of the cues, by number.
    pub cues: &'a [String],
    /// The lamps.
    pub lamps: Vec<LampRecord<'a>>,
    /// Where the bytes of the reel went.
    pub reel: ReelRecord,
    /// What the preview shows.
    pub preview: PreviewRecord<'a>,
    /// All figures.
    pub budgets: &'a [Budget],
    /// Everything that was found.
    pub findings: Vec<FindingRecord<'a>>,
}

/// The bus, and the other devices on it.
#[derive(Clone, Debug, Serialize)]
pub struct BusRecord<'a> {
    /// `I2c` or `Spi`.
    pub wires: &'static str,
    /// Hertz.
    pub clock: u32,
    /// What separates commands from display data on SPI, `Line` or `Bit`; none on I²C.
    pub data_command: Option<&'static str>,
    /// Seven bits; none on SPI.
    pub address: Option<u8>,
    pub write_limit: u16,
    pub per_call: u16,
    pub others: Vec<DeviceRecord<'a>>,
}

/// Another device on the bus.
#[derive(Clone, Debug, Serialize)]
pub struct DeviceRecord<'a> {
    pub name: &'a str,
    pub address: Option<u8>,
    /// Bytes of a transaction, addresses left out.
    pub writes: u32,
    pub reads: u32,
    pub times_a_second: f64,
    /// Of one transaction.
    pub nanoseconds: u64,
    /// Those in which it is asked.
    pub scenes: Vec<&'a str>,
}

/// One scene.
#[derive(Clone, Debug, Serialize)]
pub struct SceneRecord<'a> {
    pub name: &'a str,
    pub frames: u32,
    pub seconds: f64,
    pub contrast: u8,
    /// When the display is off.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub off: Vec<OffRecord>,
    /// `hold`, `repeat`, or the scene that follows.
    pub then: FollowingRecord<'a>,
    pub cues: Vec<CueRecord<'a>>,
    pub triggers: Vec<ReactionRecord<'a>>,
    /// Bytes of the reel.
    pub bytes: usize,
    /// Bytes on the bus for each frame; one frame more when the scene repeats, the way back to its first.
    pub bus_bytes: Vec<u32>,
    /// Nanoseconds in which each frame is computed and sent, by bus and CPU together.
    pub frame_nanoseconds: Vec<u64>,
}

/// Seconds of a scene at which the display goes off and comes on again; null at the scene's end.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct OffRecord {
    pub from: f64,
    pub until: Option<f64>,
}

/// A lamp's pattern, and the scenes and cues that begin it.
#[derive(Clone, Debug, Serialize)]
pub struct LampRecord<'a> {
    pub name: &'a str,
    /// Bytes of its table.
    pub bytes: usize,
    pub milliseconds: u32,
    pub repeats: bool,
    pub scenes: Vec<&'a str>,
    pub cues: Vec<&'a str>,
}

/// What follows a scene.
#[derive(Clone, Copy, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum FollowingRecord<'a> {
    Hold,
    Repeat,
    Back,
    Scene(&'a str),
}

/// A cue at a frame of its scene.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct CueRecord<'a> {
    pub frame: u32,
    pub cue: &'a str,
}

/// What a trigger does in a scene; those that the scene ignores are left out.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ReactionRecord<'a> {
    pub trigger: &'a str,
    /// The scene it leads to; null for the scene before.
    pub scene: Option<&'a str>,
}

/// The compiled bytes.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ReelRecord {
    pub version: u8,
    pub bytes: usize,
}

/// What the preview shows.
#[derive(Clone, Debug, Serialize)]
pub struct PreviewRecord<'a> {
    pub frames: usize,
    pub seconds: f64,
    /// Triggers raised to reach every scene, each before a frame of the preview.
    pub raised: Vec<RaisedRecord<'a>>,
}

/// A trigger raised in the preview.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct RaisedRecord<'a> {
    pub frame: usize,
    pub trigger: &'a str,
}

/// A finding in brief.
#[derive(Clone, Debug, Serialize)]
pub struct FindingRecord<'a> {
    pub severity: &'static str,
    pub message: &'a str,
    pub help: &'a [String],
}

impl<'a> Record<'a> {
    /// Takes a show, what was compiled and measured of it, and the frames and triggers of its preview.
    pub fn new(
        show: &'a Show,
        choice: &'a Choice,
        budgets: &'a [Budget],
        (frames, raised): (usize, &[(usize, TriggerId)]),
        findings: &'a Findings,
    ) -> Self {
        let (reel, loads) = (&choice.fitted.reel, &choice.fitted.loads);
        let trigger = |(frame, trigger): &(usize, TriggerId)| RaisedRecord {
            frame: *frame,
            trigger: name(show.triggers(), trigger.0),
        };
        Self {
            show: show.name(),
            verdict: verdict(&choice.fitted.fit, findings),
            profiles: &choice.profiles,
            panel: &show.panel().name,
            controller: show.panel().controller.name,
            microcontroller: &show.microcontroller().name,
            frames_a_second: show.frame_rate().frames_per_second(),
            bus: bus_record(show),
            start: scene_name(show, show.start().0),
            scenes: (0..show.scenes().len()).map(|scene| scene_record(show, reel, loads, scene)).collect(),
            triggers: show.triggers(),
            cues: show.cues(),
            lamps: show.lamps().iter().zip(&reel.lamps).map(|(lamp, table)| lamp_record(show, lamp, table)).collect(),
            reel: ReelRecord { version: reel.bytes.first().copied().unwrap_or_default(), bytes: reel.bytes.len() },
            preview: PreviewRecord {
                frames,
                seconds: show.frame_rate().seconds_at(crate::whole::limited(frames)),
                raised: raised.iter().map(trigger).collect(),
            },
            budgets,
            findings: findings.iter().map(finding_record).collect(),
        }
    }
}

fn bus_record(show: &Show) -> BusRecord<'_> {
    let bus = show.bus();
    BusRecord {
        wires: if bus.is_spi() { "Spi" } else { "I2c" },
        clock: bus.clock.0,
        data_command: bus.is_spi().then_some(if bus.has_nine_bits() { "Bit" } else { "Line" }),
        address: (!bus.is_spi()).then(|| bus.address()),
        write_limit: bus.write_limit,
        per_call: bus.per_call,
        others: show.devices().iter().map(|device| device_record(show, device)).collect(),
    }
}

fn device_record<'a>(show: &'a Show, device: &'a Device) -> DeviceRecord<'a> {
    let asked = (0..show.scenes().len()).filter(|scene| device.asked_in(SceneId(*scene)));
    DeviceRecord {
        name: &device.name,
        address: device.address,
        writes: device.writes,
        reads: device.reads,
        times_a_second: device.times_a_second,
        nanoseconds: device.transaction_time(show.bus()).0,
        scenes: asked.map(|scene| scene_name(show, scene)).collect(),
    }
}

fn scene_record<'a>(show: &'a Show, reel: &Reel, loads: &[SceneLoad], number: usize) -> SceneRecord<'a> {
    let scene = &show.scenes()[number];
    let cues = scene.cues.iter().map(|mark| CueRecord { frame: mark.frame, cue: name(show.cues(), mark.cue.0) });
    let reaction = |(trigger, reaction): (usize, &Reaction)| {
        let scene = match reaction {
            Reaction::Ignore => return None,
            Reaction::Go(scene) => Some(scene_name(show, scene.0)),
            Reaction::Back => None,
        };
        Some(ReactionRecord { trigger: name(show.triggers(), trigger), scene })
    };
    let frames = loads.get(number).map_or(&[][..], |load| &load.frames);
    SceneRecord {
        name: &scene.name,
        frames: scene.frames.0,
        seconds: show.frame_rate().seconds_at(scene.frames.0),
        contrast: scene.contrast_at(0.0),
        off: scene.off.iter().map(off_record).collect(),
        then: match scene.then {
            Then::Hold => FollowingRecord::Hold,
            Then::Repeat => FollowingRecord::Repeat,
            Then::Scene(next) => FollowingRecord::Scene(scene_name(show, next.0)),
            Then::Back => FollowingRecord::Back,
        },
        cues: cues.collect(),
        triggers: scene.reactions.iter().enumerate().filter_map(reaction).collect(),
        bytes: reel.layout.scenes.get(number).map_or(0, |layout| layout.all()),
        bus_bytes: frames.iter().map(|frame| frame.bytes.0).collect(),
        frame_nanoseconds: frames.iter().map(|frame| frame.taken.0).collect(),
    }
}

fn off_record((from, until): &(f64, f64)) -> OffRecord {
    OffRecord { from: *from, until: until.is_finite().then_some(*until) }
}

fn lamp_record<'a>(show: &'a Show, lamp: &'a Lamp, table: &LampTable) -> LampRecord<'a> {
    LampRecord {
        name: &lamp.name,
        bytes: table.bytes.len(),
        milliseconds: table.milliseconds,
        repeats: table.repeats,
        scenes: lamp.scenes.iter().map(|scene| scene_name(show, scene.0)).collect(),
        cues: lamp.cues.iter().map(|cue| name(show.cues(), cue.0)).collect(),
    }
}

fn scene_name(show: &Show, scene: usize) -> &str {
    show.scenes().get(scene).map_or("", |scene| &scene.name)
}

fn name(names: &[String], at: usize) -> &str {
    names.get(at).map_or("", String::as_str)
}

fn finding_record(finding: &crate::diag::Finding) -> FindingRecord<'_> {
    let severity = match finding.severity {
        Severity::Note => "note",
        Severity::Warning => "warning",
        Severity::Error => "error",
    };
    FindingRecord { severity, message: &finding.message, help: &finding.hints }
}
