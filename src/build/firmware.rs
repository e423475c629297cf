//! What firmware carries of a production: the reel, names, times, lamps and fields.

use super::Production;
use crate::emit::{CueTime, Firmware, FirmwareField, FirmwareLamp, FirmwareLive, SceneTime, Section};
use crate::reel::{FieldTable, LampTable, SceneLayout, display_table, period};
use crate::show::{CueMark, Lamp, LiveValue, Scene, Then};

fn lamp((lamp, table): (&Lamp, &LampTable)) -> FirmwareLamp {
    FirmwareLamp {
        name: lamp.name.clone(),
        table: table.bytes.clone(),
        scenes: lamp.scenes.iter().map(|scene| scene.0).collect(),
        cues: lamp.cues.iter().map(|cue| cue.0).collect(),
    }
}

fn live_value(live: &LiveValue) -> FirmwareLive {
    FirmwareLive { name: live.name.clone(), lowest: live.from, highest: live.to, start: live.start }
}

impl Production {
    /// What firmware carries of the show.
    pub fn firmware(&self) -> Firmware {
        let show = &self.show;
        let scenes: Vec<String> = show.scenes().iter().map(|scene| scene.name.clone()).collect();
        let heading = |(name, layout): (&String, &SceneLayout)| Section {
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
            display: display_table(show, self.reel()),
            unacknowledged: !show.bus().is_spi() && !show.bus().acknowledged(),
            spi: show.bus().is_spi(),
            nine_bits: show.bus().has_nine_bits(),
            bus_hertz: show.bus().clock.0,
            picture: self.reel().parts.dense.then(|| (show.panel().width, show.panel().height.div_ceil(8))),
            fields: self.reel().fields.iter().map(|table| self.field(table)).collect(),
            thresholds: show.threshold_table().to_vec(),
            texts: show.live_texts().iter().map(|text| (text.field.name.clone(), text.table())).collect(),
            live: show.live().iter().map(live_value).collect(),
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

    /// Milliseconds of a number of frames, as the player counts them.
    fn milliseconds(&self, frames: u32) -> u32 {
        let (whole, fraction) = period(self.show.frame_rate());
        u32::try_from((u64::from(frames) * (u64::from(whole) << 8 | u64::from(fraction))) >> 8).unwrap_or(u32::MAX)
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

    /// The longest time in one call, in words.
    fn longest_call(&self) -> String {
        let frames = self.choice.fitted.loads.iter().flat_map(|load| &load.frames);
        let longest = frames.map(|frame| frame.longest_call).max().unwrap_or_default();
        let part = self.show.microcontroller();
        format!(
            "One call takes at most {:.2} ms (bus and CPU), computed for an {} at {} MHz.",
            longest.milliseconds(),
            part.name,
            part.clock.0 / 1_000_000
        )
    }

    /// What the firmware's author must know, a line each.
    fn about(&self) -> Vec<String> {
        let (show, bus) = (&self.show, self.show.bus());
        let panel = show.panel();
        let (clock, budget) = (bus.clock.0, bus.per_call);
        let (place, words) = if bus.is_spi() {
            ("on SPI".to_owned(), format!("SPI at {clock} Hz; pass an allowance of {budget} bytes."))
        } else {
            let limit = bus.write_limit;
            let words = format!(
                "Bus at {clock} Hz; at most {limit} bytes after the address in one transaction; pass an allowance of {budget} bytes."
            );
            (format!("at address {:02X}", bus.address()), words)
        };
        vec![
            format!(
                "Panel {} ({} {place}), {} frames a second.",
                panel.name,
                panel.controller.name,
                show.frame_rate().frames_per_second()
            ),
            words,
            format!("The reel takes {} bytes of flash.", self.reel().bytes.len()),
            self.longest_call(),
        ]
    }
}
