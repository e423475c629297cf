//! `build`: the whole job, from scripts to previews and one firmware for all of them.

use super::Session;
use super::made::Made;
use super::production::{Production, produce};
use super::progress::Progress;
use super::report::report;
use super::summary::summary;
use crate::diag::{Checked, Finding, Place};
use crate::emit::{C_CONFIG, Firmware, Needs, SourceFile, cue_sheet, firmware_sources, json, read_config};
use crate::font::Font;
use crate::preview::{Look, Material, Rehearsal, Shown, Surroundings, filmstrip, gif_telling};
use crate::report::map;
use crate::show::Show;
use crate::source::LIMITS;
use clap::Args;
use std::path::{Path, PathBuf};

/// What is built, and where to.
#[derive(Debug, Args)]
pub struct Build {
    /// The scripts of the shows; several are built for one firmware, with the player once.
    #[arg(required = true, value_name = "SHOW")]
    shows: Vec<PathBuf>,
    /// The folder to write to; out/NAME when none is given, out/NAME-NAME for several shows.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Take less time: only the report and the figures, beside those of a full build, and look for no dense reel.
    #[arg(long)]
    quick: bool,
}

/// The font of a filmstrip's captions.
const CAPTIONS: &str = "thole";

/// A show built by itself: its name, its files by their names, and what the person is told of it.
struct Built {
    name: String,
    files: Vec<(String, Vec<u8>)>,
    words: String,
    firmware: Firmware,
}

impl Build {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let progress = Progress::new();
        let built = each(&self.shows, session, |show, session| self.one(show, &progress, session))?;
        let names: Vec<&str> = built.iter().map(|show| show.name.as_str()).collect();
        let folder = self.out.clone().unwrap_or_else(|| PathBuf::from("out").join(names.join("-")));
        let firmware: Vec<Firmware> = built.iter().map(|show| show.firmware.clone()).collect();
        let sources = if self.quick { Vec::new() } else { firmware_in(&folder, &firmware, session)? };
        let mut made = Made::words(built.iter().map(|show| show.words.as_str()).collect::<Vec<_>>().join("\n"));
        for (name, bytes) in built.into_iter().flat_map(|show| show.files) {
            made = made.file(folder.join(name), bytes);
        }
        for SourceFile { name, text } in sources {
            made = made.firmware(folder.join(name), text);
        }
        Some(made.replacing(true))
    }

    /// Builds one show, but for its firmware's files.
    fn one(&self, script: &Path, progress: &Progress, session: &mut Session<'_>) -> Checked<Built> {
        let production = produce(script, self.quick, progress, session)?;
        let name = production.show.name().to_owned();
        let mut built = Built { name, files: Vec::new(), words: String::new(), firmware: production.firmware() };
        self.report(&production, script, &mut built, session)?;
        if self.quick {
            return Some(built);
        }
        let (show, rehearsal, style) = (&production.show, &production.rehearsal, Style::default());
        let opening = opening(&rehearsal.shown);
        let preview = preview(show, opening, style, progress, session)?;
        let strip = strip(show, rehearsal, style, session)?;
        if opening.len() < rehearsal.shown.len() {
            let whole = rehearsal.seconds_at(show, rehearsal.shown.len());
            let cut = format!(
                "  {}.gif shows the first {LONGEST_SECONDS} s of {whole:.0} s; `pageloom preview` makes the whole\n",
                built.name
            );
            built.words.push_str(&cut);
        }
        let sheet = told(cue_sheet(&built.firmware), session)?;
        let name = &built.name;
        built.files.extend([
            (format!("{name}.gif"), preview),
            (format!("{name}.png"), strip),
            (format!("{name}-cues.csv"), sheet.into_bytes()),
            (format!("{name}-map.svg"), map(show).into_bytes()),
        ]);
        Some(built)
    }

    /// The figures and the report.
    fn report(
        &self,
        production: &Production,
        script: &Path,
        built: &mut Built,
        session: &mut Session<'_>,
    ) -> Checked<()> {
        let stem = if self.quick { format!("{}-quick", built.name) } else { built.name.clone() };
        let figures = told(json(&production.record(&session.findings)), session)?;
        let script = script.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
        let page = report(Some(production), &script, (&session.findings, &session.reader.sources), None);
        let page = told(page, session)?;
        built.files.push((format!("{stem}.json"), figures.into()));
        built.files.push((format!("{stem}.html"), page.into()));
        built.words = format!("{}{}", summary(production, &session.findings), if self.quick { QUICK } else { "" });
        Some(())
    }
}

