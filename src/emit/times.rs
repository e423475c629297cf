//! When cues come: rows for tables of the firmware's own, in C and in Rust, and a sheet as CSV.

use super::c::Identifiers;
use super::firmware::{CueTime, Firmware, SceneTime};
use super::namer::{Case, Namer};

/// The times as macros of the C header. They take no flash unless the firmware uses them.
pub fn times(firmware: &Firmware, capitals: &str, names: &Identifiers) -> String {
    let scene = |(name, time): (&String, &SceneTime)| {
        format!("{name}, {}, {}, {}", time.frames, time.milliseconds, u8::from(time.repeats))
    };
    let cue = |time: &CueTime| {
        format!("{}, {}, {}, {}", names.scenes[time.scene], time.frame, time.milliseconds, names.cues[time.cue])
    };
    let scenes: Vec<String> = names.scenes.iter().zip(&firmware.scene_times).map(scene).collect();
    let cues: Vec<String> = firmware.cue_times.iter().map(cue).collect();
    let mut text = String::new();
    if !scenes.is_empty() {
        text.push_str("/* Length of each scene: ROW(scene, frames, milliseconds, whether it repeats). */\n");
        text.push_str(&rows(&format!("{capitals}_SCENE_TIMES"), &scenes));
    }
    if !cues.is_empty() {
        text.push_str(
            "/* Time of each cue: ROW(scene, frame, milliseconds since the scene began, cue). These rows take no flash until\n \
             * they are used, such as by `#define ROW(scene, frame, milliseconds, cue) { scene, milliseconds, cue },` in a table. */\n",
        );
        text.push_str(&rows(&format!("{capitals}_CUE_TIMES"), &cues));
    }
    text
}

/// A macro that writes `ROW(…)` for each row.
pub fn rows(name: &str, rows: &[String]) -> String {
    let lines: Vec<String> = rows.iter().map(|row| format!("    ROW({row})")).collect();
    format!("#define {name}(ROW) \\\n{}\n\n", lines.join(" \\\n"))
}

/// The times as constants of the Rust module, which take no flash until used.
pub fn rust_times(firmware: &Firmware) -> String {
    let mut text = String::new();
    let scenes = identifiers(&firmware.scenes);
    if !firmware.scene_times.is_empty() {
        let row = |time: &SceneTime| {
            let SceneTime { frames, milliseconds, repeats } = time;
            format!("    SceneTime {{ frames: {frames}, milliseconds: {milliseconds}, repeats: {repeats} }},\n")
        };
        let (count, rows) = (firmware.scene_times.len(), firmware.scene_times.iter().map(row).collect::<String>());
        text.push_str(&format!(
            "/// Length of a scene, and whether it repeats with its cues.\n\
             #[derive(Clone, Copy, Debug, PartialEq, Eq)]\npub struct SceneTime {{\n    pub frames: u32,\n    \
             pub milliseconds: u32,\n    pub repeats: bool,\n}}\n\n\
             /// Length of each scene, by its number; takes no flash until used.\n#[rustfmt::skip]\n\
             pub const SCENE_TIMES: [SceneTime; {count}] = [\n{rows}];\n\n"
        ));
    }
    if !firmware.cue_times.is_empty() {
        let cues = identifiers(&firmware.cues);
        let row = |time: &CueTime| {
            let CueTime { frame, milliseconds, .. } = time;
            let (scene, cue) = (&scenes[time.scene], &cues[time.cue]);
            format!(
                "    CueTime {{ scene: Scene::{scene}, frame: {frame}, milliseconds: {milliseconds}, cue: Cue::{cue} }},\n"
            )
        };
        let (count, rows) = (firmware.cue_times.len(), firmware.cue_times.iter().map(row).collect::<String>());
        text.push_str(&format!(
            "/// A cue and its time since its scene began.\n#[derive(Clone, Copy, Debug, PartialEq, Eq)]\n\
             pub struct CueTime {{\n    pub scene: Scene,\n    pub frame: u32,\n    pub milliseconds: u32,\n    pub cue: Cue,\n}}\n\n\
             /// Time of each cue; takes no flash until used.\n#[rustfmt::skip]\npub const CUE_TIMES: [CueTime; {count}] = [\n{rows}];\n\n"
        ));
    }
    text
}

/// What Rust calls the entries of a list.
pub fn identifiers(names: &[String]) -> Vec<String> {
    let mut namer = Namer::default();
    names.iter().map(|name| namer.name("", name, Case::Words)).collect()
}

/// A name as a cell that spreadsheets take for text: one that begins as a formula does gets an apostrophe before it (common
/// practice of spreadsheets).
fn as_text(name: &str) -> String {
    if name.starts_with(['=', '+', '-', '@']) { format!("'{name}") } else { name.to_owned() }
}

/// A list of cues as CSV (RFC 4180), scene by scene: numbers, names, frames, milliseconds, and, if the scene repeats, after how
/// many milliseconds the cue comes again. `Err` says why this is not possible.
pub fn cue_sheet(firmware: &Firmware) -> Result<String, String> {
    let mut sheet = csv::Writer::from_writer(Vec::new());
    let head = ["scene", "scene name", "frame", "milliseconds", "cue", "cue name", "repeats after milliseconds"];
    let mut written = sheet.write_record(head);
    for CueTime { scene, cue, frame, milliseconds } in &firmware.cue_times {
        let again = firmware.scene_times.get(*scene).filter(|time| time.repeats);
        let row = [
            scene.to_string(),
            as_text(&firmware.scenes[*scene]),
            frame.to_string(),
            milliseconds.to_string(),
            cue.to_string(),
            as_text(&firmware.cues[*cue]),
            again.map_or(String::new(), |time| time.milliseconds.to_string()),
        ];
        written = written.and_then(|()| sheet.write_record(row));
    }
    let bytes = written.map_err(|why| why.to_string()).and_then(|()| sheet.into_inner().map_err(|why| why.to_string()));
    bytes
        .and_then(|bytes| String::from_utf8(bytes).map_err(|why| why.to_string()))
        .map_err(|why| format!("the table of cues cannot be written: {why}"))
}
