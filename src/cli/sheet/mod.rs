//! `sheet`: creates, extends and inspects glyph sheets, and imports and exports fonts as BDF.

mod bdf;
mod extend;
mod new;
mod proof;
mod words;

use super::made::Made;
use super::script::Script;
use crate::build::Session;
use crate::diag::{Checked, Finding, Place};
use crate::font::sheet;
use crate::font::{Font, Symbol, shipped};
use clap::Subcommand;
use std::path::{Path, PathBuf};

/// What is done with a glyph sheet.
#[derive(Debug, Subcommand)]
pub enum SheetCommand {
    /// Create a sheet to draw in, with the RON file that describes it.
    New(new::New),
    /// Add cells for missing characters to a sheet; drawn cells stay as they are.
    Extend(extend::Extend),
    /// Show all glyphs, lines of a show and similar pairs, as a picture and in the terminal.
    Proof(proof::ProofCommand),
    /// Create a sheet from a BDF font.
    Import(bdf::Import),
    /// Write a font as BDF, for other font programs.
    Export(bdf::Export),
}

impl SheetCommand {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        match self {
            SheetCommand::New(new) => new.run(session),
            SheetCommand::Extend(extend) => extend.run(session),
            SheetCommand::Proof(proof) => proof.run(session),
            SheetCommand::Import(import) => import.run(session),
            SheetCommand::Export(export) => export.run(session),
        }
    }
}

/// The characters that a person asks for: those written out, and those that a show sets in a font; `None` when neither is given.
fn asked_for(
    characters: Option<&str>,
    show: Option<&Path>,
    font: &Path,
    session: &mut Session<'_>,
) -> Checked<Option<Vec<Symbol>>> {
    let mut symbols = match characters {
        Some(characters) => Some(said(sheet::wanted(characters), session)?),
        None => None,
    };
    if let Some(show) = show {
        let script = Script::read(show, session)?;
        let used = script.symbols(font);
        if used.is_empty() {
            let message = format!("the show {} has no text in the font {}", show.display(), font.display());
            let hint = "list this file in `fonts` of the show, and use it in a text";
            session.findings.push(Finding::error(Place::Nowhere, message).hint(hint));
            return None;
        }
        let all = symbols.get_or_insert_default();
        all.extend(used);
        let mut seen = std::collections::BTreeSet::new();
        all.retain(|symbol| seen.insert(symbol.clone()));
    }
    Some(symbols)
}

/// A font from its RON file, or one that ships, by its name.
fn load(font: &Path, session: &mut Session<'_>) -> Checked<Font> {
    if let Some(shipped) = font.to_str().and_then(shipped) {
        return Some(Font::shipped(shipped.name));
    }
    Font::load(&mut session.reader, font, Place::Nowhere, &mut session.findings)
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
