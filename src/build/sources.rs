//! Source files of firmware, for a folder that can already hold others.

use super::Session;
use crate::diag::{Checked, Finding, Place};
use crate::emit::{C_CONFIG, Firmware, Needs, SourceFile, firmware_sources, read_config};
use crate::source::LIMITS;
use std::path::Path;

/// Returns the files of firmware for a folder. If the folder holds shows of earlier builds, the configuration still contains what
/// they need.
pub fn firmware_in(folder: &Path, shows: &[Firmware], session: &mut Session<'_>) -> Checked<Vec<SourceFile>> {
    let path = folder.join(C_CONFIG);
    let mut before = Vec::new();
    if path.exists() {
        let bytes = session.reader.bytes(&path, LIMITS.text_bytes, Place::Nowhere, &mut session.findings)?;
        let Some(known) = read_config(&String::from_utf8_lossy(&bytes)) else {
            let message = format!("{} already exists and was not written by this version of pageloom", path.display());
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
            format!("{} also supports the shows built into this folder before: {}", path.display(), names.join(", "));
        session.findings.push(
            Finding::note(Place::Nowhere, message)
                .hint("rebuild a show after its script has changed; delete its .h file to remove it"),
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
