//! `build`: the whole job, from a script to previews and firmware.

use super::Session;
use super::made::Made;
use super::production::{Production, produce};
use super::progress::Progress;
use super::report::report;
use super::summary::summary;
use crate::diag::{Checked, Finding, Place};
use crate::emit::{c, cue_sheet, json, rust};
use crate::font::Font;
use crate::preview::{Look, Material, Rehearsal, Surroundings, filmstrip, gif_telling};
use crate::report::map;
use crate::show::Show;
use clap::Args;
use std::path::PathBuf;

/// What is built, and where to.
#[derive(Debug, Args)]
pub struct Build {
    /// The show's script.
    show: PathBuf,
    /// The folder to write to; out/NAME when none is given.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Take less time: only the report and the figures, beside those of a full build, and look for no dense reel.
    #[arg(long)]
    quick: bool,
}

/// The font of a filmstrip's captions.
const CAPTIONS: &str = "thole";

impl Build {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let progress = Progress::new();
        let production = produce(&self.show, self.quick, &progress, session)?;
        let name = production.show.name();
        let folder = self.out.clone().unwrap_or_else(|| PathBuf::from("out").join(name));
        let stem = if self.quick { format!("{name}-quick") } else { name.to_owned() };
        let path = |ending: &str| folder.join(format!("{stem}.{ending}"));
        let made = self.report(&production, path, session)?;
        if self.quick {
            return Some(made);
        }
        let (show, rehearsal, style) = (&production.show, &production.rehearsal, Style::default());
        let (preview, strip) =
            (preview(show, rehearsal, style, &progress, session)?, strip(show, rehearsal, style, session)?);
        let firmware = production.firmware();
        let files = c(&firmware);
        let sheet = told(cue_sheet(&firmware), session)?;
        let made = made
            .file(path("gif"), preview)
            .file(path("png"), strip)
            .file(path("c"), files.source)
            .file(path("h"), files.header)
            .file(path("rs"), rust(&firmware))
            .file(folder.join(format!("{name}-cues.csv")), sheet)
            .file(folder.join(format!("{name}-map.svg")), map(&production.show));
        Some(made)
    }

    /// The figures and the report; `path` names a file by its ending.
    fn report(
        &self,
        production: &Production,
        path: impl Fn(&str) -> PathBuf,
        session: &mut Session<'_>,
    ) -> Checked<Made> {
        let figures = told(json(&production.record(&session.findings)), session)?;
        let script = self.show.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
        let page = report(Some(production), &script, (&session.findings, &session.reader.sources), None);
        let page = told(page, session)?;
        let quick = if self.quick { QUICK } else { "" };
        let made = Made::words(format!("{}{quick}", summary(production)));
        Some(made.file(path("json"), figures).file(path("html"), page).replacing(true))
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

/// The GIF of a rehearsal.
pub fn preview(
    show: &Show,
    rehearsal: &Rehearsal,
    style: Style,
    progress: &Progress,
    session: &mut Session<'_>,
) -> Checked<Vec<u8>> {
    progress.stage("painting pictures");
    let look = look(show, style, style.scale);
    told(gif_telling(&rehearsal.shown, show.frame_rate(), &look, &|all| progress.done(all)), session)
}

/// The filmstrip of a rehearsal.
pub fn strip(show: &Show, rehearsal: &Rehearsal, style: Style, session: &mut Session<'_>) -> Checked<Vec<u8>> {
    let look = look(show, style, Some(STRIP_PITCH));
    told(filmstrip(&rehearsal.shown, show.frame_rate(), &look, &Font::shipped(CAPTIONS)), session)
}

fn look(show: &Show, style: Style, scale: Option<u32>) -> Look {
    let glass = style.glass.unwrap_or(Material::Shining(show.panel().tint));
    Look::made_of(glass, style.surroundings, show.panel(), show.mounting(), scale)
}

/// Pixels of a filmstrip to one of the glass.
const STRIP_PITCH: u32 = 3;
