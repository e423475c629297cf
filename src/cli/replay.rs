//! `replay`: what a logic analyser recorded on the display's wires, drawn, and held against the show.

use super::made::Made;
use super::progress::ProgressLine;
use crate::build::{Compiled, Session, Steps, Style, compiled, preview_gif};
use crate::diag::{Checked, Place};
use crate::emulator::{Emulator, USUAL_ADDRESS};
use crate::panel::Mounting;
use crate::preview::{Look, gif};
use crate::replay::{
    DisplayLines, Given, ReplaySubject, What, compare, course, decode, draw, guess_panel, read, set_up, summary,
};
use clap::Args;
use std::path::{Path, PathBuf};

/// Bytes of a capture.
const MOST_BYTES: usize = 60 << 20;

/// A capture, and what it is of.
#[derive(Debug, Args)]
pub struct Replay {
    /// The capture: VCD (IEEE 1364), or CSV with the time and one column per line.
    capture: PathBuf,
    /// The script of the show that was playing.
    #[arg(long, value_name = "SHOW")]
    show: Option<PathBuf>,
    /// The folder to write to.
    #[arg(long, value_name = "FOLDER", default_value = "out")]
    out: PathBuf,
    /// The line of the capture with the I²C clock; default: found by its name.
    #[arg(long, value_name = "LINE")]
    scl: Option<String>,
    /// The I²C data line.
    #[arg(long, value_name = "LINE")]
    sda: Option<String>,
    /// The SPI clock.
    #[arg(long, value_name = "LINE")]
    clk: Option<String>,
    /// The SPI data line to the display.
    #[arg(long, value_name = "LINE")]
    mosi: Option<String>,
    /// The display's D/C line; none on 3-wire SPI.
    #[arg(long, value_name = "LINE")]
    dc: Option<String>,
    /// The display's chip select.
    #[arg(long, value_name = "LINE")]
    cs: Option<String>,
}

impl Replay {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let bytes = session.reader.bytes(&self.capture, MOST_BYTES, Place::Nowhere, &mut session.findings)?;
        let trace = read(&String::from_utf8_lossy(&bytes));
        let trace = trace.map_err(|finding| session.findings.push(finding)).ok()?;
        let progress = ProgressLine::new();
        let compiled = match &self.show {
            Some(script) => Some(compiled(script, false, &progress, session)?),
            None => None,
        };
        let wires = compiled.as_ref().map(|compiled| compiled.show.bus().wires);
        let lines = DisplayLines::find(&trace, &self.given(), wires);
        let lines = lines.map_err(|finding| session.findings.push(finding)).ok()?;
        progress.stage("decoding the capture");
        let decoded = decode(&trace, &lines);
        let path = self.out.join(format!("{}-sent.gif", stem(&self.capture)));
        match compiled {
            Some(compiled) => {
                let show = &compiled.show;
                let address = show.bus().address();
                let items = decoded.items(address);
                let subject = ReplaySubject { trace: &trace, decoded: &decoded, items: &items, address, show: None };
                self.against(&compiled, subject, (&progress, path), session)
            }
            None => {
                let busiest = decoded.devices().first().map_or(USUAL_ADDRESS, |device| device.address);
                let items = decoded.items(busiest);
                let (panel, alike) = guess_panel(&items, decoded.spi);
                let display = Emulator::new(panel).blank();
                let drawn = draw(&decoded, &items, display, &Mounting::default(), &[]);
                let subject =
                    ReplaySubject { trace: &trace, decoded: &decoded, items: &items, address: busiest, show: None };
                let words = summary(&subject, &drawn, &mut session.findings);
                if session.findings.any_error() {
                    return None;
                }
                let words =
                    format!("{words}\ndrawn for the panel {}; the controller may be {}", panel.name, alike.join(", "));
                let picture = gif(&drawn.shown, &Look::of(panel, &Mounting::default(), None));
                Some(Made::words(words).file(path, session.checked(picture)?).replacing(true))
            }
        }
    }

    fn against(
        &self,
        compiled: &Compiled,
        subject: ReplaySubject<'_>,
        (progress, path): (&ProgressLine, PathBuf),
        session: &mut Session<'_>,
    ) -> Checked<Made> {
        let Compiled { show, frames, choice } = compiled;
        progress.stage("comparing with the show");
        let course = course(show, &choice.fitted.reel);
        let comparison = compare(show, &course, subject.items);
        let ends: Vec<usize> = comparison.seen.iter().map(|seen| seen.to).collect();
        let from_power_up = comparison.seen.first().is_none_or(|seen| seen.from == 0 && seen.what == What::SetUp);
        let display = match from_power_up {
            true => Emulator::new(show.panel()).blank(),
            false => set_up(show.panel(), show.mounting()),
        };
        let drawn = draw(subject.decoded, subject.items, display, show.mounting(), &ends);
        let subject = ReplaySubject { show: Some((show, &course, &comparison, frames)), ..subject };
        let words = summary(&subject, &drawn, &mut session.findings);
        if drawn.shown.is_empty() {
            return None;
        }
        let style = Style::default();
        let picture = preview_gif(show, &drawn.shown, style, progress, session)?;
        Some(Made::words(words).file(path, picture).replacing(true))
    }

    fn given(&self) -> Given {
        Given {
            scl: self.scl.clone(),
            sda: self.sda.clone(),
            clk: self.clk.clone(),
            mosi: self.mosi.clone(),
            dc: self.dc.clone(),
            cs: self.cs.clone(),
        }
    }
}

fn stem(path: &Path) -> String {
    path.file_stem().map_or("capture".into(), |stem| stem.to_string_lossy().into_owned())
}
