//! `emit`: bare arrays of frames or of a font for people with their own drawing code, the reel as Intel HEX, folders of firmware.

use super::emit_folder::FirmwareFolder;
use super::made::Made;
use super::progress::ProgressLine;
use crate::build::{Session, produce};
use crate::diag::{Checked, Finding, Place, nearest};
use crate::emit::{ArrayFile, Language, font_file, frames_file, intel_hex};
use crate::font::Font;
use crate::render::render;
use crate::show::{Show, load};
use clap::{Args, Subcommand, ValueEnum};
use std::path::{Path, PathBuf};

/// What is written.
#[derive(Debug, Subcommand)]
pub enum Emit {
    /// Write single frames as arrays in page order.
    Frames(Frames),
    /// Write a font as a table of glyphs and their columns.
    Font(FontTable),
    /// Write the reel as Intel HEX, for an external memory.
    Hex(Hex),
    /// Write a sketch for a hobby-board environment: main loop, shows and player.
    Sketch(FirmwareFolder),
    /// Write a library for package managers of C firmware: shows, player and the managers' files.
    Library(FirmwareFolder),
}

/// Language of the arrays.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Written {
    C,
    Rust,
}

impl Written {
    fn language(self) -> Language {
        match self {
            Written::C => Language::C,
            Written::Rust => Language::Rust,
        }
    }
    /// The usual ending: the arrays in C are `static`, so they belong in a header.
    fn ending(self) -> &'static str {
        match self {
            Written::C => "h",
            Written::Rust => "rs",
        }
    }
}

/// Which frames.
#[derive(Debug, Args)]
pub struct Frames {
    /// Script of the show.
    show: PathBuf,
    /// Only this scene.
    #[arg(long, value_name = "NAME")]
    scene: Option<String>,
    /// Only every Nth frame of a scene, starting with the first.
    #[arg(long, value_name = "N", default_value = "1", value_parser = clap::value_parser!(u32).range(1..))]
    every: u32,
    /// Language of the arrays.
    #[arg(long, value_enum, default_value = "c")]
    language: Written,
    /// File to write; default: out/NAME/NAME-frames with the extension of the language.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// Which font.
#[derive(Debug, Args)]
pub struct FontTable {
    /// RON file of the font.
    font: PathBuf,
    /// Language of the arrays.
    #[arg(long, value_enum, default_value = "c")]
    language: Written,
    /// File to write; default: out/NAME-font with the extension of the language.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// Where the reel goes.
#[derive(Debug, Args)]
pub struct Hex {
    /// Script of the show.
    show: PathBuf,
    /// Address of the first byte of the reel, such as 8192 or 0x2000.
    #[arg(long, value_name = "ADDRESS", default_value = "0", value_parser = address)]
    address: u32,
    /// File to write; default: out/NAME/NAME.hex.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl Emit {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let (path, bytes) = match self {
            Emit::Frames(frames) => frames.make(session)?,
            Emit::Font(font) => font.make(session)?,
            Emit::Hex(hex) => hex.make(session)?,
            Emit::Sketch(folder) => return folder.sketch(session),
            Emit::Library(folder) => return folder.library(session),
        };
        Some(Made::default().firmware(path, bytes).replacing(true))
    }
}

impl Frames {
    fn make(&self, session: &mut Session<'_>) -> Checked<(PathBuf, String)> {
        let show = load(&mut session.reader, &self.show, &mut session.findings)?;
        if let Some(name) = &self.scene {
            require_scene(&show, name, session)?;
        }
        let mut arrays = Vec::new();
        for (scene, pictures) in show.scenes().iter().zip(render(&show)) {
            if self.scene.as_ref().is_some_and(|name| *name != scene.name) {
                continue;
            }
            let chosen = pictures.iter().enumerate().step_by(self.every as usize);
            arrays
                .extend(chosen.map(|(frame, picture)| ArrayFile::picture(format!("{}-{frame}", scene.name), picture)));
        }
        let name = format!("{}-frames.{}", show.name(), self.language.ending());
        let path = self.out.clone().unwrap_or_else(|| Path::new("out").join(show.name()).join(name));
        let title = format!("Frames of the show {}", show.name());
        Some((path, frames_file(self.language.language(), &title, &arrays)))
    }
}

fn require_scene(show: &Show, name: &str, session: &mut Session<'_>) -> Checked<()> {
    let names = || show.scenes().iter().map(|scene| scene.name.as_str());
    if names().any(|known| known == name) {
        return Some(());
    }
    let finding = Finding::error(Place::Nowhere, format!("the show has no scene `{name}`"));
    let hint = match nearest(name, names()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("its scenes are: {}", names().collect::<Vec<_>>().join(", ")),
    };
    session.findings.push(finding.hint(hint));
    None
}

impl FontTable {
    fn make(&self, session: &mut Session<'_>) -> Checked<(PathBuf, String)> {
        let font = Font::load(&mut session.reader, &self.font, Place::Nowhere, &mut session.findings)?;
        let stem = self.font.file_stem().map_or("font".into(), |stem| stem.to_string_lossy().into_owned());
        let name = format!("{stem}-font.{}", self.language.ending());
        let path = self.out.clone().unwrap_or_else(|| Path::new("out").join(name));
        Some((path, session.checked(font_file(self.language.language(), &font))?))
    }
}

impl Hex {
    fn make(&self, session: &mut Session<'_>) -> Checked<(PathBuf, String)> {
        let production = produce(&self.show, false, &ProgressLine::new(), session)?;
        let name = production.show.name();
        let path = self.out.clone().unwrap_or_else(|| Path::new("out").join(name).join(format!("{name}.hex")));
        Some((path, intel_hex(&production.reel().bytes, self.address)))
    }
}

/// An address, decimal or hexadecimal.
fn address(text: &str) -> Result<u32, String> {
    const HEXADECIMAL: u32 = 16;
    let number = match text.strip_prefix("0x").or_else(|| text.strip_prefix("0X")) {
        Some(digits) => u32::from_str_radix(digits, HEXADECIMAL),
        None => text.parse(),
    };
    number.map_err(|_| "write an address such as 8192 or 0x2000".to_owned())
}
