//! The files of a show without those of the firmware: preview, filmstrip, report, figures, list of cues, map of scenes.

use super::page::report;
use super::pictures::{Style, filmstrip_png, opening, preview_gif};
use super::{OutputFile, Production, Session, Steps};
use crate::diag::Checked;
use crate::emit::{cue_sheet, json};
use crate::report::map;
use std::path::Path;

/// What a quick build's files have behind the show's name, so that they stand beside those of a full one.
const QUICK: &str = "-quick";

impl Production {
    /// The files of the show, named after it, without a folder: the report and the figures, and where the build was not `quick` the
    /// preview, the filmstrip, the list of cues and the map. `None` when a finding says why one cannot be made.
    pub fn files(
        &self,
        script: &Path,
        quick: bool,
        steps: &dyn Steps,
        session: &mut Session<'_>,
    ) -> Checked<Vec<OutputFile>> {
        let name = self.show.name();
        let stem = format!("{name}{}", if quick { QUICK } else { "" });
        let script = script.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
        let figures = json(&self.record(&session.findings));
        let figures = session.checked(figures)?;
        let page = report(Some(self), &script, (&session.findings, &session.reader.sources), None);
        let page = session.checked(page)?;
        let mut files = vec![file(format!("{stem}.json"), figures), file(format!("{stem}.html"), page)];
        if quick {
            return Some(files);
        }
        let style = Style::default();
        let preview = preview_gif(&self.show, opening(&self.rehearsal.shown), style, steps, session)?;
        let strip = filmstrip_png(&self.show, &self.rehearsal, style, session)?;
        let cues = session.checked(cue_sheet(&self.firmware()))?;
        files.extend([
            file(format!("{name}.gif"), preview),
            file(format!("{name}.png"), strip),
            file(format!("{name}-cues.csv"), cues),
            file(format!("{name}-map.svg"), map(&self.show)),
        ]);
        Some(files)
    }
}

fn file(name: String, bytes: impl Into<Vec<u8>>) -> OutputFile {
    OutputFile { path: name.into(), bytes: bytes.into(), firmware: false }
}
