//! `sheet proof`: a specimen of a font as a picture and in the terminal.

use super::words::{LineRoom, words};
use super::{Session, load, said};
use crate::cli::made::Made;
use crate::cli::script::Script;
use crate::diag::{Checked, Finding, Findings, Place, nearest, number};
use crate::font::proof::{self, ProofPanel, ProofScreen, specimen};
use crate::font::{Font, GlyphId, symbols};
use crate::panel::{Mounting, Panel, Tint, panels};
use crate::show::{Show, load as load_show};
use clap::Args;
use std::path::{Path, PathBuf};

/// What is proved.
#[derive(Debug, Args)]
pub struct ProofCommand {
    /// RON file of the font.
    font: PathBuf,
    /// Show whose texts in this font are drawn for its panel.
    #[arg(long, value_name = "SHOW")]
    show: Option<PathBuf>,
    /// Panel by its name in `pageloom panels`, if there is no --show.
    #[arg(long, value_name = "NAME", default_value = "0.42in-72x40-ssd1306", conflicts_with = "show")]
    panel: String,
    /// Pixels per inch of your screen, for the lines at real size.
    #[arg(long, value_name = "PIXELS_PER_INCH", default_value_t = ProofScreen::USUAL)]
    density: f64,
    /// Picture to write; default: out/NAME-proof.png.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl ProofCommand {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let (lowest, highest) = ProofScreen::DENSITIES;
        let density =
            || format!("a screen has {} to {} pixels per inch, not {}", number(lowest), number(highest), self.density);
        let screen = said(ProofScreen::new(self.density).ok_or_else(density), session);
        let panel = self.panel(session);
        let font = load(&self.font, session);
        let (lines, room) = match &self.show {
            Some(show) => self.of_show(show, session)?,
            None => (Vec::new(), None),
        };
        let (screen, font) = (screen?, font?);
        let room = match room {
            Some(room) => room,
            None => LineRoom::of(&panel?, &Mounting::default(), None),
        };
        let among = among(&font, &lines);
        let lines = if lines.is_empty() { proof::alphabet(&font) } else { lines };
        let proof = proof::Proof { font: &font, lines, among, panel: room.panel.clone(), screen };
        let png = said(specimen(&proof), session)?;
        let stem = self.font.file_stem().unwrap_or_default().to_string_lossy();
        let out = self.out.clone().unwrap_or_else(|| PathBuf::from("out").join(format!("{stem}-proof.png")));
        Some(Made::words(words(&proof, &room)).file(out, png).replacing(true))
    }

    fn panel(&self, session: &mut Session<'_>) -> Checked<Panel> {
        if let Some(panel) = panels().iter().find(|panel| panel.name == self.panel.as_str()) {
            return Some(panel.clone());
        }
        let finding = Finding::error(Place::Nowhere, format!("there is no panel `{}`", self.panel));
        let names: Vec<&str> = panels().iter().map(|panel| &*panel.name).collect();
        session.findings.push(match nearest(&self.panel, names) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint("`pageloom panels` lists them"),
        });
        None
    }

    /// The lines that a show sets in the font, and its display when the show is sound.
    fn of_show(&self, path: &Path, session: &mut Session<'_>) -> Checked<(Vec<String>, Option<LineRoom>)> {
        let lines = Script::read(path, session)?.lines(&self.font);
        if lines.is_empty() {
            let message = format!("the show {} has no text in the font {}", path.display(), self.font.display());
            session.findings.push(Finding::warning(Place::Nowhere, message).hint("sample lines are shown instead"));
        }
        let mut faults = Findings::default();
        let show = load_show(&mut session.reader, path, &mut faults);
        if show.is_none() {
            let message = format!("{} has errors, so its panel and viewing distance are unknown", path.display());
            session.findings.push(Finding::warning(Place::Nowhere, message).hint("`pageloom check` lists them"));
        }
        Some((lines, show.map(|show| room_of(&show))))
    }
}

fn room_of(show: &Show) -> LineRoom {
    LineRoom::of(show.panel(), show.mounting(), Some(show.viewing_distance_millimetres()))
}

/// The glyphs among which look-alikes are looked for: those of the lines, else letters and digits, else all.
fn among(font: &Font, lines: &[String]) -> Vec<GlyphId> {
    let used: std::collections::BTreeSet<GlyphId> =
        lines.iter().flat_map(|line| symbols(line)).filter_map(|symbol| font.id(&symbol)).collect();
    let alone = |(id, symbol, _): (GlyphId, &crate::font::Symbol, &crate::font::Glyph)| {
        symbol.char().is_some_and(char::is_alphanumeric).then_some(id)
    };
    let alone: Vec<GlyphId> = font.glyphs().filter_map(alone).collect();
    match (used.is_empty(), alone.len() < 2) {
        (false, _) => used.into_iter().collect(),
        (true, false) => alone,
        (true, true) => font.glyphs().map(|(id, ..)| id).collect(),
    }
}

impl LineRoom {
    /// What a panel as mounted leaves to a line of text, seen from a distance where one is known.
    fn of(panel: &Panel, mounting: &Mounting, distance_millimetres: Option<f64>) -> Self {
        let turned = mounting.controller_turn().transposed;
        let [across, down] = panel.dot_micrometres.map(|side| f64::from(side) / 1000.0);
        let lit = match panel.tint {
            Tint::Crystal => crate::panel::Colour::White.rgb(),
            Tint::Plain(colour) | Tint::Split { lower: colour, .. } => colour.rgb(),
        };
        let proof_panel = ProofPanel {
            name: panel.name.to_string(),
            pitch_millimetres: mounting.view_pitch_millimetres(panel),
            dot_millimetres: if turned { (down, across) } else { (across, down) },
            lit,
        };
        LineRoom { panel: proof_panel, columns: mounting.visible(panel).width, distance_millimetres }
    }
}
