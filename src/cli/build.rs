//! `build`: the whole job, from a script to previews and firmware.

use super::Session;
use super::made::Made;
use super::production::produce;
use super::report::report;
use super::summary::summary;
use crate::diag::{Checked, Finding, Place};
use crate::emit::{c, cue_sheet, json, rust};
use crate::font::Font;
use crate::preview::{Look, Material, Rehearsal, Surroundings, filmstrip, gif};
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
}

/// The font of a filmstrip's captions.
const CAPTIONS: &str = "thole";

impl Build {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let production = produce(&self.show, session)?;
        let name = production.show.name();
        let folder = self.out.clone().unwrap_or_else(|| PathBuf::from("out").join(name));
        let firmware = production.firmware();
        let files = c(&firmware);
        let (preview, strip) = pictures(&production.show, &production.rehearsal, Style::default(), session)?;
        let figures = told(json(&production.record(&session.findings)), session)?;
        let script = self.show.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
        let page = report(Some(&production), &script, (&session.findings, &session.reader.sources), None);
        let page = told(page, session)?;
        let sheet = told(cue_sheet(&firmware), session)?;
        let path = |ending: &str| folder.join(format!("{name}.{ending}"));
        let made = Made::words(summary(&production))
            .file(path("gif"), preview)
            .file(path("png"), strip)
            .file(path("c"), files.source)
            .file(path("h"), files.header)
            .file(path("rs"), rust(&firmware))
            .file(path("json"), figures)
            .file(path("html"), page)
            .file(folder.join(format!("{name}-cues.csv")), sheet)
            .file(folder.join(format!("{name}-map.svg")), map(&production.show));
        Some(made.replacing(true))
    }
}

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

/// The GIF and the filmstrip of a rehearsal.
pub fn pictures(
    show: &Show,
    rehearsal: &Rehearsal,
    style: Style,
    session: &mut Session<'_>,
) -> Checked<(Vec<u8>, Vec<u8>)> {
    let (panel, mounting) = (show.panel(), show.mounting());
    let glass = style.glass.unwrap_or(Material::Shining(panel.tint));
    let look = |scale| Look::made_of(glass, style.surroundings, panel, mounting, scale);
    let (shown, rate) = (&rehearsal.shown, show.frame_rate());
    let preview = gif(shown, rate, &look(style.scale));
    let strip = filmstrip(shown, rate, &look(Some(STRIP_PITCH)), &Font::shipped(CAPTIONS));
    let (preview, strip) = (told(preview, session), told(strip, session));
    Some((preview?, strip?))
}

/// Pixels of a filmstrip to one of the glass.
const STRIP_PITCH: u32 = 3;