/// Does something for each script with the findings of that one alone; `None` when it fails for any, once all were tried.
pub fn each<T>(
    scripts: &[PathBuf],
    session: &mut Session<'_>,
    mut act: impl FnMut(&Path, &mut Session<'_>) -> Checked<T>,
) -> Checked<Vec<T>> {
    let mut found = std::mem::take(&mut session.findings);
    let mut made = Vec::new();
    for script in scripts {
        made.push(act(script, session));
        found.append(std::mem::take(&mut session.findings));
    }
    session.findings = found;
    made.into_iter().collect()
}

/// The files of a firmware in a folder, which may hold shows that were built before: their needs stay in the configuration.
pub fn firmware_in(folder: &Path, shows: &[Firmware], session: &mut Session<'_>) -> Checked<Vec<SourceFile>> {
    let path = folder.join(C_CONFIG);
    let mut before = Vec::new();
    if path.exists() {
        let bytes = session.reader.bytes(&path, LIMITS.text_bytes, Place::Nowhere, &mut session.findings)?;
        let Some(known) = read_config(&String::from_utf8_lossy(&bytes)) else {
            let message = format!("{} is there already, and was not made by this version of pageloom", path.display());
            session
                .findings
                .push(Finding::error(Place::Nowhere, message).hint("move it away, or name another folder with --out"));
            return None;
        };
        let built_now = |show: &Needs| shows.iter().any(|now| now.name == show.show);
        before.extend(known);
        before.retain(|show| !built_now(show) && folder.join(format!("{}.h", show.stem)).exists());
    }
    if !before.is_empty() {
        let names: Vec<&str> = before.iter().map(|show| show.show.as_str()).collect();
        let message =
            format!("{} also serves what was built into this folder before: {}", path.display(), names.join(", "));
        session.findings.push(
            Finding::note(Place::Nowhere, message)
                .hint("build a show again if its script has changed; delete its .h to leave it out"),
        );
    }
    match firmware_sources(shows, &before) {
        Ok(files) => Some(files),
        Err(clashes) => {
            clashes.into_iter().for_each(|clash| session.findings.push(clash));
            None
        }
    }
}

/// What is said of a quick build.
const QUICK: &str = "  quick: no preview, filmstrip or firmware; leave --quick out for those\n";

/// Hands on what was made, or reports in words why it was not.
pub fn told<T>(made: Result<T, String>, session: &mut Session<'_>) -> Checked<T> {
    made.map_err(|why| session.findings.push(Finding::error(Place::Nowhere, why))).ok()
}

/// How a preview is to look; by default as the panel does, by night, at what size suits it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Style {
    /// Pixels of the GIF to one of the glass.
    pub scale: Option<u32>,
    /// Another glass than the panel's own.
    pub glass: Option<Material>,
    pub surroundings: Surroundings,
}

/// The longest GIF that a build makes, in seconds; a longer show is cut there.
const LONGEST_SECONDS: u32 = 60;

/// What the GIF of a build shows of a rehearsal, frame by frame.
fn opening(shown: &[Shown]) -> &[Shown] {
    let mut nanoseconds = 0;
    let fits = |shown: &&Shown| {
        nanoseconds += shown.stays.0;
        nanoseconds <= u64::from(LONGEST_SECONDS) * 1_000_000_000
    };
    &shown[..shown.iter().take_while(fits).count()]
}

/// The GIF of what was shown, frame by frame.
pub fn preview(
    show: &Show,
    shown: &[Shown],
    style: Style,
    progress: &Progress,
    session: &mut Session<'_>,
) -> Checked<Vec<u8>> {
    progress.stage("painting pictures");
    let look = look(show, style, style.scale);
    told(gif_telling(shown, &look, &|all| progress.done(all)), session)
}

/// The filmstrip of a rehearsal.
pub fn strip(show: &Show, rehearsal: &Rehearsal, style: Style, session: &mut Session<'_>) -> Checked<Vec<u8>> {
    let look = look(show, style, Some(STRIP_PITCH));
    told(filmstrip(&rehearsal.shown, &look, &Font::shipped(CAPTIONS)), session)
}

fn look(show: &Show, style: Style, scale: Option<u32>) -> Look {
    let glass = style.glass.unwrap_or(Material::Shining(show.panel().tint));
    Look::made_of(glass, style.surroundings, show.panel(), show.mounting(), scale)
}

/// Pixels of a filmstrip to one of the glass.
const STRIP_PITCH: u32 = 3;
