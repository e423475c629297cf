//! `sheet import` and `sheet export`: fonts from and to BDF 2.1 and 2.2, the open format of bitmap fonts.

use super::{Session, asked_for, load, names, said};
use crate::cli::made::Made;
use crate::diag::{Checked, Finding, Place};
use crate::font::sheet::sheet_of;
use crate::font::{from_bdf, to_bdf};
use clap::Args;
use std::path::PathBuf;

/// What is imported.
#[derive(Debug, Args)]
pub struct Import {
    /// The BDF file.
    bdf: PathBuf,
    /// RON file of the font to write; the PNG is written beside it. Default: the name of the BDF file with .ron.
    font: Option<PathBuf>,
    /// Only these characters: A-Z, U+0410-U+042F, single characters, and {names} of icons.
    #[arg(long = "for", value_name = "CHARACTERS")]
    characters: Option<String>,
    /// Only the characters that this show uses from the font.
    #[arg(long, value_name = "SHOW")]
    show: Option<PathBuf>,
    /// Overwrite existing files.
    #[arg(long)]
    replace: bool,
}

impl Import {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let font = self.font.clone().unwrap_or_else(|| self.bdf.with_extension("ron"));
        let (ron, png, _) = names(&font, session)?;
        let only = asked_for(self.characters.as_deref(), self.show.as_deref(), &ron, session)?;
        let bdf = session.reader.bdf(&self.bdf, Place::Nowhere, &mut session.findings)?;
        let font = from_bdf(&bdf, &mut session.findings)?;
        let lacking = only.iter().flatten().filter(|symbol| font.id(symbol).is_none());
        let lacking: Vec<String> = lacking.map(ToString::to_string).collect();
        if !lacking.is_empty() {
            let message = format!("{} has no {}", self.bdf.display(), lacking.join(", no "));
            session.findings.push(Finding::warning(Place::Nowhere, message).hint("draw them: `pageloom sheet extend`"));
        }
        let name = png.file_name().unwrap_or_default().to_string_lossy();
        let sheet = said(sheet_of(&font, &name, only.as_deref(), None), session);
        if sheet.is_none() && only.is_none() {
            let hint = "--for or --show takes a part of the font";
            session.findings.push(Finding::error(Place::Nowhere, "the font is too large for one sheet").hint(hint));
        }
        let words = format!(
            "{}: {} glyphs. Check the licence before you ship a font that others drew.",
            font.name(),
            font.glyphs().len()
        );
        let sheet = sheet?;
        Some(Made::words(words).file(ron, sheet.ron).file(png, sheet.png).replacing(self.replace))
    }
}

/// What is exported.
#[derive(Debug, Args)]
pub struct Export {
    /// RON file of the font.
    font: PathBuf,
    /// File to write; default: out/NAME.bdf.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl Export {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let font = load(&self.font, session)?;
        let kerned = font.kerning().len();
        if kerned > 0 {
            let message = format!("BDF cannot store kerning: {kerned} pairs are left out");
            session.findings.push(Finding::note(Place::Nowhere, message));
        }
        let stem = self.font.file_stem().unwrap_or_default().to_string_lossy();
        let out = self.out.clone().unwrap_or_else(|| PathBuf::from("out").join(format!("{stem}.bdf")));
        Some(Made::default().file(out, to_bdf(&font)).replacing(true))
    }
}
