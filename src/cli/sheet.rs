//! `sheet new` and `sheet extend`: glyph sheets to draw on, and more cells for those that are drawn already.

use super::Session;
use super::made::Made;
use crate::diag::{Checked, Finding, Place};
use crate::font::sheet::{self, Blank};
use crate::font::{Description, Font};
use clap::{Args, Subcommand};
use std::path::{Path, PathBuf};

/// What is done with a glyph sheet.
#[derive(Debug, Subcommand)]
pub enum Sheet {
    /// Lay out a sheet to draw on, with the RON file that names its cells.
    New(New),
    /// Add cells for characters that a sheet lacks; what is drawn stays.
    Extend(Extend),
}

/// What a new sheet is like.
#[derive(Debug, Args)]
pub struct New {
    /// The font's RON file to write; the sheet is written beside it as a PNG.
    font: PathBuf,
    /// Width and height of a cell in pixels.
    #[arg(long, value_name = "WxH", default_value = "5x7", value_parser = cell, conflicts_with = "like")]
    cell: (u32, u32),
    /// Which characters get a cell: A-Z, U+0410-U+042F, any characters, and {names} of icons.
    #[arg(long = "for", value_name = "CHARACTERS")]
    characters: Option<String>,
    /// Take the glyphs of this font (a RON file) onto the sheet, to redraw them.
    #[arg(long, value_name = "FONT")]
    like: Option<PathBuf>,
    /// Write over files that are there already.
    #[arg(long)]
    replace: bool,
}

/// What a sheet is to be extended by.
#[derive(Debug, Args)]
pub struct Extend {
    /// The font's RON file; it and its sheet are written anew.
    font: PathBuf,
    /// Which characters are to have a cell: A-Z, U+0410-U+042F, any characters, and {names} of icons.
    #[arg(long = "for", value_name = "CHARACTERS")]
    characters: String,
}

/// The cells of a console's font when nothing else is asked for.
const USUAL_CHARACTERS: &str = "A-Z 0-9 .,:;!?-+=/%°()[]<>#'\"*_&";

impl Sheet {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        match self {
            Sheet::New(new) => new.run(session),
            Sheet::Extend(extend) => extend.run(session),
        }
    }
}

impl New {
    fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let (ron, png, stem) = names(&self.font, session)?;
        let sheet = match &self.like {
            Some(like) => self.redrawn(like, &png, session)?,
            None => {
                let symbols = sheet::wanted(self.characters.as_deref().unwrap_or(USUAL_CHARACTERS));
                let laid_out = symbols.and_then(|symbols| sheet::new_sheet(&Blank::usual(&stem, self.cell, symbols)));
                said(laid_out, session)?
            }
        };
        let words = format!("Draw on {} in white, in the framed cells.", png.display());
        Some(Made::words(words).file(ron, sheet.ron).file(png, sheet.png).replacing(self.replace))
    }

    fn redrawn(&self, like: &Path, png: &Path, session: &mut Session<'_>) -> Checked<sheet::Sheet> {
        let font = Font::load(&mut session.reader, like, Place::Nowhere, &mut session.findings)?;
        let only = self.characters.as_deref().map(sheet::wanted).transpose();
        let only = said(only, session)?;
        let name = png.file_name().unwrap_or_default().to_string_lossy();
        said(sheet::sheet_of(&font, &name, only.as_deref()), session)
    }
}

impl Extend {
    fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let symbols = said(sheet::wanted(&self.characters), session)?;
        let read = Description::load(&mut session.reader, &self.font, Place::Nowhere, &mut session.findings);
        let (description, _, picture) = read?;
        let ron = session.reader.sources.text(description.span.file).to_owned();
        let extended = said(sheet::extend(&ron, &description, &picture, &symbols), session)?;
        let Some(extended) = extended else {
            return Some(Made::words("Every character asked for has a cell already."));
        };
        let png = crate::source::beside(&self.font, &description.sheet.value);
        let words = format!("Draw on {}; the new cells are below the others.", png.display());
        Some(Made::words(words).file(&self.font, extended.ron).file(png, extended.png).replacing(true))
    }
}

/// The RON file, the PNG beside it, and the name that both share.
fn names(font: &Path, session: &mut Session<'_>) -> Checked<(PathBuf, PathBuf, String)> {
    let stem = font.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    let right = font.extension().is_none_or(|extension| extension == "ron");
    match stem.filter(|_| right) {
        Some(stem) => Some((font.with_extension("ron"), font.with_extension("png"), stem)),
        None => {
            let message = format!("{} is not the name of a RON file", font.display());
            session.findings.push(Finding::error(Place::Nowhere, message).hint("write for example fonts/deck.ron"));
            None
        }
    }
}

/// Hands on what was made, or reports in words why it was not.
fn said<T>(made: Result<T, String>, session: &mut Session<'_>) -> Checked<T> {
    made.map_err(|why| session.findings.push(Finding::error(Place::Nowhere, why))).ok()
}

/// A cell's size, written as `5x7`.
fn cell(text: &str) -> Result<(u32, u32), String> {
    let sides = text.split_once(['x', '×']).and_then(|(width, height)| {
        let side = |side: &str| side.trim().parse::<u32>().ok();
        Some((side(width)?, side(height)?))
    });
    sides.ok_or_else(|| "write width and height in pixels, for example 5x7".to_owned())
}
