//! `build`: makes previews, reports, and one firmware for all given scripts.

use super::made::Made;
use super::progress::ProgressLine;
use super::summary::summary;
use super::terminal::columns;
use crate::build::{LONGEST_SECONDS, OutputFile, Production, Session, firmware_in, opening, produce};
use crate::diag::{Checked, number};
use crate::emit::{Firmware, SourceFile};
use clap::Args;
use std::path::{Path, PathBuf};

/// What is built, and where to.
#[derive(Debug, Args)]
pub struct Build {
    /// Scripts of the shows; several shows become one firmware with one player.
    #[arg(required = true, value_name = "SHOW")]
    shows: Vec<PathBuf>,
    /// Folder to write to; default: out/NAME, or out/NAME-NAME for several shows.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Build faster: only the report and the figures, without the search for a dense reel.
    #[arg(long)]
    quick: bool,
}

/// A show built by itself: its name, its files by their names, and the words for the terminal.
struct BuiltShow {
    name: String,
    files: Vec<OutputFile>,
    words: String,
    firmware: Firmware,
}

impl Build {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let progress = ProgressLine::new();
        let built = each(&self.shows, session, |show, session| self.one(show, &progress, session))?;
        let names: Vec<&str> = built.iter().map(|show| show.name.as_str()).collect();
        let folder = self.out.clone().unwrap_or_else(|| PathBuf::from("out").join(names.join("-")));
        let firmware: Vec<Firmware> = built.iter().map(|show| show.firmware.clone()).collect();
        let sources = if self.quick { Vec::new() } else { firmware_in(&folder, &firmware, session)? };
        let mut made = Made::words(built.iter().map(|show| show.words.as_str()).collect::<Vec<_>>().join("\n"));
        for OutputFile { path, bytes, .. } in built.into_iter().flat_map(|show| show.files) {
            made = made.file(folder.join(path), bytes);
        }
        for SourceFile { name, text } in sources {
            made = made.firmware(folder.join(name), text);
        }
        Some(made.replacing(true))
    }

    /// Builds one show, but for its firmware's files.
    fn one(&self, script: &Path, progress: &ProgressLine, session: &mut Session<'_>) -> Checked<BuiltShow> {
        let production = produce(script, self.quick, progress, session)?;
        let mut words = summary(&production, &session.findings, columns());
        words.push_str(if self.quick { QUICK } else { "" });
        let files = production.files(script, self.quick, progress, session)?;
        let name = production.show.name().to_owned();
        if !self.quick {
            words.push_str(&cut(&production));
        }
        Some(BuiltShow { name, files, words, firmware: production.firmware() })
    }
}

/// What is said where the GIF shows the beginning only.
fn cut(production: &Production) -> String {
    let Production { show, rehearsal, .. } = production;
    let all = rehearsal.shown.len();
    if opening(&rehearsal.shown).len() == all {
        return String::new();
    }
    let (name, whole) = (show.name(), rehearsal.seconds_at(show, all));
    format!(
        "  {name}.gif shows the first {LONGEST_SECONDS} s of {} s; `pageloom preview` writes all of it\n",
        number(whole.round())
    )
}

/// Does something for each script with the findings of that one alone; `None` when it fails for any, once all were tried.
pub fn each<T>(
    scripts: &[PathBuf],
    session: &mut Session<'_>,
    mut act: impl FnMut(&Path, &mut Session<'_>) -> Checked<T>,
) -> Checked<Vec<T>> {
    let mut found = std::mem::take(&mut session.findings);
    let mut made = Vec::new();
    for script in scripts {
        made.push(act(script, session));
        found.append(std::mem::take(&mut session.findings));
    }
    session.findings = found;
    made.into_iter().collect()
}

/// What is said of a quick build.
const QUICK: &str = "  quick build: no preview, filmstrip or firmware; run without --quick for those\n";
