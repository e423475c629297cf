//! The way from a script to everything made of it: read, drawn, compiled, rehearsed; shared by the commands.

use super::Session;
use super::progress::Progress;
use crate::budget::{Budget, Choice, budgets, choose};
use crate::diag::{Checked, Finding, Findings, Place};
use crate::emit::{CueTime, Firmware, FirmwareField, FirmwareLamp, Record, SceneTime, Section};
use crate::preview::{Rehearsal, check_scenes_telling, rehearse};
use crate::reel::{FieldTable, LampTable, Options, Reel, display_table, period};
use crate::render::{Bitmap, render, render_telling};
use crate::show::{CueMark, Lamp, Scene, Show, Then, load, load_at};
use crate::source::Reader;
use crate::units::FrameRate;
use std::path::Path;

/// What is said of a reel that stands in for a dense one.
const PROVISIONAL: &str = "made quickly, with a lean reel where a full build looks for a dense one: the picture is the same, but the \
                           figures of flash, RAM and time are not those of a full build, and were held to no limit";

/// A show with everything that was made of it.
pub struct Production {
    pub show: Show,
    /// The reel, what it takes, and what others would.
    pub choice: Choice,
    pub rehearsal: Rehearsal,
    pub budgets: Vec<Budget>,
}

/// A show drawn and compiled, not yet rehearsed.
pub struct Compiled {
    pub show: Show,
    /// One list a scene, in viewer space.
    pub frames: Vec<Vec<Bitmap>>,
    pub choice: Choice,
}

/// Reads, draws and compiles, quickly if asked, without looking for a dense reel; `None` when a finding says why not.
pub fn compiled(script: &Path, quick: bool, progress: &Progress, session: &mut Session<'_>) -> Checked<Compiled> {
    let done = |all| progress.done(all);
    progress.stage("reading the script");
    let show = load(&mut session.reader, script, &mut session.findings)?;
    progress.stage("drawing frames");
    let frames = render_telling(&show, &done);
    progress.stage("planning scenes");
    let options = Options { quickly: quick, done: &done };
    let choice = choose(options, &show, &frames, &mut session.findings)?;
    if choice.fitted.reel.provisional {
        session.findings.push(Finding::note(Place::Nowhere, PROVISIONAL));
    }
    Some(Compiled { show, frames, choice })
}

/// Makes everything; `None` when a finding says why not. Every scene of the reel is played and compared with what was drawn.
pub fn produce(script: &Path, quick: bool, progress: &Progress, session: &mut Session<'_>) -> Checked<Production> {
    let Compiled { show, frames, choice } = compiled(script, quick, progress, session)?;
    let reel = &choice.fitted.reel;
    let behind = choice.fitted.fit.falls_behind && !reel.provisional;
    let slower = if behind { slower_rate(script, &show, &mut session.reader) } else { None };
    progress.stage("playing scenes");
    let [mut checked, mut rehearsed, mut computed] = [(); 3].map(|()| Findings::default());
    let ((same, rehearsal), budgets) = rayon::join(
        || {
            let same = check_scenes_telling(&show, reel, &frames, &mut checked, &|all| progress.done(all));
            (same, rehearse(&show, reel, &frames, &mut rehearsed))
        },
        || budgets(&show, &choice, &frames, slower, &mut computed),
    );
    [checked, rehearsed, computed].into_iter().for_each(|found| session.findings.append(found));
    Some(Production { rehearsal: rehearsal.filter(|_| same)?, show, choice, budgets })
}

/// Frame rates to try, the fastest first.
const SLOWER_RATES: [u16; 9] = [30, 25, 20, 15, 12, 10, 8, 5, 2];

/// The fastest usual frame rate below the show's own at which it keeps time, drawn and compiled to find out.
fn slower_rate(script: &Path, show: &Show, reader: &mut Reader<'_>) -> Option<FrameRate> {
    let own = show.frame_rate().frames_per_second();
    let mut rates = SLOWER_RATES.into_iter().filter(|rate| *rate < own).filter_map(FrameRate::new);
    rates.find(|rate| {
        let mut unheard = Findings::default();
        let slower = load_at(Some(*rate), reader, script, &mut unheard);
        let choice = slower.and_then(|show| {
            let options = Options { quickly: show.profile().is_none(), done: &|_| {} };
            choose(options, &show, &render(&show), &mut unheard)
        });
        choice.is_some_and(|choice| !choice.fitted.fit.falls_behind)
    })
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
            Section { offset: self.reel().layout.header_bytes, heading: "set-up of the display".into() },
        ];
        sections.extend(scenes.iter().zip(&self.reel().layout.scenes).map(heading));
        Firmware {
            name: show.name().to_owned(),
            reel: self.reel().bytes.clone(),
            sections,
            scenes,
            triggers: show.triggers().to_vec(),
            cues: show.cues().to_vec(),
            parts: self.reel().parts,
            display: display_table(show),
            unacknowledged: !show.bus().acknowledged,
            picture: self.reel().parts.dense.then(|| (show.panel().width, show.panel().height.div_ceil(8))),
            fields: self.reel().fields.iter().map(|table| self.field(table)).collect(),
            scene_times: show.scenes().iter().map(|scene| self.scene_time(scene)).collect(),
            cue_times: show
                .scenes()
                .iter()
                .enumerate()
                .flat_map(|(number, scene)| self.cue_times(number, scene))
                .collect(),
            lamps: show.lamps().iter().zip(&self.reel().lamps).map(lamp).collect(),
            about: self.about(),
        }
    }

    /// The reel.
    pub fn reel(&self) -> &Reel {
        &self.choice.fitted.reel
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
        let alike = self.reel().fields.iter().filter(|other| other.name == table.name).count();
        let scene = &self.show.scenes()[table.scene].name;
        let name = if alike > 1 { format!("{scene} {}", table.name) } else { table.name.clone() };
        FirmwareField { name, cells: table.cells, table: table.bytes.clone() }
    }

    /// Everything that is known of the show.
    pub fn record<'a>(&'a self, findings: &'a Findings) -> Record<'a> {
        let preview = (self.rehearsal.shown.len(), self.rehearsal.raised.as_slice());
        Record::new(&self.show, &self.choice, &self.budgets, preview, findings)
    }

    /// The longest time in one call, in words.
    fn longest_call(&self) -> String {
        let frames = self.choice.fitted.loads.iter().flat_map(|load| &load.frames);
        let longest = frames.map(|frame| frame.longest_call).max().unwrap_or_default();
        let part = self.show.microcontroller();
        format!(
            "One call takes at most {:.2} ms, bus and CPU together, on an {} at {} MHz (computed).",
            longest.milliseconds(),
            part.name,
            part.clock.0 / 1_000_000
        )
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
            format!("The reel takes {} bytes of flash.", self.reel().bytes.len()),
            self.longest_call(),
        ]
    }
}
