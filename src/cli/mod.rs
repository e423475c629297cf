//! The command line: one file per command; the only part that prints and writes.
//!
//! A command reads and computes, and hands back what it made; the files are written only when nothing is wrong, all of
//! them or none. Exit codes: 0 all well, 1 something is wrong with what was given, 2 wrong usage.
mod build;
mod check;
mod emit;
mod emit_folder;
mod explain;
mod help_on;
mod made;
mod panels;
mod play;
mod preview;
mod progress;
mod replay;
mod screen;
mod script;
mod sheet;
mod sources;
mod summary;
mod table;
mod terminal;
mod watch;
mod write;
mod written;

use crate::build::Session;
use crate::diag::{Checked, Findings, Severity};
use crate::source::Disk;
use crate::whole::limited;
use clap::{Parser, Subcommand};
use made::Made;
use std::ffi::OsString;
use std::process::ExitCode;

/// Compiles hand-drawn micro-fonts and a show script into animations for tiny monochrome displays.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100, propagate_version = true)]
struct CommandLine {
    #[command(subcommand)]
    command: Command,
    /// Treat warnings as errors.
    #[arg(long, global = true)]
    strict: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Build a show: preview, report and firmware.
    Build(build::Build),
    /// Check a show: all findings and figures of a build, without writing files.
    Check(check::Check),
    /// Preview a show: as GIF and filmstrip, or live in the terminal.
    Preview(preview::Preview),
    /// Write parts for your own code: frames, a font, the reel, a sketch or a library.
    #[command(subcommand)]
    Emit(emit::Emit),
    /// Show the report in the browser, and rebuild it at each save.
    Watch(watch::Watch),
    /// List known panels, controllers and microcontrollers, with their sources.
    Panels(panels::Panels),
    /// Compare a capture of the bus with the show, and draw what was really sent.
    Replay(replay::Replay),
    /// Explain a part of a script: fields, ranges, defaults and an example.
    HelpOn(help_on::HelpOn),
    /// Create, extend and inspect glyph sheets, the pictures that fonts are drawn in.
    #[command(subcommand)]
    Sheet(sheet::SheetCommand),
}

/// Runs the program on its arguments, the program's own name first.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let line = match CommandLine::try_parse_from(arguments) {
        Ok(line) => line,
        Err(usage) => {
            // Nothing can be done when even the usage cannot be printed.
            let _ = usage.print();
            return ExitCode::from(limited::<u8, i32>(usage.exit_code()));
        }
    };
    let mut session = Session::new(&Disk);
    let made = line.command.run(&mut session);
    finish(made, session, line.strict)
}

impl Command {
    fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        match self {
            Command::Build(build) => build.run(session),
            Command::Check(check) => check.run(session),
            Command::Preview(preview) => preview.run(session),
            Command::Emit(emit) => emit.run(session),
            Command::Watch(watch) => watch.run(session),
            Command::Panels(panels) => Some(panels.run()),
            Command::Replay(replay) => replay.run(session),
            Command::HelpOn(help_on) => help_on.run(session),
            Command::Sheet(sheet) => sheet.run(session),
        }
    }
}

/// Writes the files when nothing is wrong, those for a chip only where no limit is broken; then tells what it came to, the findings and
/// the files.
fn finish(made: Checked<Made>, mut session: Session<'_>, strict: bool) -> ExitCode {
    let failed = |findings: &Findings| findings.any_fault() || strict && findings.count(Severity::Warning) > 0;
    let mut written = None;
    if let Some(made) = made
        && !failed(&session.findings)
    {
        // What breaks a limit can be looked at, but is not for a chip.
        let made = if session.findings.any_error() { made.without_firmware() } else { made };
        match write::write_all(&made.files, made.replace) {
            Ok(()) => written = Some(made),
            Err(finding) => session.findings.push(finding),
        }
    }
    if let Some(made) = &written {
        terminal::tell_words(made);
    }
    terminal::tell_findings(&session.findings, &session.reader.sources, strict);
    match written {
        Some(made) => {
            terminal::tell_files(&made);
            if session.findings.any_error() { ExitCode::from(1) } else { ExitCode::SUCCESS }
        }
        None => ExitCode::from(1),
    }
}
