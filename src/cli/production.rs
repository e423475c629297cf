//! The way from a script to everything made of it: read, drawn, compiled, rehearsed; shared by the commands.

use super::Session;
use super::progress::Progress;
use crate::budget::{Budget, SceneLoad, budgets, measure};
use crate::diag::{Checked, Finding, Findings, Place};
use crate::emit::{CueTime, Firmware, FirmwareField, FirmwareLamp, Record, SceneTime, Section};
use crate::preview::{Rehearsal, check_scenes_telling, rehearse};
use crate::reel::{FieldTable, LampTable, Manner, Reel, compile_in, display_table, period};
use crate::render::{Bitmap, render_telling};
use crate::show::{CueMark, Lamp, Scene, Show, Then, load};
use std::path::Path;

/// What is said of a reel that stands in for a dense one.
const PROVISIONAL: &str = "made quickly, with a lean reel where a full build looks for a dense one: the picture is the same, but the \
                           figures of flash, RAM, bus and CPU are not those of a full build, and were held to no limit";

/// A show with everything that was made of it.
pub struct Production {
    pub show: Show,
    pub reel: Reel,
    pub rehearsal: Rehearsal,
    /// What each scene puts on the bus.
    pub loads: Vec<SceneLoad>,
    pub budgets: Vec<Budget>,
}

/// A show drawn and compiled, not yet rehearsed.
pub struct Compiled {
    pub show: Show,
    /// One list a scene, in viewer space.
    pub frames: Vec<Vec<Bitmap>>,
    pub reel: Reel,
}

/// Reads, draws and compiles, quickly if asked, without looking for a dense reel; `None` when a finding says why not.
pub fn compiled(script: &Path, quick: bool, progress: &Progress, session: &mut Session<'_>) -> Checked<Compiled> {
    let done = |all| progress.done(all);
    progress.stage("reading the script");
    let show = load(&mut session.reader, script, &mut session.findings)?;
    progress.stage("drawing frames");
    let frames = render_telling(&show, &done);
    progress.stage("planning scenes");
    let manner = Manner { quickly: quick, done: &done };
    let reel = compile_in(manner, &show, &frames, &mut session.findings)?;
    if reel.provisional {
        session.findings.push(Finding::note(Place::Nowhere, PROVISIONAL));
    }
    Some(Compiled { show, frames, reel })
}

/// Makes everything; `None` when a finding says why not. Every scene of the reel is played and compared with what was drawn.
pub fn produce(script: &Path, quick: bool, progress: &Progress, session: &mut Session<'_>) -> Checked<Production> {
    let Compiled { show, frames, reel } = compiled(script, quick, progress, session)?;
    progress.stage("playing scenes");
    let [mut checked, mut rehearsed, mut reckoned] = [(); 3].map(|()| Findings::default());
    let ((same, rehearsal), (loads, budgets)) = rayon::join(
        || {
            let same = check_scenes_telling(&show, &reel, &frames, &mut checked, &|all| progress.done(all));
            (same, rehearse(&show, &reel, &frames, &mut rehearsed))
        },
        || {
            let loads = measure(&show, &reel.bytes);
            let budgets = budgets(&show, &reel, &frames, &loads, &mut reckoned);
            (loads, budgets)
        },
    );
    [checked, rehearsed, reckoned].into_iter().for_each(|found| session.findings.append(found));
    Some(Production { rehearsal: rehearsal.filter(|_| same)?, reel, show, loads, budgets })
}

fn lamp((lamp, table): (&Lamp, &LampTable)) -> FirmwareLamp {
    FirmwareLamp {
        name: lamp.name.clone(),
        table: table.bytes.clone(),
        scenes: lamp.scenes.iter().map(|scene| scene.0).collect(),
        cues: lamp.cues.iter().map(|cue| cue.0).collect(),
    }
}

