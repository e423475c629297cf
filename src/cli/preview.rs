//! `preview`: the show as GIF and filmstrip, through all scenes or by a list of timed triggers; or live in the terminal.

use super::made::Made;
use super::play::play;
use super::progress::ProgressLine;
use crate::build::{Compiled, Moment, Session, Steps, Style, compiled, filmstrip_png, photo_png, preview_gif};
use crate::diag::{Checked, Finding, Place, number};
use crate::preview::{Events, Material, Rehearsal, Surroundings, materials, rehearse, rehearse_events};
use crate::show::Show;
use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser};
use std::path::PathBuf;

/// What is shown, and how.
#[derive(Debug, Args)]
pub struct Preview {
    /// Script of the show.
    show: PathBuf,
    /// Build faster: no search for a dense reel, no filmstrip. The GIF is the same.
    #[arg(long)]
    quick: bool,
    /// Play it in the terminal; number keys raise triggers.
    #[arg(long, conflicts_with_all = ["events", "out"])]
    play: bool,
    /// Raise the triggers listed in this RON file: Events(seconds: 20, triggers: [Trigger(at: 3.5, name: "…")]).
    #[arg(long, value_name = "FILE")]
    events: Option<PathBuf>,
    /// Begin the GIF at this time.
    #[arg(long, value_name = "SECONDS", conflicts_with_all = ["play", "photo"], value_parser = from_zero, default_value = "0")]
    from: f64,
    /// Write a still picture instead: the display at this time, as a camera sees it.
    #[arg(long, value_name = "SECONDS", conflicts_with = "play", value_parser = from_zero)]
    photo: Option<f64>,
    /// Hours of use after which the still shows the display.
    #[arg(long, value_name = "HOURS", requires = "photo", value_parser = from_zero, default_value = "0")]
    hours: f64,
    /// GIF pixels per display pixel; default: chosen for the panel.
    #[arg(long, value_name = "PIXELS", value_parser = clap::value_parser!(u32).range(1..=16), conflicts_with = "play")]
    scale: Option<u32>,
    /// Colour of the display; default: that of the panel.
    #[arg(long, value_name = "COLOUR", value_parser = colour_names(), conflicts_with = "play")]
    colour: Option<String>,
    /// Show the display in a lit room instead of in the dark.
    #[arg(long, conflicts_with = "play")]
    day: bool,
    /// Folder to write to; default: out/NAME.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

/// The names of the displays that can be tried.
fn colour_names() -> PossibleValuesParser {
    PossibleValuesParser::new(materials(0).map(|(name, words, _)| PossibleValue::new(name).help(words)))
}

/// A number from 0 on.
fn from_zero(word: &str) -> Result<f64, String> {
    let number = word.parse::<f64>().ok().filter(|number| (0.0..1e6).contains(number));
    number.ok_or_else(|| format!("`{word}` is not a number from 0 to 1,000,000"))
}

impl Preview {
    fn style(&self, show: &Show) -> Style {
        let named =
            |(name, _, material): (&str, &str, Material)| (Some(name) == self.colour.as_deref()).then_some(material);
        let surroundings = if self.day { Surroundings::Day } else { Surroundings::Night };
        Style { scale: self.scale, material: materials(show.panel().height).into_iter().find_map(named), surroundings }
    }

    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let progress = ProgressLine::new();
        let compiled = compiled(&self.show, self.quick, &progress, session)?;
        if self.play {
            drop(progress);
            return self.live(&compiled, session);
        }
        let events = match &self.events {
            Some(path) => Some(Events::load(&mut session.reader, path, &compiled.show, &mut session.findings)?),
            None => None,
        };
        progress.stage("playing the show");
        let Compiled { show, frames, choice } = &compiled;
        let reel = &choice.fitted.reel;
        let rehearsal = match &events {
            Some(events) => rehearse_events(show, reel, frames, events, &mut session.findings)?,
            None => rehearse(show, reel, frames, &mut session.findings)?,
        };
        let folder = self.out.clone().unwrap_or_else(|| PathBuf::from("out").join(show.name()));
        let stem = if events.is_some() { format!("{}-events", show.name()) } else { show.name().to_owned() };
        if let Some(seconds) = self.photo {
            let moment = Moment { seconds, hours: self.hours };
            let still = photo_png(&compiled, &rehearsal.shown, moment, self.style(show), session)?;
            return Some(Made::default().file(folder.join(format!("{stem}-photo.png")), still).replacing(true));
        }
        let before =
            (0..rehearsal.shown.len()).take_while(|frame| rehearsal.seconds_at(show, *frame) < self.from).count();
        let shown = &rehearsal.shown[before..];
        if shown.is_empty() {
            let until = number(rehearsal.seconds_at(show, before));
            let finding = Finding::error(Place::Nowhere, format!("the preview is only {until} s long"));
            session.findings.push(finding.hint(format!("use a time below {until} with --from")));
            return None;
        }
        let preview = preview_gif(show, shown, self.style(show), &progress, session)?;
        let mut made = Made::words(course(show, &rehearsal)).file(folder.join(format!("{stem}.gif")), preview);
        if !self.quick {
            made = made
                .file(folder.join(format!("{stem}.png")), filmstrip_png(show, &rehearsal, self.style(show), session)?);
        }
        Some(made.replacing(true))
    }

    fn live(&self, compiled: &Compiled, session: &mut Session<'_>) -> Checked<Made> {
        match play(&compiled.show, &compiled.choice.fitted.reel) {
            Ok(()) => Some(Made::default()),
            Err(why) => {
                let finding = Finding::error(Place::Nowhere, format!("the show cannot be played here: {why}"));
                session.findings.push(finding.hint("leave out --play for a GIF"));
                None
            }
        }
    }
}

/// What happens in a preview, a line for each scene entered, trigger raised and cue handed over.
fn course(show: &Show, rehearsal: &Rehearsal) -> String {
    let mut lines = Vec::new();
    let mut scene = "";
    for (frame, shown) in rehearsal.shown.iter().enumerate() {
        let mut words = Vec::new();
        for (_, trigger) in rehearsal.raised.iter().filter(|(raised, _)| *raised == frame) {
            words.push(format!("trigger {}", show.triggers()[trigger.0]));
        }
        if scene != shown.scene {
            words.push(format!("scene {}", shown.scene));
            scene = &shown.scene;
        }
        for (_, cue) in rehearsal.cues.iter().filter(|(handed, _)| *handed == frame) {
            words.push(format!("cue {}", show.cues()[cue.0]));
        }
        if !words.is_empty() {
            lines.push(format!("{:7.2} s  {}", rehearsal.seconds_at(show, frame), words.join(", ")));
        }
    }
    lines.push(format!("{:7.2} s  end", rehearsal.seconds_at(show, rehearsal.shown.len())));
    lines.join("\n")
}
