//! What a person sees in terminals of four widths: each command runs in tmux, and its pane is compared with the text in
//! `tests/cases/terminal`; `PAGELOOM_BLESS=1` rewrites the texts.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

const CASES: &str = "tests/cases/terminal";
const WIDTHS: [u16; 4] = [60, 80, 120, 200];
/// Rows of a terminal: more than `preview --play` needs, fewer than `check` prints, so that the lines that scrolled away count too.
const ROWS: u16 = 40;
/// Times that a pane is asked for what is waited for, each in a process of its own; a build takes a few hundred.
const MOST_LOOKS: usize = 60_000;
/// Printed when a command has ended.
const ENDED: &str = "[ended]";

/// A terminal of its own, in a server of its own.
struct Terminal {
    folder: TempDir,
    server: String,
}

impl Terminal {
    /// Opens a terminal in a folder that holds the cases' scripts, and runs a command of pageloom there.
    fn run(columns: u16, rows: u16, arguments: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        for name in ["buoy.ron", "faults.ron"] {
            fs::copy(Path::new(CASES).join(name), folder.path().join(name)).expect("copied");
        }
        let socket = folder.path().join("tmux").display().to_string();
        let terminal = Self { folder, server: socket };
        let program = env!("CARGO_BIN_EXE_pageloom");
        // `cat` keeps the pane open, so that it can be read.
        let line = format!("'{program}' {arguments}; printf '%s\\n' '{ENDED}'; exec cat");
        let (columns, rows) = (columns.to_string(), rows.to_string());
        let path = terminal.folder.path().display().to_string();
        // A long history; the second command belongs to the same call of tmux.
        let begun = terminal.tmux(&[
            "-f",
            "/dev/null",
            "start-server",
            ";",
            "set-option",
            "-g",
            "history-limit",
            "5000",
            ";",
            "new-session",
            "-d",
            "-x",
            &columns,
            "-y",
            &rows,
            "-c",
            &path,
            "sh",
            "-c",
            &line,
        ]);
        assert!(begun.status.success(), "tmux: {}", String::from_utf8_lossy(&begun.stderr));
        terminal
    }

    fn tmux(&self, arguments: &[&str]) -> Output {
        let mut tmux = Command::new("tmux");
        tmux.args(["-u", "-S", &self.server]).args(arguments).env_remove("TMUX").env_remove("NO_COLOR");
        tmux.output().expect("tmux runs")
    }

    /// All lines of the pane and those that scrolled away; a line that the terminal itself broke is one line.
    fn text(&self) -> String {
        let pane = self.tmux(&["capture-pane", "-p", "-J", "-S", "-"]);
        let text = String::from_utf8(pane.stdout).expect("text");
        let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
        lines.join("\n").trim_end().to_owned()
    }

    /// The pane once it holds this.
    fn once(&self, marker: &str) -> String {
        self.when(marker, |text| text.contains(marker))
    }

    /// The pane once this is so.
    fn when(&self, what: &str, so: impl Fn(&str) -> bool) -> String {
        let mut text = String::new();
        for _ in 0..MOST_LOOKS {
            text = self.text();
            if so(&text) {
                return text;
            }
        }
        panic!("{what:?} did not come:\n{text}");
    }

    /// What a command printed once it has ended.
    fn printed(&self) -> String {
        let text = self.once(ENDED);
        text.trim_end_matches(ENDED).trim_end().to_owned()
    }

    fn press(&self, key: &str) {
        assert!(self.tmux(&["send-keys", key]).status.success(), "{key}");
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.folder.path().join(name), text).expect("written");
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        self.tmux(&["kill-server"]);
    }
}

/// Compares what a terminal of some width shows with its text, and that no line is wider than it.
fn compare(name: &str, columns: u16, shown: &str) {
    let widest = shown.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    assert!(widest <= usize::from(columns), "{name}: {widest} columns in a terminal of {columns}:\n{shown}");
    let path = PathBuf::from(CASES).join(format!("{name}-{columns}.txt"));
    if std::env::var_os("PAGELOOM_BLESS").is_some() {
        fs::write(&path, format!("{shown}\n")).expect("a writable folder");
    }
    let expected = fs::read_to_string(&path).unwrap_or_default();
    assert!(expected.trim_end() == shown, "PAGELOOM_BLESS=1 accepts {}:\n{shown}", path.display());
}