impl Production {
    /// What firmware carries of the show.
    pub fn firmware(&self) -> Firmware {
        let show = &self.show;
        let scenes: Vec<String> = show.scenes().iter().map(|scene| scene.name.clone()).collect();
        let heading = |(name, layout): (&String, &crate::reel::SceneLayout)| Section {
            offset: layout.offset,
            heading: format!("scene `{name}`, {} bytes", layout.bytes),
        };
        let mut sections = vec![
            Section { offset: 0, heading: "header and tables".into() },
            Section { offset: self.reel.layout.header_bytes, heading: "set-up of the display".into() },
        ];
        sections.extend(scenes.iter().zip(&self.reel.layout.scenes).map(heading));
        Firmware {
            name: show.name().to_owned(),
            reel: self.reel.bytes.clone(),
            sections,
            scenes,
            triggers: show.triggers().to_vec(),
            cues: show.cues().to_vec(),
            parts: self.reel.parts,
            display: display_table(show),
            unacknowledged: !show.bus().acknowledged,
            picture: self.reel.parts.dense.then(|| (show.panel().width, show.panel().height.div_ceil(8))),
            fields: self.reel.fields.iter().map(|table| self.field(table)).collect(),
            scene_times: show.scenes().iter().map(|scene| self.scene_time(scene)).collect(),
            cue_times: show
                .scenes()
                .iter()
                .enumerate()
                .flat_map(|(number, scene)| self.cue_times(number, scene))
                .collect(),
            lamps: show.lamps().iter().zip(&self.reel.lamps).map(lamp).collect(),
            about: self.about(),
        }
    }

    /// Milliseconds of so many frames, as the player counts them.
    fn milliseconds(&self, frames: u32) -> u32 {
        let (whole, fraction) = period(self.show.frame_rate());
        ((u64::from(frames) * (u64::from(whole) << 8 | u64::from(fraction))) >> 8) as u32
    }

    fn scene_time(&self, scene: &Scene) -> SceneTime {
        let frames = scene.frames.0;
        SceneTime { frames, milliseconds: self.milliseconds(frames), repeats: scene.then == Then::Repeat }
    }

    fn cue_times(&self, number: usize, scene: &Scene) -> Vec<CueTime> {
        let time = |mark: &CueMark| CueTime {
            scene: number,
            cue: mark.cue.0,
            frame: mark.frame,
            milliseconds: self.milliseconds(mark.frame),
        };
        scene.cues.iter().map(time).collect()
    }

    /// A live field; its scene's name goes before its own where several scenes have one of that name.
    fn field(&self, table: &FieldTable) -> FirmwareField {
        let alike = self.reel.fields.iter().filter(|other| other.name == table.name).count();
        let scene = &self.show.scenes()[table.scene].name;
        let name = if alike > 1 { format!("{scene} {}", table.name) } else { table.name.clone() };
        FirmwareField { name, cells: table.cells, table: table.bytes.clone() }
    }

    /// Everything that is known of the show.
    pub fn record<'a>(&'a self, findings: &'a Findings) -> Record<'a> {
        let preview = (self.rehearsal.shown.len(), self.rehearsal.raised.as_slice());
        Record::new((&self.show, &self.reel), (&self.budgets, &self.loads), preview, findings)
    }

    /// What the firmware's author must know, a line each.
    fn about(&self) -> Vec<String> {
        let (show, bus) = (&self.show, self.show.bus());
        let panel = show.panel();
        vec![
            format!(
                "Panel {} ({} at address {:02X}), {} frames a second.",
                panel.name,
                panel.controller.name,
                bus.address,
                show.frame_rate().frames_per_second()
            ),
            format!(
                "Bus at {} Hz; at most {} bytes after the address in one transaction; allow {} bytes a tick.",
                bus.clock.0, bus.write_limit, bus.per_call
            ),
            format!("The reel takes {} bytes of flash.", self.reel.bytes.len()),
        ]
    }
}
