//! `sheet new`: a sheet to draw on.

use super::{Session, asked_for, load, names, said};
use crate::cli::made::Made;
use crate::diag::Checked;
use crate::font::Symbol;
use crate::font::sheet::{Blank, GlyphSheet, new_sheet, sheet_of, wanted};
use clap::Args;
use std::path::{Path, PathBuf};

/// What a new sheet is like.
#[derive(Debug, Args)]
pub struct New {
    /// RON file of the font to write; the PNG is written beside it.
    font: PathBuf,
    /// Width and height of a cell in pixels; default: 5x7, or the size that the glyphs of --like need.
    #[arg(long, value_name = "WxH", value_parser = cell)]
    cell: Option<(u32, u32)>,
    /// Characters that get a cell: A-Z, U+0410-U+042F, single characters, and {names} of icons.
    #[arg(long = "for", value_name = "CHARACTERS")]
    characters: Option<String>,
    /// Cells for the characters that this show uses from the font.
    #[arg(long, value_name = "SHOW")]
    show: Option<PathBuf>,
    /// Copy the glyphs of this font to the sheet: a RON file, or the name of a shipped font.
    #[arg(long, value_name = "FONT")]
    like: Option<PathBuf>,
    /// Overwrite existing files.
    #[arg(long)]
    replace: bool,
}

/// The cells of a console's font when nothing else is asked for.
const USUAL_CHARACTERS: &str = "A-Z 0-9 .,:;!?-+=/%°()[]<>#'\"*_&";

/// Width and height of a cell when nothing else is asked for.
const USUAL_CELL: (u32, u32) = (5, 7);

impl New {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let (ron, png, stem) = names(&self.font, session)?;
        let asked = asked_for(self.characters.as_deref(), self.show.as_deref(), &ron, session)?;
        let sheet = match &self.like {
            Some(like) => redrawn(like, &png, asked.as_deref(), self.cell, session)?,
            None => {
                let symbols = asked.map_or_else(|| wanted(USUAL_CHARACTERS), Ok);
                let laid_out = symbols
                    .and_then(|symbols| new_sheet(&Blank::usual(&stem, self.cell.unwrap_or(USUAL_CELL), symbols)));
                said(laid_out, session)?
            }
        };
        let words = format!("Open {} and draw in white inside the framed cells.", png.display());
        Some(Made::words(words).file(ron, sheet.ron).file(png, sheet.png).replacing(self.replace))
    }
}

fn redrawn(
    like: &Path,
    png: &Path,
    only: Option<&[Symbol]>,
    cell: Option<(u32, u32)>,
    session: &mut Session<'_>,
) -> Checked<GlyphSheet> {
    let font = load(like, session)?;
    let name = png.file_name().unwrap_or_default().to_string_lossy();
    said(sheet_of(&font, &name, only, cell), session)
}

/// A cell's size, written as `5x7`.
fn cell(text: &str) -> Result<(u32, u32), String> {
    let sides = text.split_once(['x', '×']).and_then(|(width, height)| {
        let side = |side: &str| side.trim().parse::<u32>().ok();
        Some((side(width)?, side(height)?))
    });
    sides.ok_or_else(|| "write width and height in pixels, for example 5x7".to_owned())
}