fn compare_at_all_widths(name: &str, arguments: &str) {
    for columns in WIDTHS {
        compare(name, columns, &Terminal::run(columns, ROWS, arguments).printed());
    }
}

#[test]
fn check_tells_all_figures() {
    compare_at_all_widths("check", "check --explain buoy.ron");
}

/// Sizes of files change with every word of the player, and are left out.
#[test]
fn build_tells_the_verdict_limits_findings_and_files() {
    for columns in WIDTHS {
        let shown = Terminal::run(columns, ROWS, "build buoy.ron").printed();
        let line = |line: &str| match line.strip_prefix("wrote ") {
            Some(file) => format!("wrote {} SIZE", file.split(' ').next().unwrap_or_default()),
            None => line.to_owned(),
        };
        compare("build", columns, &shown.lines().map(line).collect::<Vec<_>>().join("\n"));
    }
}

#[test]
fn messages_quote_their_lines() {
    compare_at_all_widths("faults", "check faults.ron");
}

#[test]
fn tables_and_help_fit() {
    compare_at_all_widths("panels", "panels sh1107");
    compare_at_all_widths("help-on", "help-on Scene");
}

#[test]
fn a_show_plays_in_letters_that_fit() {
    for columns in WIDTHS {
        let terminal = Terminal::run(columns, ROWS, "preview buoy.ron --play");
        terminal.once("scene watch");
        terminal.press("Space");
        terminal.once("paused");
        terminal.press("r");
        compare("play", columns, &terminal.once("frame 1 of"));
        terminal.press("q");
        terminal.printed();
    }
}

/// A trigger raised while the show is paused waits for the next step.
#[test]
fn a_paused_show_goes_on_by_steps_alone() {
    const COLUMNS: u16 = 80;
    let terminal = Terminal::run(COLUMNS, ROWS, "preview buoy.ron --play");
    terminal.once("scene watch");
    terminal.press("Space");
    terminal.once("paused");
    terminal.press("r");
    terminal.once("frame 1 of 120, 0.00 s");
    terminal.press("Right");
    terminal.once("frame 2 of 120, 0.05 s");
    terminal.press("1");
    let raised = terminal.once("paused, storm raised");
    assert!(raised.contains("scene watch") && raised.contains("frame 2 of 120"), "{raised}");
    terminal.press("Right");
    let stepped = terminal.once("scene warning   paused   frame 1 of 80, 0.00 s");
    assert!(!stepped.contains("raised"), "{stepped}");
    terminal.press("q");
    terminal.printed();
}

#[test]
fn a_show_does_not_play_in_a_terminal_that_is_too_small() {
    const TOO_FEW_ROWS: u16 = 10;
    for columns in WIDTHS {
        let terminal = Terminal::run(columns, TOO_FEW_ROWS, "preview buoy.ron --play");
        compare("too-small", columns, &terminal.printed());
    }
}

#[test]
fn watch_tells_each_build_fault_and_fix_in_a_line() {
    let good = fs::read_to_string(Path::new(CASES).join("buoy.ron")).expect("a case");
    let bad = fs::read_to_string(Path::new(CASES).join("faults.ron")).expect("a case");
    for columns in WIDTHS {
        let terminal = Terminal::run(columns, ROWS, "watch --quick --port 0 buoy.ron");
        terminal.once("build 1: ");
        terminal.write("buoy.ron", &bad);
        terminal.once("build 2: ");
        terminal.write("buoy.ron", &good);
        // The last line is whole once its last sentence is.
        let text = terminal.when("the line of build 3 is there", |text| {
            text.split_once("build 3: ").is_some_and(|(_, verdict)| verdict.ends_with("."))
        });
        // Any free port was taken.
        let (before, after) = text.split_once("127.0.0.1:").expect("an address");
        let rest = after.trim_start_matches(|letter: char| letter.is_ascii_digit());
        compare("watch", columns, &format!("{before}127.0.0.1:PORT{rest}"));
        terminal.press("C-c");
    }
}

#[test]
fn every_expected_text_belongs_to_a_width() {
    for entry in fs::read_dir(CASES).expect("a folder") {
        let path = entry.expect("readable").path();
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let known = WIDTHS.iter().any(|width| name.ends_with(&format!("-{width}")));
        assert!(known || path.extension().is_some_and(|end| end == "ron"), "{} belongs to no test", path.display());
    }
}
