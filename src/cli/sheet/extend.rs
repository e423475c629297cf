//! `sheet extend`: cells for characters that a sheet lacks.

use super::{Session, asked_for, said};
use crate::cli::made::Made;
use crate::diag::{Checked, Place};
use crate::drawing::{DrawingSheet, SheetFiles, with_cells};
use crate::font::Description;
use crate::source::Disk;
use clap::Args;
use std::path::PathBuf;

/// What a sheet is to be extended by.
#[derive(Debug, Args)]
pub struct Extend {
    /// RON file of the font; it and its sheet are rewritten.
    font: PathBuf,
    /// Characters that get a cell: A-Z, U+0410-U+042F, single characters, and {names} of icons.
    #[arg(long = "for", value_name = "CHARACTERS", required_unless_present = "show")]
    characters: Option<String>,
    /// Cells for the characters that this show uses from the font.
    #[arg(long, value_name = "SHOW")]
    show: Option<PathBuf>,
}

impl Extend {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let symbols = asked_for(self.characters.as_deref(), self.show.as_deref(), &self.font, session)?;
        let read = Description::load(&mut session.reader, &self.font, Place::Nowhere, &mut session.findings);
        let png = crate::source::beside(&self.font, &read?.0.sheet.value);
        let sheet = said(DrawingSheet::font(&Disk, &self.font, &png), session)?;
        let extended = said(with_cells(&sheet, &symbols.unwrap_or_default()), session)?;
        let Some(SheetFiles { ron: Some(ron), png: bytes }) = extended else {
            return Some(Made::words("Every character already has a cell."));
        };
        let words = format!("Draw in {}; the new cells are below the others.", png.display());
        Some(Made::words(words).file(&self.font, ron).file(png, bytes).replacing(true))
    }
}
